"""A plan leaves time to weigh out, soak and mix a batch before its pour; one person does one thing at a time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from claybench.ask.lab_model import lab_model
from claybench.insight.plan.schedule.calendar_words import CalendarRow, rows_by_day, write_calendar
from claybench.insight.plan.schedule.lab_schedule import lab_rules
from claybench.insight.plan.schedule.placement import place_layers
from claybench.insight.plan.schedule.schedule_request import (
    LayerToPlace,
    PlacedLayer,
    Schedule,
    ScheduleRequest,
    ScheduleRules,
)
from claybench.record.lab import Lab
from claybench.work.settings import set_setting
from tests.insight.schedule_cases import HOURS, NOW, layer, slab, some
from tests.insight.schedule_rules import faults

RULES = ScheduleRules(weigh_min=20, soak_min=60, mix_min=15)


def batch(code: str, of: str = "", **about: float) -> LayerToPlace:
    """A layer of a batch that is still to be made."""
    return replace(layer(code, **about), batch=of or code)


def at(hour: int, minute: int = 0, day: int = 12) -> datetime:
    return datetime(2026, 3, day, hour, minute, tzinfo=UTC)


def test_nothing_is_poured_before_it_is_weighed_soaked_and_mixed() -> None:
    """At eight the bench opens: 20 min to weigh, 60 to soak, 15 to mix, and starts at each quarter of an hour."""
    asked = ScheduleRequest(NOW, HOURS, (slab("S"),), (batch("A"),), RULES)
    (placed,) = place_layers(asked).placed
    assert (placed.weigh_at, placed.mix_at, placed.start) == (at(8, 10), at(9, 30), at(9, 45))
    assert faults(asked, place_layers(asked)) == []
    assert place_layers(replace(asked, layers=(layer("A"),))).placed[0].start == NOW  # mixed already: poured at once


def test_a_person_does_one_thing_at_a_time() -> None:
    slabs = tuple(slab(code) for code in "STU")
    asked = ScheduleRequest(NOW, HOURS, slabs, tuple(batch(code) for code in "ABC"), RULES)
    found = place_layers(asked)
    assert not found.unplaced and faults(asked, found) == []
    spans = sorted(span for placed in found.placed for span in in_hand(placed))
    assert len(spans) == 9
    assert all(end <= begin for (_, end), (begin, _) in pairwise(spans))
    # Three batches weighed and mixed, one after the other, while the others soak: the morning is enough.
    assert max(placed.start for placed in found.placed) <= at(11)


def in_hand(placed: PlacedLayer) -> list[tuple[datetime, datetime]]:
    assert placed.weigh_at is not None and placed.mix_at is not None
    begins = ((placed.weigh_at, 20), (placed.mix_at, 15), (placed.start, 15))
    return [(begin, begin + timedelta(minutes=length)) for begin, length in begins]


def test_a_batch_soaks_overnight_and_is_weighed_out_in_bench_hours() -> None:
    """It has to soak for ten hours: weighed out on Thursday before six, poured on Friday from eight on."""
    asked = ScheduleRequest(NOW, HOURS, (slab("S"),), (batch("A"),), replace(RULES, soak_min=600))
    (placed,) = place_layers(asked).placed
    assert (placed.weigh_at, placed.mix_at, placed.start) == (at(17, 40), at(8, 0, 13), at(8, 15, 13))
    assert faults(asked, place_layers(asked)) == []
    soak = next(row for row in write_calendar(asked, place_layers(asked)) if row.what == "soak")
    assert (soak.at, soak.until) == (at(18), at(8, 0, 13))


def test_layers_of_one_batch_are_poured_from_one_mixing() -> None:
    asked = ScheduleRequest(NOW, HOURS, (slab("S"), slab("T")), (batch("A 1", "A"), batch("A 2", "A")), RULES)
    found = place_layers(asked)
    assert faults(asked, found) == [] and not found.unplaced
    assert sum(placed.mix_at is not None for placed in found.placed) == 1


def test_a_later_stage_keeps_out_of_the_hands_of_an_earlier_one() -> None:
    first = ScheduleRequest(NOW, HOURS, (slab("S"), slab("T")), (batch("A"),), RULES)
    kept = place_layers(first).placed
    second = replace(first, layers=(batch("B"),), fixed=kept)
    found = place_layers(second)
    assert faults(second, found) == []
    spans = sorted(span for placed in (*kept, *found.placed) for span in in_hand(placed))
    assert all(end <= begin for (_, end), (begin, _) in pairwise(spans))


@pytest.mark.parametrize("seed", range(12))
def test_made_up_questions_are_answered_without_a_fault(seed: int) -> None:
    asked = some(seed, layers=5, slabs=4, rules=replace(RULES, soak_min=90 + 60 * seed))
    asked = replace(asked, layers=tuple(replace(each, batch=f"of {each.code}") for each in asked.layers))
    found = place_layers(asked, effort=150)
    assert faults(asked, found) == []
    assert found.placed


Change = Callable[[PlacedLayer], PlacedLayer]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda p: replace(p, weigh_at=at(7, 30)), "weighed out in the past"),
        (lambda p: replace(p, weigh_at=at(8, 30)), "does not soak long enough"),
        (lambda p: replace(p, mix_at=at(9, 40)), "poured before it is mixed"),
        (lambda p: replace(p, weigh_at=None, mix_at=None), "weighed out and mixed 0 times"),
    ],
)
def test_the_check_sees_what_is_wrong(change: Change, said: str) -> None:
    asked = ScheduleRequest(NOW, HOURS, (slab("S"),), (batch("A"),), RULES)
    found = place_layers(asked)
    wrong: Schedule = replace(found, placed=(change(found.placed[0]),))
    assert any(said in fault for fault in faults(asked, wrong))


def test_the_calendar_names_them_with_their_times() -> None:
    asked = ScheduleRequest(NOW, HOURS, (slab("S"),), (batch("A"),), RULES)
    rows = write_calendar(asked, place_layers(asked))
    about: list[CalendarRow] = [row for row in rows if row.what in ("weigh_out", "soak", "mix")]
    assert [(row.what, row.at, row.until) for row in about] == [
        ("weigh_out", at(8, 10), at(8, 30)),
        ("soak", at(8, 30), at(9, 30)),
        ("mix", at(9, 30), at(9, 45)),
    ]
    assert about[0].text == "weigh out A and put it into its water"
    assert [row.what for row in rows].index("mix") < [row.what for row in rows].index("pour")
    assert next(iter(rows_by_day(rows))) == "Thu 12 Mar"


def test_how_long_it_takes_is_the_labs_own(lab: Lab) -> None:
    usual = lab_rules(lab_model(lab)[1])
    assert (usual.weigh_min, usual.soak_min, usual.mix_min) == (20, 60, 15)
    for name, value in (("weigh_min", "30 min"), ("soak_min", "12 h"), ("mix_min", "0")):
        set_setting(lab, name, value)
    own = lab_rules(lab_model(lab)[1])
    assert (own.weigh_min, own.soak_min, own.mix_min) == (30, 720, 0)
