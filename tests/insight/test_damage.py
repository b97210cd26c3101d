"""Chips, heat and frost speak against a slab until somebody looked after them, each with face, day and strength."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, strategies as st

from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.lab_rows import LabRows
from claybench.insight.settings import Settings
from claybench.insight.slab_condition.proposed_layer import ProposedLayer
from claybench.insight.slab_condition.slab_damage import damage_evidence, look_over_tasks
from claybench.insight.slab_condition.slab_verdicts import SlabVerdicts
from claybench.insight.slab_condition.verdict import Evidence, SlabVerdict, makes_suspect
from claybench.terms import Air, Slab, SlabEvent

T0 = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
DRY_G = 10_000.0


def on(day: float) -> datetime:
    return T0 + timedelta(days=day)


def log(day: float, event: str, **more: object) -> SlabEvent:
    return SlabEvent(slab="P1", at=on(day), event=event, **more)  # type: ignore[arg-type]


def model_of(*events: SlabEvent, air: tuple[Air, ...] = (), card_g: float | None = DRY_G) -> LabModel:
    slab = Slab(
        slab="P1", family="white", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70, dry_mass_g=card_g,
        cast_at=date(2026, 1, 1), in_service_on=date(2026, 2, 1),
    )  # fmt: skip
    return LabModel(LabRows(slabs=[slab], events=events, air=air), at=on(60), zone=UTC, settings=Settings())


def damage(*events: SlabEvent, **more: object) -> dict[str, Evidence]:
    return {each.kind: each for each in damage_evidence(model_of(*events, **more), "P1")}  # type: ignore[arg-type]


def verdict(*events: SlabEvent) -> SlabVerdict:
    return SlabVerdicts(model_of(*events), [], [], []).verdict("P1")


# -- chips -----------------------------------------------------------------------------------------


def test_a_chip_makes_a_slab_suspect_until_its_face_is_looked_over() -> None:
    chip = log(3, "chipped", face="form", note="knocked on the board")
    held = verdict(log(0, "weighed_dry", mass_g=DRY_G), chip)
    (found,) = [each for each in held.evidence if each.kind == "chips"]
    assert (found.face, found.since, found.strength) == ("form", date(2026, 3, 4), 0.5)
    assert found.text == "chipped 4 Mar and not looked over since (knocked on the board)"
    assert held.verdict == "suspect" and "looked over" in held.advice and held.layer.grade == "ask"
    looked = verdict(log(0, "weighed_dry", mass_g=DRY_G), chip, log(4, "looked_over", face="form"))
    assert looked.verdict == "ready" and looked.layer.grade == "fine"
    assert not [each for each in looked.evidence if each.kind == "chips"]


def test_a_chipped_face_is_due_to_be_looked_over_until_it_was() -> None:
    chip = log(3, "chipped", face="form")
    (due,) = look_over_tasks([verdict(chip)], UTC)
    assert (due.kind, due.code, due.at) == ("look_over", "P1", datetime(2026, 3, 4, tzinfo=UTC))
    assert due.text == "look over the form face of P1: chipped 4 Mar and not looked over since"
    assert not due.pressing and due.overdue(on(4))
    (still,) = look_over_tasks([verdict(chip, log(4, "looked_over", face="open"))], UTC)
    assert still == due
    assert not list(look_over_tasks([verdict(chip, log(4, "looked_over", face="form"))], UTC))


@pytest.mark.parametrize(("word", "clears"), [
    ("looked_over", True), ("cleaned", True), ("resurfaced", True),
    ("turned", False), ("weighed_dry", False), ("ring_test", False), ("note", False),
])  # fmt: skip
def test_what_brings_eyes_to_a_chip(word: str, clears: bool) -> None:
    assert ("chips" not in damage(log(3, "chipped", face="form"), log(4, word))) is clears


def test_a_look_counts_for_its_own_face_and_only_afterwards() -> None:
    chip = log(3, "chipped", face="form")
    assert "chips" in damage(chip, log(4, "looked_over", face="open"))
    assert "chips" in damage(chip, log(2, "looked_over", face="form"))
    assert "chips" in damage(
        chip, log(3, "looked_over", face="form")
    )  # the same minute: which came first, nobody knows
    untold = replace(chip, face=None)
    assert damage(untold)["chips"].face is None
    # One face looked over leaves the other; both, or the slab as a whole, leave nothing.
    assert damage(untold, log(4, "looked_over", face="form"))["chips"].face == "open"
    assert "chips" not in damage(untold, log(4, "looked_over", face="form"), log(5, "looked_over", face="open"))
    assert "chips" not in damage(untold, log(4, "looked_over"))


def test_chips_of_two_faces_are_two_and_more_of_one_are_stronger() -> None:
    both = damage_evidence(model_of(log(3, "chipped", face="form"), log(5, "chipped", face="open")), "P1")
    assert {(each.face, each.since) for each in both} == {("form", date(2026, 3, 4)), ("open", date(2026, 3, 6))}
    two = damage(log(3, "chipped", face="form"), log(5, "chipped", face="form"))["chips"]
    assert two.strength == pytest.approx(0.75) and two.since == date(2026, 3, 4) and "6 Mar, 2 chips" in two.text
    assert damage(log(3, "chipped", face="form", count=2))["chips"].strength == two.strength
    # The first of two was looked over: the second alone is left.
    left = damage(log(3, "chipped", face="form"), log(4, "looked_over"), log(5, "chipped", face="form"))["chips"]
    assert (left.since, left.strength) == (date(2026, 3, 6), 0.5)


def test_a_chip_before_the_slab_was_cast_was_another_slabs() -> None:
    assert damage(log(-90, "chipped", face="form")) == {}
    assert "chips" in damage(log(-50, "chipped", face="form"))


def test_a_layer_on_the_sound_face_is_not_asked_about() -> None:
    held = SlabVerdicts(model_of(log(3, "chipped", face="open")), [], [], [])
    assert held.fitness("P1", ProposedLayer(body=None, face="form")).grade == "fine"
    assert held.fitness("P1", ProposedLayer(body=None, face="open")).of_kind("chipped")


# -- heat ------------------------------------------------------------------------------------------


OVEN = (log(3, "moved", place="other", air_temp_c=60.0), log(3.05, "moved", place="shelf", air_temp_c=18.0))


def test_heat_counts_until_the_slab_is_weighed_dry() -> None:
    found = damage(*OVEN)["heat"]
    assert (found.face, found.since, found.strength) == (None, date(2026, 3, 4), 0.5)
    assert "60 °C" in found.text and "not weighed dry since" in found.text and makes_suspect(found)
    assert "heat" not in damage(*OVEN, log(5, "weighed_dry", mass_g=DRY_G - 10))
    assert "heat" in damage(*OVEN, log(2, "weighed_dry", mass_g=DRY_G))
    assert damage(log(3, "overheated"))["heat"].text.startswith("overheated 4 Mar")
    assert "heat" not in damage(log(3, "moved", place="other", air_temp_c=49.0))
    tested = damage(*OVEN, log(4, "ring_test", face="form"))["heat"]
    assert not makes_suspect(tested) and "not weighed dry since" in tested.text


def test_what_is_done_in_the_minute_of_moving_it_out_comes_afterwards() -> None:
    out = OVEN[1]
    assert "heat" not in damage(*OVEN, replace(log(5, "weighed_dry", mass_g=DRY_G), at=out.at))
    assert "frost" not in damage(WET, *FROST, replace(log(5, "looked_over"), at=FROST[1].at))
    # Logged in a word, nobody knows which came first.
    assert "heat" in damage(log(3, "overheated"), log(3, "weighed_dry", mass_g=DRY_G))
    assert "heat" not in damage(log(3, "overheated", until=on(3.2)), log(3.2, "weighed_dry", mass_g=DRY_G))
    assert "heat" in damage(log(3, "overheated", until=on(3.2)), log(3.1, "weighed_dry", mass_g=DRY_G))


def test_what_the_scale_says_of_heat_is_how_much_plaster_has_lost_bound_water() -> None:
    """157 g of 10 kg are 1.57 %, and gypsum loses 15.7 % on its way to hemihydrate: a tenth of the plaster."""
    found = damage(*OVEN, log(5, "weighed_dry", mass_g=DRY_G - 157))["heat"]
    assert "157 g of bound water lost: 10.0 % of its plaster (1 000 g)" in found.text
    assert found.strength == pytest.approx(0.785) and makes_suspect(found)
    little = damage(*OVEN, log(5, "weighed_dry", mass_g=DRY_G - 51))["heat"]
    assert not makes_suspect(little)
    # Weighed before the heat, that counts and not the card; nothing weighed before, nobody knows.
    before = log(2, "weighed_dry", mass_g=DRY_G - 157)
    assert "heat" not in damage(before, *OVEN, log(5, "weighed_dry", mass_g=DRY_G - 160))
    assert "nobody knows" in damage(*OVEN, log(5, "weighed_dry", mass_g=9_800), card_g=None)["heat"].text


def test_heat_at_a_place_is_read_off_the_air_there_and_only_while_the_slab_stood_there() -> None:
    hot = (Air(at=on(3), place="drying_room", air_temp_c=62.0),)
    assert (
        "62 °C" in damage(log(2.9, "moved", place="drying_room"), log(4, "moved", place="shelf"), air=hot)["heat"].text
    )
    assert damage(air=hot) == {}
    assert (
        damage(log(-90, "moved", place="drying_room", air_temp_c=70.0), log(-89, "moved", place="shelf")) == {}
    )  # uncast


# -- frost -----------------------------------------------------------------------------------------


WET = log(2.9, "weighed", mass_g=DRY_G + 1900)
FROST = (log(3, "moved", place="outdoors", air_temp_c=-5.0), log(3.6, "moved", place="shelf", air_temp_c=18.0))


def test_frost_speaks_against_a_wet_slab_until_both_faces_are_looked_over() -> None:
    found = damage(WET, *FROST)["frost"]
    assert (found.face, found.since, found.strength) == (None, date(2026, 3, 4), 0.5) and makes_suspect(found)
    assert "stood wet in frost 4 Mar" in found.text
    assert damage(WET, *FROST, log(5, "looked_over", face="form"))["frost"].face == "open"
    assert "frost" not in damage(WET, *FROST, log(5, "looked_over"))
    assert "frost" not in damage(log(2.9, "weighed_dry", mass_g=DRY_G), *FROST)


def test_a_frost_that_was_only_logged_goes_by_the_wetness_at_that_moment() -> None:
    assert "frost" in damage(WET, log(3, "frozen"))
    assert "frost" not in damage(log(2.9, "weighed_dry", mass_g=DRY_G), log(3, "frozen"))
    # Wet before, but dry by the day it froze.
    assert "frost" not in damage(
        log(-20, "weighed", mass_g=12_000), log(2.9, "weighed_dry", mass_g=DRY_G), log(3, "frozen")
    )
    # A look in the midst of it says nothing of the rest of the night.
    assert "frost" in damage(WET, FROST[0], log(3.2, "looked_over"), FROST[1])


def test_frost_on_a_slab_of_unknown_wetness_says_so() -> None:
    old = Slab(slab="P1", length_mm=500, width_mm=400, thickness_mm=45)
    model = LabModel(LabRows(slabs=[old], events=[log(3, "frozen")]), at=on(60), zone=UTC, settings=Settings())
    (found,) = damage_evidence(model, "P1")
    assert found.text == "stood in frost 4 Mar, how wet nobody knows: its face may have split" and makes_suspect(found)


def test_a_second_frost_is_a_new_fact() -> None:
    once = damage(WET, *FROST)["frost"]
    again = (log(5, "weighed", mass_g=DRY_G + 1900), log(5, "frozen"))
    assert damage(WET, *FROST, *again)["frost"].fact != once.fact
    left = damage(WET, *FROST, log(4, "looked_over"), *again)["frost"]
    assert left.since == date(2026, 3, 6)


# -- order -----------------------------------------------------------------------------------------


MESSY = (
    log(1, "chipped", face="form"), log(1, "looked_over", face="form"), log(2, "chipped", face="open", count=2),
    log(2.5, "cleaned", face="form"), WET, *FROST, log(4, "overheated"), log(4, "looked_over", face="open"),
    log(6, "weighed_dry", mass_g=DRY_G - 250), log(7, "salts", face="form"), log(8, "chipped"),
)  # fmt: skip


@given(st.permutations(MESSY))
def test_evidence_goes_by_when_things_happened_not_by_when_they_were_typed_in(events: list[SlabEvent]) -> None:
    expected = SlabVerdicts(model_of(*MESSY), [], [], []).verdict("P1")
    assert {each.kind for each in expected.evidence} == {"wetness", "chips", "heat", "frost", "dry_mass", "salts"}
    assert SlabVerdicts(model_of(*events), [], [], []).verdict("P1").evidence == expected.evidence


# -- a verdict uses them ---------------------------------------------------------------------------


@pytest.mark.parametrize(("kind", "strength", "suspect"), [
    ("chips", 0.5, True), ("frost", 0.5, True), ("heat", 0.5, True), ("heat", 0.3, False),
    ("salts", 0.9, True), ("salts", 0.6, False), ("dry_mass", 1.0, False), ("wetness", 1.0, False), ("slow", 0.1, True),
])  # fmt: skip
def test_one_rule_says_what_makes_a_slab_suspect(kind: str, strength: float, suspect: bool) -> None:
    assert makes_suspect(Evidence(kind, None, None, strength, "")) is suspect
