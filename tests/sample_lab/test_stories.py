"""The sample's stories are in its plain rows, before any model has looked at them.

That the notebook finds them is for `tests/insight`.
"""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import pairwise
from statistics import mean

from claybench.measure.absorption import absorption
from tests.measure.textbook import linear_shrinkage
from tests.sample_lab.reading import Row, minutes, moment, rows

RUNS = rows("runs")
SLAB_OF = {run["run"]: run["slab"] for run in RUNS}
BODY = {row["batch"]: row["body"] for row in rows("batches")}
PIECES = {row["piece"]: row for row in rows("pieces")}


def events(slab: str, event: str) -> list[Row]:
    return [row for row in rows("slab_log") if row["slab"] == slab and row["event"] == event]


def _per_depth(run: Row) -> float:
    """Time to workable over the square of the depth, so that thin and thick layers compare."""
    depth = 10 * float(run["poured_g"]) / float(run["slip_sg"]) / float(run["area_cm2"])
    return minutes(run, run["ended_at"]) / depth**2


def test_p2_clogs_while_p1_does_the_same_batches_as_ever() -> None:
    by_batch: dict[str, dict[str, Row]] = defaultdict(dict)
    for run in RUNS:
        if run["outcome"] in ("workable", "too_stiff"):
            by_batch[run["batch"]][run["slab"]] = run
    ratios = {
        pair["P2"]["started_at"]: _per_depth(pair["P2"]) / _per_depth(pair["P1"])
        for pair in by_batch.values()
        if {"P1", "P2"} <= set(pair)
    }
    early = [math.log(ratio) for at, ratio in ratios.items() if at < "2026-07-09"]
    late = [math.log(ratio) for at, ratio in ratios.items() if at > "2026-08-20"]
    assert len(early) >= 5 and len(late) >= 3
    assert abs(mean(early)) < 0.25 and mean(late) > 0.5
    before = [float(run["slab_before_g"]) for run in RUNS if run["slab"] == "P2" and run["slab_before_g"]]
    dry = [float(row["mass_g"]) for row in events("P2", "weighed_dry")]
    assert max(before[-4:]) < dry[-1] + 0.35 * 3560, "slow, and as dry as it ever was"
    assert dry[-1] - dry[0] >= 10, "something stays in it"
    slow, quick = events("P2", "ring_test")[-1], events("P2", "ring_test")[0]
    assert float(slow["ring_seconds"]) > 4 * float(quick["ring_seconds"])
    casting = [run for run in RUNS if BODY[run["batch"]] in ("W-09", "W-11")]
    assert {run["slab"] for run in casting} == {"P2"} and min(run["started_at"] for run in casting) > "2026-07-09"


def test_p3_is_wet_through_in_the_damp_week() -> None:
    week = [row for row in rows("air") if row["place"] == "shelf" and "2026-06-08" <= row["at"] < "2026-06-13"]
    assert len(week) > 6 and all(float(row["air_rh_pct"]) > 88 for row in week)
    others = [float(row["air_rh_pct"]) for row in rows("air") if row["place"] == "shelf" and row not in week]
    assert max(others) < 80
    p3 = [run for run in RUNS if run["slab"] == "P3" and "2026-06-08" <= run["started_at"] < "2026-06-13"]
    assert len(p3) == 4 and p3[-1]["outcome"] == "abandoned"
    times = [_per_depth(run) for run in p3]
    assert times[2] > 1.2 * times[0] and times[3] > 2 * times[0], "slower, the wetter it is"
    assert not [row for row in events("P3", "moved") if "2026-06-08" <= row["at"] < "2026-06-13"]
    dry = float(events("P3", "weighed_dry")[0]["mass_g"])
    heaviest = max(float(run[name]) for run in p3 for name in ("slab_before_g", "slab_after_g") if run[name])
    assert heaviest - dry > 0.6 * 0.36 * dry, "against 36 %, a published absorption of plaster mixed 70 to 100"


def _share(slab: str, fault: str, after: str, family: str) -> tuple[int, int]:
    pieces = {row["piece"] for row in rows("faults") if row["piece"] and row["fault"] == fault}
    looked = {row["piece"] for row in rows("faults") if row["piece"]}
    own = [
        code
        for code in looked
        if BODY[PIECES[code]["batch"]].startswith(family)
        and SLAB_OF.get(PIECES[code]["run"], "") == slab
        and PIECES[code]["formed_at"] > after
    ]
    return sum(code in pieces for code in own), len(own)


def test_specks_follow_the_red_clay_on_p1_and_nowhere_else() -> None:
    crossing = events("P1", "other_clay")
    assert [(row["family"], row["at"][:10]) for row in crossing] == [("red", "2026-07-20")]
    speckled, looked = _share("P1", "specks", crossing[0]["at"], "W-")
    assert speckled >= 0.4 * looked >= 4
    assert _share("P2", "specks", "", "W-")[0] == 0
    specks = [PIECES[row["piece"]] for row in rows("faults") if row["fault"] == "specks"]
    assert min(piece["formed_at"] for piece in specks) > crossing[0]["at"]


def test_pop_outs_follow_the_chip_on_p4() -> None:
    chip = events("P4", "chipped")
    assert [row["at"][:10] for row in chip] == ["2026-07-06"]
    spat, looked = _share("P4", "pop_out", chip[0]["at"], "B-")
    assert spat >= 0.4 * looked >= 4
    before, clean = _share("P4", "pop_out", "", "B-")
    assert before == spat and clean > looked, "none from before the chip"
    assert {SLAB_OF[row["run"]] for row in rows("faults") if row["fault"] == "plaster_found"} == {"P4"}
    heavy = [float(row["mass_g"]) for row in events("P4", "weighed_dry") if row["at"] < chip[0]["at"]][-1]
    light = next(float(row["mass_g"]) for row in events("P4", "weighed_dry") if row["at"] > chip[0]["at"])
    assert 20 < heavy - light < 60


def test_the_series_converges_to_twelve_per_cent_and_less_than_two() -> None:
    cone = {row["firing"]: row["cone"] for row in rows("firings")}
    shrinkage, absorbed = defaultdict(list), defaultdict(list)
    for row in rows("fired"):
        piece = PIECES[row["piece"]]
        if cone[row["firing"]] == "6" and row["fired_mm"]:
            shrinkage[BODY[piece["batch"]]].append(linear_shrinkage(float(piece["plastic_mm"]), float(row["fired_mm"])))
            if row["soaked_g"]:
                absorbed[BODY[piece["batch"]]].append(absorption(float(row["fired_g"]), float(row["soaked_g"])))
    series = [f"B-{number:02d}" for number in range(2, 8)]
    parents = {row["body"]: row["parent"] for row in rows("bodies")}
    assert [parents[body] for body in series] == ["B-01", *series[:-1]]
    off = [abs(mean(shrinkage[body]) - 12) for body in series]
    assert off[-1] < 0.3 and max(off[-2:]) < 0.5 < min(off[0], off[1])
    means = [mean(absorbed[body]) for body in series]
    assert all(later < earlier + 0.15 for earlier, later in pairwise(means)), "down, batches apart"
    assert means[-1] < 2 < means[3]


def test_the_order_of_the_series_is_that_of_the_calendar() -> None:
    first = {}
    for row in sorted(rows("batches"), key=lambda row: moment(row["mixed_at"])):
        first.setdefault(row["body"], moment(row["mixed_at"]))
    series = [first[f"B-{number:02d}"] for number in range(2, 8)]
    assert series == sorted(series)
