"""Declared properties: the built-in ones against the formulas of `measure`, and what a declaration is refused for."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, strategies as st

from claybench.errors import BadInput, OutOfRange
from claybench.measure.absorption import absorption, bulk_density, saturation_coefficient
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.checks import check_property
from claybench.measure.properties.declaration import Input, Property
from claybench.measure.properties.expression import names_in, parse
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import READINGS, SIZES, STANDARD_SOAKS
from claybench.measure.water_content import loss_on_ignition, water_of_plasticity
from tests.measure.textbook import apparent_density, apparent_porosity, linear_shrinkage, volume_shrinkage

BY_FORMULA = {
    "drying_shrinkage_pct": lambda r: linear_shrinkage(r["plastic_mm"], r["dry_mm"]),
    "firing_shrinkage_pct": lambda r: linear_shrinkage(r["dry_mm"], r["fired_mm"]),
    "total_shrinkage_pct": lambda r: linear_shrinkage(r["plastic_mm"], r["fired_mm"]),
    "volume_shrinkage_pct": lambda r: volume_shrinkage(linear_shrinkage(r["plastic_mm"], r["fired_mm"])),
    "absorption_pct": lambda r: absorption(r["fired_g"], r["soaked_g"]),
    "porosity_pct": lambda r: apparent_porosity(r["fired_g"], r["soaked_g"], r["suspended_g"]),
    "bulk_density": lambda r: bulk_density(r["fired_g"], r["soaked_g"], r["suspended_g"]),
    "saturation_coefficient": lambda r: saturation_coefficient(r["fired_g"], r["cold_soaked_g"], r["boiled_g"]),
    "apparent_density": lambda r: apparent_density(r["fired_g"], r["suspended_g"]),
    "loi_pct": lambda r: loss_on_ignition(r["dry_g"], r["fired_g"]),
    "workable_water_pct": lambda r: water_of_plasticity(r["plastic_g"], r["dry_g"]),
}
_READING = st.floats(20.0, 120.0)
STRENGTH = Property(
    name="crush_mpa",
    title="crushing strength",
    of="fired",
    unit="MPa",
    formula="load_n ÷ (side_mm × width_mm)",
    inputs=(
        Input(name="load_n", unit="N", low=0),
        Input(name="side_mm", unit="mm", low=0),
        Input(name="width_mm", unit="mm", low=0),
    ),
    digits=2,
    low=0,
    better="more",
    own=True,
)


@given(st.fixed_dictionaries(dict.fromkeys((*SIZES, *STANDARD_SOAKS), _READING)))
def test_each_is_what_its_formula_in_measure_gives(readings: dict[str, float]) -> None:
    """Where the formula refuses, the declaration has no value; and all pieces at once come to what each comes to."""
    columns = {name: np.array([value, value]) for name, value in readings.items()}
    for name, formula in BY_FORMULA.items():
        try:
            wanted = formula(readings)
        except OutOfRange:
            wanted = None
        found = BUILT_IN.value_of(name, readings)
        [(_, many)] = BUILT_IN.arrays_of(name, columns)
        if wanted is not None and not BUILT_IN[name].is_possible(wanted):  # an end, where it is near enough
            wanted = found[0] if found is not None and found[0] in BUILT_IN[name].ends else None
        if wanted is None:
            assert found is None and np.isnan(many).all(), name
        else:
            assert found is not None and found[0] == pytest.approx(wanted, rel=1e-9, abs=1e-9), name
            assert many == pytest.approx([found[0]] * 2, rel=1e-12, abs=1e-12), name


def test_every_built_in_formula_is_of_the_kind_of_its_unit_and_every_range_holds() -> None:
    for name, each in BUILT_IN.items():
        if not each.by_way:
            check_property(replace(each, name="of_its_own"), BUILT_IN)
        assert each.title and each.heading and each.digits >= 0 and (each.standard or each.source), name
        assert name in BY_FORMULA or each.worked_out or each.by_way, name


def test_a_property_that_rests_on_others_needs_their_readings_only() -> None:
    [variant] = BUILT_IN.variants("volume_shrinkage_pct")
    assert {each.name for each in variant.inputs} == {"plastic_mm", "fired_mm"}
    found = BUILT_IN.value_of("volume_shrinkage_pct", {"plastic_mm": 100.0, "fired_mm": 86.48})
    assert found is not None and found[0] == pytest.approx(35.3234, abs=5e-5)  # ASTM C326's own example


def test_why_names_formula_readings_and_source() -> None:
    reason = BUILT_IN.reason_of("total_shrinkage_pct", {"plastic_mm": 100.0, "fired_mm": 86.48})
    assert reason is not None and reason.result == 13.52
    assert reason.equation == "total shrinkage = 100 × (plastic length − fired length) ÷ plastic length"
    assert "  plastic length = 100 mm" in reason.lines() and any("C326" in line for line in reason.lines())
    assert BUILT_IN.reason_of("total_shrinkage_pct", {"plastic_mm": 100.0}) is None


@pytest.mark.parametrize(
    ("way", "readings", "wanted"),
    [
        # by hand: M = F·L/4 = 5 000 N·mm, y/I = 6/(b·d²) = 0.003; round: y/I = 32/(π·D³); four-point: M = F·(L − Li)/4
        ("three_point", {"break_breadth_mm": 20.0, "break_depth_mm": 10.0}, 15.0),
        ("three_point_round", {"break_diameter_mm": 10.0}, 50.9296),
        ("four_point", {"break_breadth_mm": 20.0, "break_depth_mm": 10.0, "break_inner_span_mm": 50.0}, 7.5),
        ("four_point_round", {"break_diameter_mm": 10.0, "break_inner_span_mm": 50.0}, 25.4648),
    ],
)
@pytest.mark.parametrize("state", ["green", "dry", "fired"])
def test_modulus_of_rupture_by_support_and_section(
    state: str, way: str, readings: dict[str, float], wanted: float
) -> None:
    name = f"{state}_rupture_mpa"
    broken = {f"{state}_load_n": 200.0, "break_span_mm": 100.0, **readings}
    found = BUILT_IN.value_of(name, broken)
    assert found == (pytest.approx(wanted, abs=1e-4), way)
    columns = {key: np.array([value]) for key, value in broken.items()}
    arrays = dict(BUILT_IN.arrays_of(name, columns))
    assert arrays[way] == pytest.approx([wanted], abs=1e-4)
    assert sum(int(np.isfinite(values).sum()) for values in arrays.values()) == 1, "one break, one value"
    assert BUILT_IN[name].way_words(way).startswith("three-point" if "three" in way else "four-point")
    assert BUILT_IN.value_of(name, {**broken, **readings, "break_inner_span_mm": 120.0}) is None


def test_modulus_of_rupture_is_in_the_unit_of_its_formula() -> None:
    for name in ("green_rupture_mpa", "dry_rupture_mpa", "fired_rupture_mpa"):
        declared = BUILT_IN[name]
        for formula in declared.by_way.values():
            used = tuple(each for each in declared.inputs if each.name in names_in(parse(formula)))
            check_property(
                replace(declared, name="alone", formula=formula, by_way={}, inputs=used, positive=()), BUILT_IN
            )


def test_every_reading_is_a_column_of_the_record() -> None:
    for each in READINGS.values():
        assert each.column.label and each.head and each.word
        assert set(each.guides) <= set(each.ways.words if each.ways else ())
        assert not each.ways or each.usual_way in each.ways.words


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"name": "2nd"}, "property", "cannot stand in a formula"),
        ({"name": "sqrt"}, "property", "function"),
        ({"name": "dry_mm"}, "property", "read off every piece"),
        ({"name": "Absorption_pct"}, "property", "there already"),
        ({"of": "kiln"}, "of", "piece, fired"),
        ({"kind": "guess"}, "kind", "number, score, word"),
        ({"better": "worse"}, "better", "more, less, none"),
        ({"unit": "smoots"}, "unit", "not a unit"),
        ({"low": 3.0, "high": 2.0}, "high", "from 3 to 2"),
        ({"formula": "load_n ÷ area_mm2"}, "formula", "'area_mm2' is not among the inputs"),
        ({"formula": "load_n ÷ side_mm"}, "formula", "'width_mm' is an input and does not stand"),
        ({"formula": "load_n ÷ (side_mm + width_mm)"}, "formula", "comes to N/mm, and MPa is N/mm² in kind."),
        ({"unit": "mm"}, "formula", "comes to N/mm², and the property is in mm."),
        ({"unit": ""}, "formula", "comes to N/mm², and the property is a plain number."),
        ({"formula": "load_n^3 ÷ (side_mm × width_mm)"}, "formula", "comes to kg³·m·s⁻⁶, and MPa is"),
        ({"formula": "load_n ÷ (side_mm × load_n) + width_mm"}, "formula", "cannot be added"),
        ({"formula": "ln(load_n) × side_mm × width_mm"}, "formula", "logarithm is taken of a plain number"),
        ({"formula": "load_n^side_mm × width_mm"}, "formula", "A power is a plain number"),
        ({"formula": "load_n ÷ (side_mm × width_mm"}, "formula", "bracket is not closed"),
        ({"formula": ""}, "formula", "inputs and no formula"),
        ({"unit": "kPa"}, "formula", "Multiply it by 1 000"),
        ({"kind": "word"}, "formula", "A word has no formula"),
        ({"of": "piece", "formula": "fired_g", "inputs": (Input(name="fired_g", unit="g"),)}, "inputs", "fired piece"),
        ({"formula": "x", "inputs": (Input(name="relative_time"),)}, "inputs", "property of a body"),
    ],
)
def test_what_has_no_meaning_is_refused_in_one_sentence(changes: dict[str, object], field: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        check_property(replace(STRENGTH, **changes), BUILT_IN)  # type: ignore[arg-type]
    assert refused.value.field == field
    assert words in f"{refused.value}"


def test_a_sound_one_is_taken_and_measured() -> None:
    check_property(STRENGTH, BUILT_IN)
    every = PropertySet([*BUILT_IN.values(), STRENGTH])
    readings = {"load_n": 5000.0, "side_mm": 20.0, "width_mm": 25.0}
    assert every.value_of("crush_mpa", readings) == (10.0, None)
    assert every.value_of("crush_mpa", {**readings, "side_mm": -1.0}) is None, "no side is shorter than nothing"
    assert "crush_mpa" in every.compared and "crush_mpa" in every.targets


def test_a_property_may_rest_on_one_of_the_lab_s_own_and_not_on_itself() -> None:
    ratio = replace(
        STRENGTH,
        name="per_density",
        unit="MPa*mL/g",
        formula="crush_mpa ÷ bulk_density",
        inputs=(Input(name="crush_mpa"), Input(name="bulk_density")),
    )
    among = PropertySet([*BUILT_IN.values(), STRENGTH])
    check_property(ratio, among)
    circle = replace(STRENGTH, formula="per_density", unit=ratio.unit, inputs=(Input(name="per_density"),))
    with pytest.raises(BadInput, match="rests on itself"):
        check_property(circle, PropertySet([*BUILT_IN.values(), ratio]))


def test_percent_is_asked_for_where_the_formula_gives_a_share() -> None:
    share = Property(
        name="glazed",
        title="glazed",
        unit="%",
        formula="(a − b) ÷ a",
        inputs=(Input(name="a", unit="g"), Input(name="b", unit="g")),
    )
    with pytest.raises(BadInput, match="Multiply it by 100"):
        check_property(share, BUILT_IN)
    check_property(replace(share, formula="100 × (a − b) ÷ a"), BUILT_IN)


def test_read_directly_it_needs_no_formula() -> None:
    score = Property(name="smoothness", title="smoothness", kind="score", of="piece", low=1, high=5, words={1: "rough"})
    check_property(score, BUILT_IN)
    every = PropertySet([score])
    assert every.value_of("smoothness", {"smoothness": 4.0}) == (4.0, None)
    assert every.value_of("smoothness", {"smoothness": 6.0}) is None
    assert math.isnan(next(every.arrays_of("smoothness", {"smoothness": np.array([9.0])}))[1][0])


def test_a_formula_of_numbers_alone_tells_nothing_of_any_piece() -> None:
    two = Property(name="two", title="two", formula="4 ÷ k", inputs=(Input(name="k", low=2.0, high=2.0),), own=True)
    bare = Property(name="bare", title="bare", formula="2", low=0, own=True)
    among = PropertySet([two, bare])
    columns = {"dry_mm": np.ones(3)}
    for name in ("two", "bare"):
        assert among.value_of(name, {"dry_mm": 1.0}) is None
        assert list(among.arrays_of(name, columns)) == [] == list(among.rounding_of(name, columns, {}))
