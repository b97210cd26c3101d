"""A schedule's calendar, reasons for layers left open, and the slab to be dried tonight, each worked out by hand."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest

from claybench.insight.plan.schedule.calendar_words import explain_unplaced, rows_by_day, write_calendar
from claybench.insight.plan.schedule.placement import place_layers
from claybench.insight.plan.schedule.schedule_request import BenchHours, ScheduledSlab, ScheduleRequest
from claybench.insight.plan.schedule.slab_to_dry_tonight import find_drying_gains, tonight_span
from tests.insight.schedule_cases import HOURS, NOW, drying_of, layer, slab
from tests.insight.schedule_rules import faults

# -- in words --------------------------------------------------------------------------------------


def test_the_calendar_names_everything_to_be_done_in_order() -> None:
    asked = ScheduleRequest(NOW, HOURS, (slab("S", 0.3, rate=20),), (layer("A"), layer("B")))
    found = place_layers(asked)
    rows = write_calendar(asked, found, touch_every_min=10, turn_every_h=12)
    assert [row.at for row in rows] == sorted(row.at for row in rows)
    first = [(row.what, row.layer) for row in rows if row.layer == "A"]
    assert first == [
        ("weigh", "A"),
        ("pour", "A"),
        ("touch", "A"),
        ("lift", "A"),
        ("dry", "A"),
        *[("turn", "A")] * sum(row.what == "turn" for row in rows if row.layer == "A"),
    ]
    dry = next(row for row in rows if row.what == "dry" and row.layer == "A")
    # By hand, at 20 g/h from what the lift left to 0.35 of 3000 g.
    hours = (found.placed[0].wetness_after * 3000 - 1050) / 20
    assert dry.until is not None
    assert (dry.until - found.placed[0].median).total_seconds() == pytest.approx(3600 * hours, abs=90)
    assert "B follows Fri 13 Mar" in dry.text or "B follows Thu 12 Mar" in dry.text
    assert "every 10 min" in next(row.text for row in rows if row.what == "touch")
    assert all(time(8) <= row.at.time() <= time(18) for row in rows if row.what != "dry")
    assert sum(len(each) for each in rows_by_day(rows).values()) == len(rows)


def test_a_slab_that_dries_long_is_turned_in_bench_hours() -> None:
    asked = ScheduleRequest(NOW, HOURS, (slab("S", 0.3, rate=5),), (layer("A"),))
    rows = write_calendar(asked, place_layers(asked), turn_every_h=12)
    turns = [row.at for row in rows if row.what == "turn"]
    assert len(turns) >= 2 and all(time(8) <= at.time() <= time(18) for at in turns)
    assert all(b - a >= timedelta(hours=12) for a, b in itertools.pairwise(turns))


@pytest.mark.parametrize(
    ("slabs", "said"),
    [
        ((), "No slab is kept for buff"),
        ((slab("white", family="white"),), "No slab is kept for buff"),
        ((replace(slab("small"), usable_cm2=500.0),), "large enough: the layer wants 1 000 cm², small has 500"),
        ((replace(slab("unknown"), water_g=None),), "how wet unknown is, nobody knows: weigh it"),
        ((replace(slab("old"), out_of_use="broken since 3 Mar"),), "old: broken since 3 Mar"),
        ((slab("soaked", 0.9, rate=0.0),), "soaked does not dry in this air"),
        # 0.9 down to 0.35 of 3000 g at 2 g/h is 825 h, 34 days and 9 h from Thursday 12 March, 8:00.
        ((slab("soaked", 0.9, rate=2.0),), "soaked is not dry enough until Wed 15 Apr 17:00"),
        (
            (replace(slab("P"), busy_until=NOW + timedelta(days=30), lying="W-17"),),
            "All slabs are busy within 14 bench days: W-17 lies on P until Sat 11 Apr 08:15",
        ),
    ],
)
def test_why_a_layer_is_left_open_is_said(slabs: tuple[ScheduledSlab, ...], said: str) -> None:
    asked = ScheduleRequest(NOW, HOURS, slabs, (layer("A"),))
    assert said in explain_unplaced(asked, place_layers(asked))["A"]


def test_a_layer_too_thick_for_the_day_and_a_closed_bench_are_named() -> None:
    asked = ScheduleRequest(NOW, HOURS, (slab("S"),), (layer("A", base_min=700),))
    assert (
        "takes about 12 h, and the bench is open for 10 h at most" in explain_unplaced(asked, place_layers(asked))["A"]
    )
    closed = replace(asked, hours=BenchHours((None,) * 7, UTC))
    assert "not open on any day" in explain_unplaced(closed, place_layers(closed))["A"]


# -- a day gained ----------------------------------------------------------------------------------


def fanned(code: str, wetness: float, **more: object) -> ScheduledSlab:
    return replace(slab(code, wetness, **more), fan=drying_of(100.0))


def test_the_slab_that_gains_a_day_is_named() -> None:
    """Undried: 750 g at 20 g/h, Friday night. With 14 h at 100 g/h before the fan: Friday at eight."""
    slabs = (fanned("wet", 0.6), fanned("white", 0.6, family="white"), fanned("soaked", 1.0, rate=1))
    asked = ScheduleRequest(NOW, HOURS, slabs, (layer("A"),))
    without = place_layers(asked)
    assert (without.days, without.placed[0].slab) == (3, "wet")
    (gain,) = find_drying_gains(asked, without)
    assert (gain.slabs, gain.days, gain.schedule.days) == (("wet",), 1, 2)
    assert gain.text == "Dry wet before the fan tonight: the set is done 1 day sooner."
    night = ((datetime(2026, 3, 12, 18, tzinfo=UTC), datetime(2026, 3, 13, 8, tzinfo=UTC)),)
    dried = replace(asked, slabs=tuple(replace(s, fanned=night) if s.code == "wet" else s for s in slabs))
    assert faults(dried, gain.schedule) == [] and faults(asked, gain.schedule) != []


def test_two_slabs_are_dried_together_where_one_alone_gains_nothing() -> None:
    slabs = (fanned("one", 0.6), fanned("two", 0.6), fanned("idle", 1.0, rate=1))
    asked = ScheduleRequest(NOW, HOURS, slabs, (layer("A", base_min=300), layer("B", base_min=300)))
    (gain,) = find_drying_gains(asked, place_layers(asked))
    assert (set(gain.slabs), gain.days) == ({"one", "two"}, 1)
    assert " and " in gain.text


def test_a_slab_dried_tonight_may_take_a_layer_that_found_none() -> None:
    asked = ScheduleRequest(NOW, HOURS, (fanned("S", 0.6, rate=0.0),), (layer("A"),))
    (gain,) = find_drying_gains(asked, place_layers(asked))
    assert gain.more_layers == 1 and "1 more layer finds a slab" in gain.text


def test_nothing_is_dried_for_no_gain() -> None:
    asked = ScheduleRequest(NOW, HOURS, (fanned("dry", 0.1), slab("no fan", 0.6)), (layer("A"),))
    assert find_drying_gains(asked, place_layers(asked)) == ()
    assert find_drying_gains(replace(asked, slabs=()), place_layers(replace(asked, slabs=()))) == ()


def test_tonight_is_from_closing_to_opening() -> None:
    asked = ScheduleRequest(NOW + timedelta(hours=2), HOURS, (), ())
    assert tonight_span(asked) == (datetime(2026, 3, 12, 18, tzinfo=UTC), datetime(2026, 3, 13, 8, tzinfo=UTC))
    late = replace(asked, now=NOW + timedelta(hours=12))
    assert tonight_span(late) == (late.now, datetime(2026, 3, 13, 8, tzinfo=UTC))
    assert tonight_span(replace(asked, hours=BenchHours((None,) * 7, UTC))) is None
