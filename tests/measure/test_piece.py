"""All measures of one piece, and the doubts asked beside an entry."""

from __future__ import annotations

import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, strategies as st

from claybench.measure.piece import PieceRaw, Question, measures, questions, reasons
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.declaration import Property
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import READINGS
from claybench.quantity import canonical_unit

SOUND = PieceRaw(
    plastic_mm=100,
    plastic_g=62.5,
    dry_mm=94,
    dry_g=50,
    dry_how="oven",
    fired_mm=86.48,
    fired_g=46,
    soaked_g=49,
    suspended_g=28,
    cold_soaked_g=48.4,
    boiled_g=49,
)


BY_WATER = {"absorption_pct", "porosity_pct", "bulk_density", "apparent_density"}


def test_a_whole_piece() -> None:
    """ASTM C326: 100, 94, 86.48 give 6, 8, 13.52 %, and 35.3234 % by volume; the rest by hand."""
    found = measures(SOUND)
    assert found.values["drying_shrinkage_pct"] == pytest.approx(6)
    assert found.values["firing_shrinkage_pct"] == pytest.approx(8)
    assert found.values["total_shrinkage_pct"] == pytest.approx(13.52)
    assert found.values["volume_shrinkage_pct"] == pytest.approx(35.3234, abs=5e-5)
    assert found.values["absorption_pct"] == pytest.approx(100 * 3 / 46)
    assert found.values["porosity_pct"] == pytest.approx(100 * 3 / 21)
    assert found.values["bulk_density"] == pytest.approx(46 / 21)
    assert found.values["workable_water_pct"] == pytest.approx(25)
    assert found.values["loi_pct"] == pytest.approx(8)
    assert not found.air_dry
    assert questions(SOUND) == []


def test_askeland_s_piece() -> None:
    """Askeland, The Science and Engineering of Materials, Ex. 15.8: dry 360, soaked 385, hanging 224."""
    found = measures(PieceRaw(fired_g=360, soaked_g=385, suspended_g=224))
    assert found.values["porosity_pct"] == pytest.approx(15.528, abs=5e-4)
    assert found.values["bulk_density"] == pytest.approx(2.2360, abs=5e-5)
    assert found.values["absorption_pct"] == pytest.approx(6.9444, abs=5e-5)
    assert found.values["apparent_density"] == pytest.approx(2.6471, abs=5e-5)


def test_every_measure_says_why() -> None:
    """The reason is of the same call as the figure: formula, readings, source."""
    found, why = measures(SOUND), reasons(SOUND)
    assert set(why) == {name for name in BUILT_IN.by_readings if not BUILT_IN[name].by_way}
    for name, [reason] in why.items():
        assert reason.result == found.get(name)
        assert reason.equation and reason.sources
    lines = why["absorption_pct"][0].lines()
    assert any("46" in line for line in lines) and any("ASTM C373" in line for line in lines)
    assert reasons(PieceRaw(plastic_mm=100)) == {}


@pytest.mark.parametrize(
    ("raw", "names"),
    [
        (PieceRaw(), set()),
        (PieceRaw(plastic_mm=100), set()),
        (PieceRaw(plastic_mm=100, dry_mm=94), {"drying_shrinkage_pct"}),
        (PieceRaw(dry_mm=94, fired_mm=90), {"firing_shrinkage_pct"}),
        (PieceRaw(plastic_mm=100, fired_mm=90), {"total_shrinkage_pct", "volume_shrinkage_pct"}),
        (PieceRaw(plastic_g=60, dry_g=50), {"workable_water_pct"}),
        (PieceRaw(dry_g=50, fired_g=46), {"loi_pct"}),
        (PieceRaw(fired_g=46, soaked_g=49), {"absorption_pct"}),
        (PieceRaw(soaked_g=49, suspended_g=28), set()),
        (PieceRaw(fired_g=46, soaked_g=49, suspended_g=28), BY_WATER),
        (PieceRaw(fired_g=46, soaked_g=49, suspended_g=47), {"absorption_pct", "bulk_density"}),  # pores of 150 %
        (PieceRaw(fired_g=46, soaked_g=49, suspended_g=49), {"absorption_pct"}),
    ],
)
def test_each_measure_as_soon_as_its_inputs_are_there(raw: PieceRaw, names: set[str]) -> None:
    found = measures(raw)
    assert {name for name in BUILT_IN.by_readings if found.get(name) is not None} == names


@pytest.mark.parametrize(("how", "marked"), [("oven", False), ("air", True), (None, True)])
def test_water_and_loss_by_an_air_dry_mass_are_marked(how: str | None, marked: bool) -> None:
    raw = replace(SOUND, dry_how=how)
    assert measures(raw).air_dry is marked
    assert measures(raw).values["loi_pct"] == pytest.approx(8)
    assert not measures(replace(raw, dry_g=None)).air_dry


def test_every_measure_has_a_name_and_a_unit() -> None:
    for declared in BUILT_IN.values():
        assert declared.title and declared.short and canonical_unit(declared.unit) and declared.digits >= 0


