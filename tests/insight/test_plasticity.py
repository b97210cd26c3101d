"""Plasticity of a batch from its readings, held against problems of a textbook."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest

from claybench.insight.bodies.plasticity import Plasticity, assess_plasticity, method_words, plasticity_reasons
from claybench.terms import Measurement, Piece

AT = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
DRY = 20.0


def reading(number: int, what: str, water_pct: float | None, **read: float | int | None) -> Measurement:
    """A sample of 20 g dry that held so much water."""
    wet = None if water_pct is None else DRY * (1 + water_pct / 100)
    at = AT + timedelta(minutes=number)
    return Measurement(batch="B-1", at=at, what=what, wet_g=wet, dry_g=None if wet is None else DRY, **read)  # type: ignore[arg-type]


def by_cup(blows: Sequence[int], waters: Sequence[float], threads: Sequence[float] = ()) -> Plasticity:
    cup = [
        reading(n, "liquid_cup", water, count=count) for n, (count, water) in enumerate(zip(blows, waters, strict=True))
    ]
    rolled = [reading(50 + n, "plastic_thread", water) for n, water in enumerate(threads)]
    return assess_plasticity([*cup, *rolled])


def by_cone(depths: Sequence[float], waters: Sequence[float]) -> Plasticity:
    points = enumerate(zip(depths, waters, strict=True))
    return assess_plasticity([reading(n, "liquid_cone", water, value=depth) for n, (depth, water) in points])


def test_das_4_5() -> None:
    """Das, Principles of Geotechnical Engineering, Prob. 4.5: LL 37.05–37.09, PL 19.3, PI 17.75."""
    found = by_cup([15, 21, 29, 38], [39.5, 37.9, 36.4, 35.1], [19.1, 19.5])
    assert 37.05 <= found.limits[0].water_pct <= 37.09
    assert found.plastic_pct == pytest.approx(19.3)
    assert found.index_pct == pytest.approx(17.75, abs=0.05)
    assert found.notes == ()
    assert method_words(found.limits[0]) == "cup, 4 points (ASTM D4318)"


def test_das_4_3() -> None:
    """Das, Prob. 4.3: LL 39.7, PL 18.7, PI 21.0."""
    found = by_cup([15, 20, 28], [42, 40.8, 39.1], [18.7, 18.7])
    assert found.limits[0].water_pct == pytest.approx(39.7, abs=0.05)
    assert found.index_pct == pytest.approx(21.0, abs=0.05)


def test_the_cone_says_its_axis() -> None:
    """Das, fall-cone method: 45.0 at 20 mm on a straight axis (45.54 on a logarithmic one); Prob. 4.7: 32.94, 33.98."""
    for depths, waters, straight, logarithmic in (
        ([15.5, 18.2, 21.4, 23.6], [34.6, 40.8, 48.2, 53.4], 45.0, 45.54),
        ([13, 19, 26, 31], [26.3, 31.9, 39.3, 42.6], 32.94, 33.98),
    ):
        found = by_cone(depths, waters)
        assert [limit.axis for limit in found.limits] == ["linear", "semilog"]
        assert found.limits[0].water_pct == pytest.approx(straight, abs=0.05)
        assert found.limits[1].water_pct == pytest.approx(logarithmic, abs=0.05)
        assert "straight axis" in method_words(found.limits[0])


def test_one_point_by_its_rule() -> None:
    """ASTM D4318: LL = w (N/25)^0.121 for 20 to 30 blows; 38 (22/25)^0.121 = 37.42."""
    found = by_cup([22], [38.0])
    assert found.limits[0].water_pct == pytest.approx(37.42, abs=0.005)
    assert method_words(found.limits[0]) == "cup, one point (ASTM D4318)"
    assert by_cup([17], [38.0]).limits == ()
    assert "20 to 30 blows" in by_cup([17], [38.0]).notes[0]


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (by_cup([30, 38], [36.4, 35.1]), "All points lie above 25 blows"),
        (by_cup([15, 38], [35.1, 39.5]), "rises with the blows"),
        (by_cup([24, 24], [37.0, 37.2]), "one-point rule"),
        (by_cup([15, 38], [39.5, 35.1], [19.0]), "One thread only"),
        (by_cup([15, 38], [20.1, 19.5], [22.0, 22.0]), "non-plastic"),
        (by_cup([15, 38], [39.5, 35.1]), "Still open: the plastic limit"),
        (by_cone([22], [40]), "two depths"),
        (by_cone([13, 31], [42.6, 26.3]), "falls as the cone"),
    ],
)
def test_what_speaks_against_a_figure_is_said(found: Plasticity, words: str) -> None:
    assert any(words in note for note in found.notes), found.notes


def test_a_point_waits_for_what_it_lacks() -> None:
    wet_only = Measurement(batch="B-1", at=AT, what="liquid_cup", count=22, wet_g=28.0)
    swapped = Measurement(
        batch="B-1", at=AT + timedelta(minutes=1), what="liquid_cup", count=22, wet_g=20.0, dry_g=28.0
    )
    no_blows = reading(2, "liquid_cup", 38.0)
    found = assess_plasticity([wet_only, swapped, no_blows])
    assert [point.doubt for point in found.points] == [
        "no dry mass yet",
        "dry is heavier",
        "no blows yet",
    ]
    assert found.limits == ()


def test_water_of_plasticity_is_that_of_its_own_pieces() -> None:
    """By hand: 125 g plastic and 100 g dry hold 25 % of dry mass; one of the two is not known to be oven dry."""
    pieces = [
        Piece(piece="7A", batch="B-1", plastic_g=125.0, dry_g=100.0, dry_how="oven"),
        Piece(piece="7C", batch="B-1", plastic_g=124.0, dry_g=100.0, dry_how="air"),
        Piece(piece="7E", batch="B-1", plastic_g=124.0),
    ]
    worked = assess_plasticity([], pieces).working_water
    assert worked is not None
    assert (worked.mean_pct, worked.pieces, worked.air_dry) == (pytest.approx(24.5), 2, 1)


def test_each_figure_says_where_it_comes_from() -> None:
    """The reason is of the same call as the figure."""
    found = by_cup([15, 38], [39.5, 35.1], [19.1, 19.5])
    said = "\n".join(plasticity_reasons(found))
    assert "ASTM D4318" in said and "[15.0, 38.0]" in said
    assert f"result {found.limits[0].water_pct:.2f} %" in said and f"result {found.index_pct:.2f} %" in said
    assert "0.121" in "\n".join(plasticity_reasons(by_cup([22], [38.0])))
    assert "straight" not in said and "linear" in "\n".join(plasticity_reasons(by_cone([13, 31], [26.3, 42.6])))
