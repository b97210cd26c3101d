"""What the sample's workshop did hangs together: layers, masses, slabs, touches."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

import pytest

from claybench.mix.slip_formulas import dry_per_litre
from tests.sample import END
from tests.sample_lab.reading import Row, minutes, moment, rows

RUNS = rows("runs")
SLABS = {row["slab"]: row for row in rows("slabs")}
BODY = {row["batch"]: row["body"] for row in rows("batches")}
FAMILY = {row["body"]: row["family"] for row in rows("bodies")}
DONE = [run for run in RUNS if run["outcome"]]


def test_layers_share_a_slab_only_where_there_is_room() -> None:
    for slab in SLABS.values():
        lying = [run for run in RUNS if run["slab"] == slab["slab"]]
        for run in lying:
            beside = [
                other
                for other in lying
                if moment(other["started_at"]) <= moment(run["started_at"])
                and (not other["ended_at"] or moment(other["ended_at"]) > moment(run["started_at"]))
            ]
            assert sum(float(other["area_cm2"]) for other in beside) <= float(slab["usable_area_cm2"] or 1590)
            if len(beside) > 1:
                assert sum(bool(other["slab_before_g"]) for other in beside) <= 1, "only a bare slab is weighed"
                assert sum(bool(other["slab_after_g"]) for other in beside) <= 1


def test_bodies_keep_to_the_slabs_of_their_family_but_for_one_layer() -> None:
    crossed = [run for run in RUNS if FAMILY[BODY[run["batch"]]] != SLABS[run["slab"]]["family"]]
    assert [(run["slab"], FAMILY[BODY[run["batch"]]], run["started_at"][:10]) for run in crossed] == [
        ("P1", "red", "2026-07-20")
    ]


def test_slabs_are_used_only_while_they_are_in_service() -> None:
    for run in RUNS:
        slab = SLABS[run["slab"]]
        assert slab["in_service_on"] <= run["started_at"]
        assert not slab["retired_on"] or run["started_at"] < slab["retired_on"]
    assert not SLABS["P7"]["in_service_on"] and not [run for run in RUNS if run["slab"] == "P7"]
    assert not SLABS["P6"]["mix_ratio"] and not SLABS["P6"]["dry_mass_g"]


def test_what_the_slab_gained_is_what_the_layer_lost() -> None:
    """Mass balance; some grams stay on hands and rims, and some leave by the air."""
    checked = 0
    for run in DONE:
        if run["slab_before_g"] and run["slab_after_g"] and run["clay_off_g"]:
            gained = float(run["slab_after_g"]) - float(run["slab_before_g"])
            lost = float(run["poured_g"]) - float(run["clay_off_g"])
            by_air = 0.25 * float(run["area_cm2"]) / 1000 * minutes(run, run["ended_at"]) / 2
            assert -10 < lost - gained < 35 + 2 * by_air, run["run"]
            checked += 1
    assert checked > 60
    weighed = sum(bool(run["slab_before_g"]) for run in RUNS)
    assert 0.65 < weighed / len(RUNS) < 0.85, "a quarter was forgotten"


def test_a_batch_is_enough_for_its_layers() -> None:
    poured: dict[str, float] = defaultdict(float)
    for run in RUNS:
        litres = float(run["poured_g"]) / float(run["slip_sg"]) / 1000
        poured[run["batch"]] += litres * dry_per_litre(float(run["slip_sg"]), 2.61)
    for batch in rows("batches"):
        assert poured[batch["batch"]] < float(batch["dry_mass_g"]), batch["batch"]


def test_batches_were_weighed_by_their_recipes() -> None:
    lots = {row["lot"]: float(row["moisture_pct"]) for row in rows("lots")}
    parts = defaultdict(dict)
    for line in rows("body_lines"):
        parts[line["body"]][line["material"]] = float(line["parts"])
    dry: dict[str, float] = defaultdict(float)
    for line in rows("batch_lines"):
        batch = line["batch"]
        assert line["material"] in parts[BODY[batch]]
        dry[batch] += float(line["mass_g"]) * (1 - lots[line["lot"]] / 100)
    for batch in rows("batches"):
        assert dry[batch["batch"]] == pytest.approx(float(batch["dry_mass_g"]), abs=3)


def test_layers_are_of_a_usual_depth_and_take_a_usual_time() -> None:
    """Common practice, no source."""
    depths = [float(run["layer_mm"]) for run in RUNS if run["layer_mm"]]
    assert min(depths) >= 8 and max(depths) <= 15 and max(depths) > 13
    plain = sorted(minutes(run, run["ended_at"]) for run in DONE if run["outcome"] == "workable")
    assert plain[0] > 20 and plain[len(plain) // 2] < 90 and 150 < plain[-1] < 500
    gravities = [float(run["slip_sg"]) for run in RUNS]
    assert 2 <= sum(gravity > 1.6 for gravity in gravities) <= 6
    assert all(1.35 <= gravity <= 1.5 for gravity in gravities if gravity < 1.6)


def test_touches_do_not_know_the_answer() -> None:
    touches: dict[str, list[Row]] = defaultdict(list)
    for check in rows("checks"):
        touches[check["run"]].append(check)
    gaps: list[float] = []
    for run in RUNS:
        found = sorted(touches[run["run"]], key=lambda check: moment(check["at"]))
        assert found, "somebody looked at each layer"
        assert moment(run["started_at"]) < moment(found[0]["at"])
        assert not run["ended_at"] or moment(found[-1]["at"]) <= moment(run["ended_at"])
        assert all(check["feel"] in ("fluid", "sticky") for check in found[:-1])
        gaps += [(moment(b["at"]) - moment(a["at"])).total_seconds() / 60 for a, b in pairwise(found)]
    usual = [gap for gap in gaps if 6 <= gap <= 18]
    assert min(gaps) >= 6 and len(usual) > 0.75 * len(gaps)


def test_every_outcome_occurs_and_most_layers_are_lifted_workable() -> None:
    outcomes = [run["outcome"] for run in RUNS]
    assert set(outcomes) == {"workable", "lifted_early", "too_stiff", "abandoned", ""}
    assert outcomes.count("workable") > 125


def test_three_layers_lie_on_slabs_when_it_ends() -> None:
    lying = [run for run in RUNS if not run["outcome"]]
    assert {run["slab"] for run in lying} == {"P1", "P4", "P5"}
    last = {check["run"]: check for check in rows("checks")}
    for run in lying:
        assert run["started_at"][:10] == END.date().isoformat() and not run["slab_after_g"]
        assert last[run["run"]]["feel"] in ("fluid", "sticky") and moment(last[run["run"]]["at"]) <= END
    times = [row[name] for table, name in (("checks", "at"), ("air", "at"), ("slab_log", "at")) for row in rows(table)]
    assert max(moment(time) for time in times) <= END


def test_the_controls_come_back_on_every_slab() -> None:
    controls = {row["body"] for row in rows("bodies") if row["control"] == "yes"}
    dried = defaultdict(int)
    for run in RUNS:
        dried[run["slab"]] += BODY[run["batch"]] in controls
    assert all(dried[slab] >= 4 for slab in ("P1", "P2", "P3", "P4", "P5", "P6"))
