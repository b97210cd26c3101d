"""Liquid limits against problems of a textbook."""

from __future__ import annotations

import math

import pytest

from claybench.errors import OutOfRange
from claybench.measure.plasticity import (
    CONE_80,
    cone_limit,
    liquid_limit,
    liquid_limit_by_cone,
    liquid_limit_by_cup,
    liquid_limit_one_point,
    plastic_limit,
    plasticity_index,
)

BLOWS, WATERS = [15, 21, 29, 38], [39.5, 37.9, 36.4, 35.1]


def test_das_4_5() -> None:
    """Das, Principles of Geotechnical Engineering, Prob. 4.5, PL 19.3: LL 37.05–37.09, PI 17.75 (drawn by hand)."""
    limit = liquid_limit(BLOWS, WATERS)
    assert 37.05 <= limit <= 37.09
    assert plasticity_index(limit, 19.3) == pytest.approx(17.75, abs=0.05)


def test_das_4_3() -> None:
    """Das, Prob. 4.3, PL 18.7: LL 39.7, PI 21.0."""
    limit = liquid_limit([15, 20, 28], [42, 40.8, 39.1])
    assert limit == pytest.approx(39.7, abs=0.05)
    assert plasticity_index(limit, 18.7) == pytest.approx(21.0, abs=0.05)


def test_one_point_meets_several() -> None:
    """ASTM D4318: within 20 to 30 blows one point gives the limit of all four of Das, Prob. 4.5, to 0.5 %."""
    for blows, water in ((21, 37.9), (29, 36.4)):
        assert liquid_limit_one_point(blows, water) == pytest.approx(liquid_limit(BLOWS, WATERS), abs=0.5)
    assert liquid_limit_one_point(25, 36.4) == 36.4
    # 38·(22/25)^0.121 by hand: ln 0.88 = −0.127833, times 0.121 −0.015468, e^ 0.984651.
    assert liquid_limit_one_point(22, 38) == pytest.approx(38 * 0.984651, abs=1e-4)


def test_cone() -> None:
    """Problem 3.36 of doi 10.1201/9781482275858-56, depths 15.5 to 23.6 mm: by hand 45.0 at 20 mm on a straight axis,
    on a logarithmic one 45.54."""
    depths, waters = [15.5, 18.2, 21.4, 23.6], [34.6, 40.8, 48.2, 53.4]
    assert cone_limit(depths, waters, "linear", 20) == pytest.approx(45.0, abs=0.05)
    assert cone_limit(depths, waters, "semilog", 20) == pytest.approx(45.54, abs=0.005)


def test_the_axis_makes_a_difference_and_is_kept() -> None:
    """Das, 9th edition, Prob. 4.7 (33.8 drawn by hand on a logarithmic axis): 33.98 there, 32.94 on a straight one."""
    depths, waters = [13, 19, 26, 31], [26.3, 31.9, 39.3, 42.6]
    logarithmic = liquid_limit_by_cone(depths, waters, "semilog", CONE_80)
    straight = liquid_limit_by_cone(depths, waters, "linear", CONE_80)
    assert logarithmic.water_pct == pytest.approx(33.98, abs=0.005)
    assert straight.water_pct == pytest.approx(32.94, abs=0.005)
    assert (logarithmic.axis, straight.axis) == ("semilog", "linear")
    assert logarithmic.method == "cone" and logarithmic.points == 4


def test_scatter_about_the_line_is_told() -> None:
    assert liquid_limit_by_cup([15, 35], [42, 38]).sd_pct is None
    found = liquid_limit_by_cup(BLOWS, WATERS)
    assert found.sd_pct is not None and 0 < found.sd_pct < 0.1
    assert found.method == "cup"


def test_plastic_limit_is_the_mean_of_its_threads() -> None:
    assert plastic_limit([19.0, 19.6]) == pytest.approx(19.3)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: liquid_limit_one_point(15, 40), "20 to 30 blows"),
        (lambda: liquid_limit([25, 25], [40, 41]), "two points apart"),
        (lambda: liquid_limit([25], [40]), "two points apart"),
        (lambda: liquid_limit([0, 25], [40, 41]), "tell nothing"),
        (lambda: liquid_limit([15, 25], [40]), "both its values"),
        (lambda: liquid_limit([15, 25], [40, -1]), "cannot be so"),
        (lambda: cone_limit([15, 25], [40, 50], "log", 20), "no axis 'log'"),  # type: ignore[arg-type]
        (lambda: liquid_limit([15, 28], [39, 41]), "does not fall as the blows rise"),
        (lambda: cone_limit([15, 25], [50, 40], "linear", 20), "does not rise as the cone"),
        (lambda: plastic_limit([]), "needs values"),
        (lambda: plastic_limit([math.nan]), "cannot be so"),
        (lambda: plasticity_index(18, 19), "plastic limit lies above"),
    ],
)
def test_what_gives_no_limit_is_refused(call: object, words: str) -> None:
    with pytest.raises(OutOfRange, match=words):
        call()  # type: ignore[operator]
