"""What an act asks about before it is done, when it asks again, and that nothing is written meanwhile."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from claybench.acts.act import Act, Values, act_questions, perform, understand_fields
from claybench.acts.any_row import correct_act
from claybench.acts.layers import LIFT, POUR, TOUCH
from claybench.acts.pieces import FIRE, FORM, MEASURE, READING
from claybench.acts.recipes import BATCH_EVENT
from claybench.acts.slabs import SLAB, WEIGH, event_act
from claybench.acts.weighing_out import WATER_IN
from claybench.errors import BadInput, Unanswered
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Piece, Run, Slab, SlabEvent
from claybench.work import recipes, slabs
from claybench.work.any_row import correct_row, undo_last
from tests.conftest import Ticking

pytestmark = pytest.mark.slow

START = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def do(lab: Lab, act: Act, *, anyway: Any = (), **typed: str) -> str:
    """An act as typed in a form or on the command line."""
    now = lab.now()
    return perform(lab, act, understood(lab, act, typed), now=now, anyway=anyway)


def understood(lab: Lab, act: Act, typed: dict[str, str]) -> Values:
    return understand_fields(act.offered(lab, {n: t for n, t in typed.items() if n in act.given}), typed, lab.now())


def asked(lab: Lab, act: Act, **typed: str) -> list[str]:
    """Kinds of question that an act is asked about; nothing is written."""
    before = rows(lab)
    found = [each.kind for each in act_questions(lab, act, understood(lab, act, typed), lab.now())]
    assert rows(lab) == before
    return found


def rows(lab: Lab) -> int:
    with lab.reading() as record:
        return record.last_act()


@pytest.fixture
def bench(lab: Lab, ticking: Ticking) -> Lab:
    """A white slab, dry and in service, a white and a red body, a batch of each."""
    ticking.time = START
    slab = Slab(slab="P1", family="white", shape="rectangle", length_mm=500, width_mm=400, thickness_mm=45,
                mix_ratio=70, in_service_on=START.date() - timedelta(days=30), dry_mass_g=9950)  # fmt: skip
    slabs.enter_slab(lab, slab, at=START - timedelta(days=20), mass_g=10_000)
    for body, family in (("W-1", "white"), ("R-1", "red")):
        recipes.add_body(lab, Body(body=body, family=family), [("kaolin", 100.0)])
        batch = Batch(batch=f"{body}-1", body=body, made="slip", mixed_at=START - timedelta(hours=2),
                      dry_mass_g=1300, water_g=1300, slip_sg=1.44)  # fmt: skip
        recipes.mix_batch(lab, batch)
    return lab


LAYER = {"slab": "P1", "batch": "W-1-1", "layer_mm": "10 mm", "area_cm2": "1800"}


def test_a_sound_layer_is_not_asked_about(bench: Lab) -> None:
    assert asked(bench, POUR, **LAYER) == []
    assert do(bench, POUR, **LAYER) == "R1"
    with bench.reading() as record:
        assert [run.layer_mm for run in record.rows(Run)] == [10.0]


def log(lab: Lab, event: str, **about: Any) -> None:
    about.setdefault("at", lab.now() - timedelta(hours=1))
    slabs.log_slab(lab, SlabEvent(slab="P1", event=event, **about))


@pytest.mark.parametrize(
    ("what", "kind", "said"),
    [
        (
            lambda lab: correct_row(lab, Slab, "P1", {"retired_on": lab.now().date()}),
            "retired",
            "is retired since 2 Mar 2026",
        ),
        (lambda lab: log(lab, "broken"), "broken", "is broken since 2 Mar"),
        (lambda lab: log(lab, "chipped", face="form"), "chipped", "was chipped 2 Mar and not looked over since"),
        (lambda lab: log(lab, "salts"), "salts", "has salts"),
        (lambda lab: log(lab, "moved", place="sun", air_temp_c=58.0), "overheated", "stood in 58 °C"),
        (lambda lab: log(lab, "weighed", mass_g=13_300.0), "saturated", "is saturated"),
        (lambda lab: log(lab, "other_clay", family="red"), "suspect", "red clay dried on it"),
        (
            lambda lab: (log(lab, "weighed", mass_g=12_500.0), log(lab, "moved", place="outdoors", air_temp_c=-6.0)),
            "frozen",
            "stood wet in frost",
        ),
    ],
)
def test_each_state_of_a_slab_is_asked_about_and_told(bench: Lab, what: Any, kind: str, said: str) -> None:
    from claybench.terms import Family

    correct_row(bench, Family, "red", {"stain_rank": 3})
    what(bench)
    with pytest.raises(Unanswered) as question:
        do(bench, POUR, **LAYER)
    assert kind in [each.kind for each in question.value.questions]
    assert any(said in each.text for each in question.value.questions if each.kind == kind)
    with bench.reading() as record:
        assert record.rows(Run) == []


def test_an_answer_holds_until_the_fact_changes(bench: Lab, ticking: Ticking) -> None:
    red = {**LAYER, "batch": "R-1-1"}
    assert asked(bench, POUR, **red) == ["other_family"]
    do(bench, POUR, anyway=True, **red)
    ticking.forward(hours=2)
    do(bench, LIFT, run="R1", outcome="workable", anyway=True)
    ticking.forward(hours=20)
    recipes.mix_batch(
        bench, Batch(batch="R-1-2", body="R-1", mixed_at=ticking.time, dry_mass_g=1300, water_g=1300, slip_sg=1.44)
    )
    again = {**red, "batch": "R-1-2"}
    assert "other_family" not in asked(bench, POUR, **again)
    # Resurfaced, it is another face; and another family is another fact.
    recipes.add_body(bench, Body(body="B-1", family="buff"), [("kaolin", 100.0)])
    recipes.mix_batch(
        bench, Batch(batch="B-1-1", body="B-1", mixed_at=ticking.time, dry_mass_g=1300, water_g=1300, slip_sg=1.44)
    )
    assert "other_family" in asked(bench, POUR, **{**LAYER, "batch": "B-1-1"})


def test_an_answer_goes_when_the_act_is_taken_back(bench: Lab) -> None:
    red = {**LAYER, "batch": "R-1-1"}
    do(bench, POUR, anyway=True, **red)
    undo_last(bench)
    assert asked(bench, POUR, **red) == ["other_family"]


def test_only_what_was_seen_is_answered(bench: Lab) -> None:
    red = {**LAYER, "batch": "R-1-1"}
    with pytest.raises(Unanswered) as question:
        do(bench, POUR, **red)
    log(bench, "broken")
    with pytest.raises(Unanswered) as more:
        do(bench, POUR, anyway=question.value.questions, **red)
    assert {each.kind for each in more.value.questions} >= {"broken", "other_family"}


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ({"poured_g": "9 kg"}, "contradiction"),
        ({"area_cm2": "2600"}, "contradiction"),
        ({"layer_mm": "45 mm"}, "unusual"),
        ({"layer_mm": "14 mm"}, "more_than_batch"),
        ({"layer_mm": "4 mm"}, "larger_than_layer"),
        ({"started_at": "9:00 yesterday"}, "not_mixed"),
        ({"started_at": "2026-05-01 10:00"}, "unusual"),
    ],
)
def test_a_layer_that_contradicts_itself_or_its_batch(bench: Lab, typed: dict[str, str], kind: str) -> None:
    assert kind in asked(bench, POUR, **{**LAYER, **typed})


def test_a_batch_that_is_used_up(bench: Lab, ticking: Ticking) -> None:
    do(bench, POUR, **{**LAYER})
    ticking.forward(hours=2)
    do(bench, LIFT, run="R1", outcome="workable", anyway=True)
    assert "used_up" in asked(bench, POUR, **LAYER)


def test_touches_that_contradict_each_other(bench: Lab, ticking: Ticking) -> None:
    do(bench, POUR, **LAYER)
    ticking.forward(minutes=30)
    do(bench, TOUCH, run="R1", feel="workable")
    ticking.forward(minutes=5)
    assert asked(bench, TOUCH, run="R1", feel="fluid") == ["contradiction"]
    assert asked(bench, TOUCH, run="R1", feel="stiff") == []
    assert asked(bench, LIFT, run="R1", outcome="lifted_early") == ["contradiction"]


def test_a_dry_mass_of_5_kg_ten_minutes_after_9_kg(bench: Lab, ticking: Ticking) -> None:
    do(bench, WEIGH, slab="P1", mass_g="9.9 kg")
    ticking.forward(minutes=10)
    assert asked(bench, WEIGH, slab="P1", mass_g="9.2 kg", dry="yes") == ["contradiction"]
    with pytest.raises(Unanswered, match="no air takes 700 g"):
        do(bench, WEIGH, slab="P1", mass_g="9.2 kg")
    assert do(bench, WEIGH, slab="P1", mass_g="9.2 kg", anyway=True) == "P1"


def test_a_slab_of_40_by_30_by_5_is_asked_about(lab: Lab) -> None:
    """Typed in centimetres and taken as millimetres."""
    typed = {"slab": "P9", "length_mm": "40", "width_mm": "30", "thickness_mm": "5"}
    assert asked(lab, SLAB, **typed) == ["unusual"] * 3
    assert asked(lab, SLAB, **{**typed, "length_mm": "40 cm", "width_mm": "30 cm", "thickness_mm": "5 cm"}) == []


def test_what_is_impossible_is_refused_even_where_it_is_meant(bench: Lab) -> None:
    with pytest.raises(BadInput, match="3 or less"):
        do(bench, POUR, anyway=True, **{**LAYER, "slip_sg": "7"})
    with pytest.raises(BadInput, match="at most 1 000 000"):
        do(bench, POUR, anyway=True, **{**LAYER, "poured_g": "2000 kg"})
    with pytest.raises(BadInput, match="none of the words"):
        do(bench, event_act("moved"), anyway=True, slab="P1", event="moved", place="roof")


def test_a_weighing_is_held_against_the_one_after_it_and_what_a_slab_can_weigh(bench: Lab, ticking: Ticking) -> None:
    do(bench, WEIGH, slab="P1", mass_g="9.97 kg")
    kinds = asked(bench, WEIGH, slab="P1", mass_g="13 kg", at="1 h ago")
    assert kinds == ["contradiction"], "in an hour no air takes three kilograms"
    assert asked(bench, WEIGH, slab="P1", mass_g="9.96 kg", at="1 h ago") == []
    assert asked(bench, POUR, **LAYER, slab_before_g="1 kg") == ["contradiction"]
    slab = {"slab": "Z1", "length_mm": "40 cm", "width_mm": "30 cm", "thickness_mm": "4 cm"}
    assert asked(bench, SLAB, **slab, mass_g="5.6 kg", dry_mass_g="6.6 kg") == ["contradiction"]
    assert asked(bench, SLAB, **slab, mass_g="3.2 kg") == ["contradiction"]
    assert asked(bench, SLAB, **slab, mass_g="5.6 kg") == []


def test_what_no_layer_and_no_batch_does(bench: Lab, ticking: Ticking) -> None:
    do(bench, POUR, **{**LAYER, "layer_mm": "", "poured_g": "2580 g"})
    ticking.forward(minutes=1)
    assert asked(bench, TOUCH, run="R1", feel="stiff") == ["contradiction"]
    ticking.forward(minutes=40)
    assert asked(bench, LIFT, run="R1", outcome="workable", clay_off_g="85") == ["contradiction"]
    assert asked(bench, BATCH_EVENT, batch="W-1-1", event="water_added", mass_g="50 kg") == ["contradiction"]
    assert asked(bench, BATCH_EVENT, batch="W-1-1", event="water_added", mass_g="50 g") == []


def test_a_reading_and_a_second_one_are_asked_about_alike(bench: Lab, ticking: Ticking) -> None:
    do(bench, POUR, **LAYER)
    ticking.forward(minutes=60)
    do(bench, FORM, run="R1", count="2", codes="A1, A2")
    do(bench, MEASURE, piece="A1", reading="dry_mm", value="94")
    with bench.reading() as record:
        assert record.one(Piece, "A1").dry_how == "air"
    assert asked(bench, READING, piece="A1", what="dry_mm", value="39") == asked(
        bench, MEASURE, piece="A2", reading="dry_mm", value="39"
    )
    with pytest.raises(BadInput, match="--firing"):
        do(bench, MEASURE, piece="A1", reading="fired_mm", value="90")
    assert asked(bench, MEASURE, piece="A2", reading="dry_mm", value="94", at="in 2 days") == ["unusual"]
    assert "contradiction" in asked(bench, FIRE, firing="F1", pieces="A1, A2", fired_on="2025-01-01")
    do(bench, FIRE, firing="F1", pieces="A1")
    with pytest.raises(BadInput, match="in F1 already"):
        do(bench, FIRE, firing="F1", pieces="A1")


def test_a_ring_test_on_a_wet_slab_is_asked_about(bench: Lab) -> None:
    ring = {"slab": "P1", "event": "ring_test", "face": "form", "ring_area_cm2": "20", "ring_water_ml": "5 mL"}
    typed = {**ring, "ring_seconds": "60 s"}
    assert asked(bench, event_act("ring_test"), **typed) == []
    log(bench, "weighed", mass_g=12_500.0)
    assert asked(bench, event_act("ring_test"), **typed) == ["too_wet"]


def test_what_a_screen_works_out_itself_is_held_to_what_is_possible(bench: Lab) -> None:
    values = {"slab": "P1", "mass_g": 2e6, "at": bench.now(), "note": None, "dry": False}
    with pytest.raises(BadInput, match="Mass: It has to be .*at most 1 000 000"):
        perform(bench, WEIGH, values, now=bench.now(), anyway=True)


def test_a_slab_weighed_at_its_lift_is_not_to_be_weighed_again(bench: Lab, ticking: Ticking) -> None:
    from claybench.ask.bench import bench_now as home

    def to_weigh() -> list[str]:
        return [each.code for each in home(bench).due if each.kind == "weigh"]

    do(bench, POUR, **LAYER)
    ticking.forward(minutes=60)
    do(bench, LIFT, run="R1", outcome="workable", slab_after_g="10.4 kg", anyway=True)
    assert to_weigh() == []
    with bench.reading() as record:
        assert record.one(Run, "R1").slab_after_g == 10_400.0
    do(bench, correct_act(_run(bench), ("slab_after_g",), "Correct R1"), slab_after_g="")
    assert to_weigh() == ["P1"]


def _run(lab: Lab) -> Run:
    with lab.reading() as record:
        return record.one(Run, "R1")


def test_a_slip_weighs_what_really_went_in(bench: Lab, ticking: Ticking) -> None:
    """2 000 g of dry body of 2.6 and 2 000 g of water are 2 769 mL: 1.444 g/mL; with 1 700 g, 1.498."""
    batch = Batch(batch="W-1-9", body="W-1", made="slip", mixed_at=ticking.time, dry_mass_g=2000, water_g=2000,
                  slip_sg=1.444)  # fmt: skip
    recipes.mix_batch(bench, batch, [("kaolin", None, 2000.0)])
    do(bench, WATER_IN, batch="W-1-9", water_g="1700", anyway=True)
    with bench.reading() as record:
        assert record.one(Batch, "W-1-9").slip_sg == pytest.approx(1.498, abs=0.001)
