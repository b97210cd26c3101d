"""Absorption against heat: the range in which a body is tight and sound; what is usual in its family."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

import pytest

from claybench.errors import OutOfRange
from claybench.insight.bodies.comparison.body_means import BodyResult, body_results, pool_bodies
from claybench.insight.bodies.comparison.firing_heat import cone_place, heats
from claybench.insight.bodies.comparison.property_columns import columns_of
from claybench.insight.bodies.comparison.usual_ranges import usual_ranges
from claybench.insight.bodies.comparison.vitrification import Vitrified, vitrification, words
from claybench.terms import Batch, Body, Fired, Firing, Piece

MIXED = datetime(2026, 3, 12, 9, tzinfo=UTC)
# Springside clay, Florida Geological Survey, 15th Annual Report: °C, absorption %.
SPRINGSIDE = [(950, 12.60), (1050, 13.70), (1150, 12.31), (1190, 11.45), (1230, 10.44), (1310, 8.69)]


def fired(
    absorbed: Sequence[tuple[Firing, Sequence[float]]], body: str = "S", method: str | None = "boil"
) -> list[BodyResult]:
    """One body: in each firing pieces of two batches that absorb so much."""
    batches = [Batch(batch=f"{body}{n}", body=body, mixed_at=MIXED) for n in range(2)]
    pieces, rows = [], []
    for firing, values in absorbed:
        for number, value in enumerate(values):
            code = f"{firing.firing}/{number}"
            pieces.append(Piece(piece=code, batch=f"{body}{number % 2}"))
            soaked = 100.0 + value
            rows.append(Fired(piece=code, firing=firing.firing, fired_g=100.0, soaked_g=soaked, soak_method=method))
    return body_results([body], pool_bodies(columns_of(pieces, rows, batches)), {})


def course(
    absorbed: Sequence[tuple[Firing, Sequence[float]]], limit: float, bloated: Sequence[tuple[str, str]] = ()
) -> Vitrified:
    (found,) = vitrification(fired(absorbed), heats([firing for firing, _ in absorbed]), bloated, limit).bodies
    return found


def at(temp: float | None = None, cone: str | None = None, code: str | None = None) -> Firing:
    return Firing(firing=code or f"F{temp or cone}", peak_temp_c=temp, cone=cone)


def test_springside() -> None:
    """Published absorptions (Florida Geological Survey): 11 % is crossed between 1190 and 1230 °C, on the line between
    them at 1190 + 40·(11.45 − 11)/(11.45 − 10.44) = 1207.8 °C; the rise from 950 to 1050 °C is no bloating."""
    rows = [(at(float(temp)), [value, value]) for temp, value in SPRINGSIDE]
    found = course(rows, 11.0)
    assert found.begins == pytest.approx(1207.82, abs=0.01)
    assert found.tight is not None and found.ends is not None
    assert (found.tight.x, found.ends.x, found.bloats) == (1230, 1310, None)
    assert words(found, False) == (
        "under 11 % from about 1 208 °C (between 1 190 °C and 1 230 °C), 10.4 % there and up to 11.1 % by its "
        "readings; sound at 1 310 °C, the hottest fired"
    )
    assert words(course(rows, 2.0), False) == "nowhere under 2 %: least 8.7 % at 1 310 °C, the hottest fired"


def test_one_heat_is_called_the_only_one() -> None:
    assert words(course([(at(1222.0, "6"), [1.0, 1.1])], 2.0), False) == (
        "under 2 % at cone 6, the only heat it was fired to"
    )


def test_the_range_ends_where_a_piece_was_seen_to_bloat() -> None:
    rows = [(at(1100.0), [5.0, 5.2]), (at(1200.0), [1.0, 1.2]), (at(1240.0), [0.4, 0.5]), (at(1280.0), [0.3, 0.2])]
    found = course(rows, 2.0, [("S", "F1280.0"), ("S", "F1280.0"), ("other", "F1200.0")])
    assert found.begins == pytest.approx(1100 + 100 * (5.1 - 2) / (5.1 - 1.1))
    assert (found.tight, found.ends, found.bloats) == (found.levels[1], found.levels[2], found.levels[3])
    assert "bloating at 1 280 °C: 2 pieces seen to bloat" in words(found, False)


def test_the_range_ends_where_absorption_turns_after_its_best() -> None:
    steady = [(at(1100.0), [5.0, 5.1]), (at(1200.0), [1.0, 1.02]), (at(1240.0), [0.40, 0.42])]
    turned = course([*steady, (at(1280.0), [1.50, 1.52])], 2.0)
    assert turned.bloats is not None and turned.bloats.x == 1280
    assert "absorbs 1.1 % more than at 1 240 °C" in words(turned, False)
    # by no more than the doubt about two batches that differ: not told
    assert course([*steady, (at(1280.0), [0.2, 2.0])], 2.0).bloats is None


def test_bloated_pieces_that_nobody_soaked_end_it_too() -> None:
    batches = [Batch(batch="S0", body="S", mixed_at=MIXED)]
    pieces = [Piece(piece=f"P{n}", batch="S0", plastic_mm=100.0) for n in range(3)]
    rows = [
        Fired(piece="P0", firing="low", fired_g=100.0, soaked_g=104.0, soak_method="boil"),
        Fired(piece="P1", firing="right", fired_g=100.0, soaked_g=101.0, soak_method="boil"),
        Fired(piece="P2", firing="hot", fired_mm=92.0),
    ]
    results = body_results(["S"], pool_bodies(columns_of(pieces, rows, batches)), {})
    firings = [at(1100.0, code="low"), at(1200.0, code="right"), at(1280.0, code="hot")]
    (found,) = vitrification(results, heats(firings), [("S", "hot")], 2.0).bodies
    assert found.ends is not None and found.bloats is not None
    assert (found.ends.x, found.bloats.x) == (1200, 1280)


def test_a_firing_without_a_temperature_takes_that_of_its_cone() -> None:
    firings = [at(1222.0, "6", "a"), at(1224.0, "cone 6", "b"), at(None, "6", "c"), at(None, None, "d")]
    found = heats(firings)
    assert (found["c"].temp_c, found["c"].of_cone, found["c"].level) == (1223.0, True, found["a"].level)
    assert (found["d"].temp_c, found["d"].cone, found["d"].level) == (None, None, "d")


def test_cones_alone_stand_in_their_order() -> None:
    """A nought before a cone counts downwards (common practice, no source)."""
    order = ["022", "018", "010", "06", "04", "01", "1", "4", "6", "10", "12"]
    places = [cone_place(cone) for cone in order]
    assert places == sorted(places, key=lambda place: place or 0.0) and None not in places
    rows = [(at(None, cone), values) for cone, values in (("6", [1.0, 1.1]), ("04", [9.0, 9.1]), ("1", [4.0, 4.2]))]
    results = fired(rows)
    found = vitrification(results, heats([firing for firing, _ in rows]), [], 2.0)
    assert found.cones == ((0.0, "cone 04"), (1.0, "cone 1"), (2.0, "cone 6"))
    assert words(found.bodies[0], True).startswith("under 2 % from somewhere between cone 1 and cone 6")


def test_pieces_soaked_in_another_way_are_left_out_and_named() -> None:
    batches = [Batch(batch="S0", body="S", mixed_at=MIXED)]
    pieces = [Piece(piece=f"P{n}", batch="S0") for n in range(3)]
    ways = (("F0", "boil"), ("F0", "boil"), ("F1", "vacuum"))
    rows = [
        Fired(piece=f"P{n}", firing=firing, fired_g=100.0, soaked_g=103.0, soak_method=how)
        for n, (firing, how) in enumerate(ways)
    ]
    results = body_results(["S"], pool_bodies(columns_of(pieces, rows, batches)), {})
    (found,) = vitrification(results, heats([at(1100.0, code="F0"), at(1200.0, code="F1")]), [], 2.0).bodies
    assert [point.firing for point in found.points] == ["F0"]
    assert found.left_out == ("F1 (vacuum)",)


@pytest.mark.parametrize("limit", [0.0, -1.0, 31.0, float("nan")])
def test_a_limit_has_to_be_one(limit: float) -> None:
    with pytest.raises(OutOfRange, match="no limit"):
        course([(at(1100.0), [5.0, 5.1])], limit)


def test_what_is_usual_in_a_family() -> None:
    """Each body counts once; only bodies of the family, fired to the same cone and soaked the same way."""
    firings = [at(1222.0, "6", "a"), at(1220.0, "6", "b"), at(1061.0, "04", "c")]
    # A had two batches in the first firing and one in the second: 1, 2 and 6, so 3 in the mean
    boiled = [("A", "a", 1.0), ("A", "a", 2.0), ("A", "b", 6.0), ("B", "a", 4.0), ("C", "a", 9.0), ("B", "c", 12.0)]
    seen = [*((*each, "boil") for each in boiled), ("B", "b", 0.5, "vacuum")]
    batches = [Batch(batch=f"{body}{n}", body=body, mixed_at=MIXED) for n, (body, *_) in enumerate(seen)]
    pieces = [Piece(piece=f"P{n}", batch=batch.batch) for n, batch in enumerate(batches)]
    rows = [
        Fired(piece=f"P{n}", firing=firing, fired_g=100.0, soaked_g=100.0 + value, soak_method=how)
        for n, (_, firing, value, how) in enumerate(seen)
    ]
    held = pool_bodies(columns_of(pieces, rows, batches))
    bodies = [Body(body="A", family="white"), Body(body="B", family="white"), Body(body="C", family="red")]
    ranges = usual_ranges(held, bodies, heats(firings))
    (result,) = [each for each in body_results(["B"], held, {}) if each.firing == "a"]
    usual = ranges.of_result(result)["absorption_pct"]
    assert (usual.family, usual.level, usual.bodies) == ("white", "cone 6", 2)
    assert (usual.low, usual.middle, usual.high) == (pytest.approx(3.0), pytest.approx(3.5), pytest.approx(4.0))