def asked(raw: PieceRaw) -> dict[str, str]:
    """Questions by field; never two for one."""
    found = questions(raw)
    assert len({each.field for each in found}) == len(found)
    return {each.field: each.text for each in found}


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"dry_mm": 104}, "dry_mm", "grew in drying"),
        ({"dry_mm": 74}, "dry_mm", "shrank 26 %"),
        ({"dry_mm": 9.4}, "dry_mm", "another unit"),
        ({"fired_mm": 97}, "fired_mm", "grew in firing"),
        ({"fired_mm": 60}, "fired_mm", "shrank 36 % in firing"),
        ({"fired_mm": 73}, "fired_mm", "shrank 27 % in drying and firing"),
        ({"fired_mm": 864.8}, "fired_mm", "a digit"),
        ({"dry_mm": None, "fired_mm": 101}, "fired_mm", "grew"),
        ({"dry_g": 70}, "dry_g", "Heavier than plastic"),
        ({"dry_g": 5}, "dry_g", "a digit"),
        ({"dry_g": 35}, "dry_g", "held 79 % of water"),
        ({"fired_g": 51}, "fired_g", "Heavier than dry"),
        ({"fired_g": 460}, "fired_g", "a digit"),
        ({"fired_g": 30, "soaked_g": None, "suspended_g": None}, "fired_g", "lost 40 %"),
        ({"dry_g": None, "fired_g": 70, "soaked_g": None, "suspended_g": None}, "fired_g", "Heavier than plastic"),
        ({"soaked_g": 45}, "soaked_g", "less than dry"),
        ({"soaked_g": 75}, "soaked_g", "took up 63 %"),
        ({"soaked_g": 490}, "soaked_g", "a digit"),
        ({"suspended_g": 49}, "suspended_g", "not less than soaked"),
        ({"suspended_g": 47}, "suspended_g", "not less than dry"),
        ({"suspended_g": 2.8}, "suspended_g", "a digit"),
        ({"suspended_g": 40}, "suspended_g", "density would be"),
        ({"fired_g": 0}, "fired_g", "cannot be measured"),
        ({"plastic_mm": -100}, "plastic_mm", "cannot be measured"),
    ],
)
def test_what_can_hardly_be_is_asked(changes: dict[str, float | None], field: str, words: str) -> None:
    found = asked(replace(SOUND, **changes))  # type: ignore[arg-type]
    assert words in found[field]
    assert found[field].endswith("?")


@pytest.mark.parametrize(
    "changes",
    [
        {"dry_mm": 100},
        {"dry_mm": 75.1, "fired_mm": 75.1},
        {"fired_mm": 95},
        {"fired_g": 50, "soaked_g": 50, "suspended_g": 30},
        {"soaked_g": 46},
        {"fired_g": 36, "soaked_g": 57, "suspended_g": 22},
    ],
)
def test_what_is_only_unusual_is_not(changes: dict[str, float]) -> None:
    assert asked(replace(SOUND, **changes)) == {}  # type: ignore[arg-type]


def test_a_property_of_the_labs_own_is_asked_about_outside_what_is_usual() -> None:
    own = Property(
        name="left_pct", title="length kept", unit="%", formula="100 * fired_mm / plastic_mm", own=True, usual_low=80,
        inputs=(READINGS["fired_mm"].input, READINGS["plastic_mm"].input),
    )  # fmt: skip
    properties = PropertySet([*BUILT_IN.values(), own])
    said = {each.field: each.text for each in questions(replace(SOUND, fired_mm=78), properties)}
    assert said == {"fired_mm": "Its length kept would be 78.0 %; at least 80 % is usual. Is that right?"}
    assert questions(SOUND, properties) == questions(replace(SOUND, fired_mm=78), BUILT_IN) == []


def test_what_follows_from_a_doubtful_reading_is_not_asked_again() -> None:
    """By a dry mass above the plastic one a third would be lost in the fire; that is the same doubt."""
    assert asked(replace(SOUND, dry_g=70)).keys() == {"dry_g"}
    assert asked(replace(SOUND, soaked_g=45)).keys() == {"soaked_g"}  # so would porosity be below nothing


def test_a_doubtful_reading_still_counts() -> None:
    """Asked about, kept as typed, never dropped: a bar that grew has a negative shrinkage."""
    raw = replace(SOUND, dry_mm=104)
    assert asked(raw).keys() == {"dry_mm"}
    assert measures(raw).values["drying_shrinkage_pct"] == pytest.approx(-4)


@pytest.mark.parametrize(
    ("fired", "soaked", "absorbs"),
    [
        (46.0, 46.0, 0.0),
        (46.0, 45.9, 0.0),
        (46.25, 46.24, 0.0),
        (46.0, 45.8, None),
        (46.25, 46.15, None),
        (46.0, 45.0, None),
    ],
)
def test_soaked_lighter_than_fired_is_nothing_taken_up_within_a_step_and_a_faulty_reading_beyond(
    fired: float, soaked: float, absorbs: float | None
) -> None:
    """Two weighings differ by a step of the scale at most where nothing was taken up; no bar loses water in water."""
    raw = PieceRaw(fired_g=fired, soaked_g=soaked)
    assert measures(raw).get("absorption_pct") == absorbs
    columns = {"fired_g": np.array([fired, 46.0]), "soaked_g": np.array([soaked, 49.0])}
    [(_, many)] = BUILT_IN.arrays_of("absorption_pct", columns)
    assert many.tolist()[0] == absorbs if absorbs is not None else np.isnan(many[0])
    assert many[1] == pytest.approx(300 / 46)
    said = [each.text for each in questions(raw)]
    assert said == (
        [] if absorbs is not None else [f"Soaked it weighs {soaked:g} g, less than dry ({fired:g} g). Is that right?"]
    )


readings = st.one_of(st.none(), st.floats())


@given(
    st.builds(
        PieceRaw, **dict.fromkeys((field.name for field in fields(PieceRaw) if field.name != "dry_how"), readings)
    )
)
def test_whatever_is_typed_is_answered(raw: PieceRaw) -> None:
    found = measures(raw)
    for name in BUILT_IN.by_readings:
        value = found.get(name)
        assert value is None or math.isfinite(value)
    assert all(isinstance(each, Question) and each.text for each in questions(raw))
