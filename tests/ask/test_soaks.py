"""Soaks and second readings: what enters a piece's value, what stands beside it, and the same in every place."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from claybench.acts.act import perform
from claybench.acts.pieces import MEASURE, READING
from claybench.ask.comparison import side_by_side
from claybench.ask.pieces import batch_plasticity, piece_lines, piece_page
from claybench.ask.snapshot import take_snapshot
from claybench.insight.bodies.comparison.body_means import pool_bodies
from claybench.insight.bodies.comparison.differences import ways_apart
from claybench.insight.bodies.comparison.property_columns import record_columns
from claybench.measure.properties.built_in import ABSORPTION
from claybench.record.lab import Lab
from claybench.terms import TABLE_OF, Batch, Body, Family, Fired, Firing, Instrument, Measurement, Piece, Run
from claybench.work.pieces import add_firing, form_pieces
from claybench.work.recipes import add_body, add_family, mix_batch

AT = datetime(2026, 3, 10, 9, tzinfo=UTC)


@pytest.fixture
def lab(lab: Lab) -> Lab:
    """Two bodies of one batch, of three bars each, fired and weighed."""
    add_family(lab, Family(family="buff"))
    for body in "AB":
        add_body(lab, Body(body=body, family="buff"), [])
        mix_batch(lab, Batch(batch=f"{body}-1", body=body, mixed_at=AT), [])
        form_pieces(
            lab, [Piece(piece=f"{body}{n}", batch=f"{body}-1", formed_at=AT, plastic_mm=100.0) for n in range(3)]
        )
    add_firing(lab, Firing(firing="F1", fired_on=AT), [f"{body}{n}" for body in "AB" for n in range(3)])
    for n, mass in enumerate((100.0, 101.0, 99.5)):
        for body in "AB":
            measure(lab, f"{body}{n}", "fired_g", mass)
    return lab


def measure(
    lab: Lab, piece: str, reading: str, value: float, method: str | None = None, hours: float | None = None
) -> None:
    """The act behind form, key and command."""
    firing = "F1" if reading not in ("dry_mm", "plastic_mm", "plastic_g", "dry_g") else None
    values = {
        "piece": piece,
        "reading": reading,
        "value": value,
        "firing": firing,
        "method": method,
        "soak_hours": hours,
        "at": AT,
    }
    perform(lab, MEASURE, values, now=AT, anyway=True)


def add(lab: Lab, row: object) -> None:
    """One row of any table."""
    with lab.acting("Added") as act:
        act.add(row)


def absorbs(lab: Lab, body: str) -> dict[str, float]:
    """Mean absorption by how it was taken."""
    result = next(each for each in side_by_side(lab, [body]).results if each.firing)
    return {each.way(short=True): each.summary.mean for each in result.every if each.name == "absorption_pct"}


def test_cold_and_boiled_soaks_of_one_piece_stand_side_by_side_and_give_a_coefficient(lab: Lab) -> None:
    """9.1 % cold and 11 % boiled are 0.83 (Masonry Construction, Meeting the Grade, of which an excerpt was read)."""
    for n, mass in enumerate((100.0, 101.0, 99.5)):
        measure(lab, f"A{n}", "soaked_g", round(mass * 1.0913, 4), "soak", 24.0)
        measure(lab, f"A{n}", "soaked_g", round(mass * 1.11, 4), "boil", 5.0)
    with lab.reading() as record:
        assert record.rows(Fired, piece="A0", firing="F1")[0].soak_method == "soak"
        [kept] = record.rows(Measurement, piece="A0")
        assert (kept.what, kept.value, kept.method) == ("soaked_g", 111.0, "boiled 5 h")
    assert absorbs(lab, "A") == {
        "soaked 24 h": pytest.approx(9.13, abs=1e-3),
        "boiled 5 h": pytest.approx(11, abs=1e-3),
    }
    [result] = [each for each in side_by_side(lab, ["A"]).results if each.firing]
    assert result.properties["saturation_coefficient"].mean == pytest.approx(0.83, abs=1e-5)
    line = piece_page(lab, "A0").lines[1]
    assert line.measures.get("saturation_coefficient") == pytest.approx(0.83)
    assert line.measures.get("absorption_pct") == pytest.approx(9.13)
    assert [(each.soak.text(), each.measures.get("absorption_pct")) for each in line.soaks] == [
        ("boiled 5 h", pytest.approx(11))
    ]
    measure(lab, "A0", "soaked_g", 110.0, "boil", 5.0)  # the same soak again corrects it
    with lab.reading() as record:
        [kept] = record.rows(Measurement, piece="A0")
        assert kept.value == 110.0
        assert record.rows(Fired, piece="A0", firing="F1")[0].soaked_g == pytest.approx(109.13)


def test_a_cold_soak_is_in_no_tile_group() -> None:
    """Groups of ISO 13006 are by ISO 10545-3, boiling or vacuum (from memory); cold water alone is neither."""
    groups = [ABSORPTION.class_of(2.0, way) for way in ("boil 5 h", "vacuum", "soak 24 h", "not noted", None)]
    assert groups == ["BIb", "BIb", None, None, None]


def test_five_hours_are_never_averaged_with_two_nor_told_against_them(lab: Lab) -> None:
    for n, mass in enumerate((100.0, 101.0, 99.5)):
        measure(lab, f"A{n}", "soaked_g", round(mass * (1.06 + n / 1000), 2), "boil", 5.0)
        measure(lab, f"B{n}", "soaked_g", round(mass * (1.03 + n / 1000), 2), "boil", 2.0)
    measure(lab, "A2", "soaked_g", 103.0, "boil", 2.0)
    assert absorbs(lab, "A").keys() == {"boiled 5 h", "boiled 2 h"}
    assert absorbs(lab, "B").keys() == {"boiled 2 h"}
    found = side_by_side(lab, ["A", "B"], against="B")
    [result] = [each for each in found.results if each.firing and each.body == "A"]
    assert {each.way(short=True) for each in found.differences_of(result) if each.name == "absorption_pct"} == {
        "boiled 2 h"
    }
    assert ways_apart(found.results, "B") == []
    with lab.reading() as record:
        [other] = record.rows(Measurement, piece="A2")
    with lab.acting("Taken back") as act:
        act.remove(Measurement, tuple(getattr(other, name) for name in TABLE_OF[Measurement].key))
    apart = side_by_side(lab, ["A", "B"], against="B")
    assert ways_apart(apart.results, "B") == [
        "absorption of A was taken boiled 5 h, that of B boiled 2 h: these are not interchangeable, and no difference "
        "is told."
    ]
    assert not [
        each for result in apart.results for each in apart.differences_of(result) if each.name == "absorption_pct"
    ]


def test_a_second_reading_enters_the_value_by_its_step(lab: Lab) -> None:
    """Weights by one over the square of the step: 94.0 to half a millimetre, 94.25 to a twentieth."""
    measure(lab, "A0", "dry_mm", 94.0)
    add(lab, Instrument(instrument="caliper", step=0.05, unit="mm"))
    add(lab, Measurement(piece="A0", what="dry_mm", at=AT, step=0.5))
    again = {"piece": "A0", "what": "dry_mm", "value": "94.25", "at": AT}
    perform(lab, READING, again, now=AT, anyway=True)
    assert piece_page(lab, "A0").lines[0].measures.get("drying_shrinkage_pct") == pytest.approx(100 - 94.125)
    with lab.reading() as record:
        row = next(each for each in record.rows(Measurement, piece="A0") if each.value is not None)
    with lab.acting("Named the caliper") as act:
        key = tuple(getattr(row, name) for name in TABLE_OF[Measurement].key)
        act.change(Measurement, key, {"instrument": "caliper"})
    wanted = 100 - (94.0 / 0.5**2 + 94.25 / 0.05**2) / (1 / 0.5**2 + 1 / 0.05**2)
    assert piece_page(lab, "A0").lines[0].measures.get("drying_shrinkage_pct") == pytest.approx(wanted)
    lines = {line.piece.piece: line for line in piece_lines(lab)}
    assert lines["A0"].measures.get("drying_shrinkage_pct") == pytest.approx(wanted)
    assert lines["A0"].piece.dry_mm == 94.0
    straight = next(each for each in side_by_side(lab, ["A"]).results if each.firing is None)
    assert straight.properties["drying_shrinkage_pct"].mean == pytest.approx(wanted)
    snapshot = take_snapshot(lab, Piece, Fired, Batch, Measurement, Firing, Instrument, Run)
    held = pool_bodies(record_columns(snapshot), snapshot.properties)
    assert held.cells["drying_shrinkage_pct"].mean[0] == pytest.approx(wanted)


def test_a_coarse_card_told_of_its_batch_leaves_fine_readings_as_they_are(lab: Lab) -> None:
    """Cards to a millimetre, read again to a hundredth: the mean is theirs, and so is how coarse it is.

    By hand: (94 + 2 · 100² · 94.33) ÷ (1 + 2 · 100²) = 94.329984; the study of readings by batches is of one ruler.
    """
    add(lab, Instrument(instrument="rule", step=1.0, unit="mm"))
    add(lab, Instrument(instrument="caliper", step=0.01, unit="mm"))
    add(lab, Measurement(batch="A-1", what="dry_mm", at=AT, instrument="rule"))
    for n in range(3):
        measure(lab, f"A{n}", "dry_mm", 94.0)
        for hour, value in ((11, 94.32), (12, 94.34)):
            at = AT.replace(hour=hour)
            add(lab, Measurement(piece=f"A{n}", what="dry_mm", at=at, value=value, instrument="caliper"))
    wanted = 100 - 94.329984
    assert piece_page(lab, "A0").lines[0].measures.get("drying_shrinkage_pct") == pytest.approx(wanted, abs=1e-6)
    straight = next(each for each in side_by_side(lab, ["A"]).results if each.firing is None)
    dried = straight.measured["drying_shrinkage_pct"]
    assert dried.summary.mean == pytest.approx(wanted, abs=1e-6)
    assert dried.step == pytest.approx(0.01, rel=0.01)
    assert dried.summary.high - dried.summary.low < 0.05  # a millimetre would leave half a per cent to each side


def test_a_batch_and_a_comparison_say_one_water_of_plasticity(lab: Lab) -> None:
    measure(lab, "A0", "plastic_g", 62.5)
    measure(lab, "A0", "dry_g", 50.0, "oven")
    add(lab, Measurement(piece="A0", what="dry_g", at=AT, value=50.2))
    water = batch_plasticity(lab, "A-1").plasticity.working_water
    compared = next(each for each in side_by_side(lab, ["A"]).results if each.firing is None)
    assert water is not None
    assert water.mean_pct == pytest.approx(100 * (62.5 - 50.1) / 50.1)
    assert compared.properties["workable_water_pct"].mean == pytest.approx(water.mean_pct)


def test_readings_that_are_no_numbers_and_those_dried_otherwise_are_left_out(lab: Lab) -> None:
    measure(lab, "A0", "dry_mm", 94.0, "air")
    for turn, about in enumerate(({"sign": "<"}, {"value_high": 99.0}, {"method": "oven dry"})):
        add(lab, Measurement(piece="A0", what="dry_mm", at=AT.replace(hour=10 + turn), value=90.0, **about))
    assert piece_page(lab, "A0").lines[0].measures.get("drying_shrinkage_pct") == pytest.approx(6.0)
