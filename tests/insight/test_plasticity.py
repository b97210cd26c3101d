"""Plasticity of a batch from its readings, held against problems of a textbook."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import stats

from claybench.insight.bodies.liquid_limits import method_words
from claybench.insight.bodies.plasticity import Plasticity, assess_plasticity, fillers_of, plasticity_reasons
from claybench.insight.bodies.point_steps import weighing_steps
from claybench.terms import Instrument, Material, Measurement, Piece

AT = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
DRY = 20.0
FINE = 1e-4
"""Step of a scale, g, that leaves nothing to speak of."""


def reading(number: int, what: str, water_pct: float | None, **read: float | int | str | None) -> Measurement:
    """A sample of 20 g dry that held so much water."""
    wet = None if water_pct is None else DRY * (1 + water_pct / 100)
    at = AT + timedelta(minutes=number)
    return Measurement(batch="B-1", at=at, what=what, wet_g=wet, dry_g=None if wet is None else DRY, **read)  # type: ignore[arg-type]


def by_cup(blows: Sequence[int], waters: Sequence[float], threads: Sequence[float] = ()) -> Plasticity:
    cup = [
        reading(n, "liquid_cup", water, count=count, step=FINE)
        for n, (count, water) in enumerate(zip(blows, waters, strict=True))
    ]
    rolled = [reading(50 + n, "plastic_thread", water, step=FINE) for n, water in enumerate(threads)]
    return assess_plasticity([*cup, *rolled])


def cone_points(
    depths: Sequence[float], waters: Sequence[float], cone: str | None, *, first: int = 0
) -> list[Measurement]:
    points = enumerate(zip(depths, waters, strict=True), first)
    return [reading(n, "liquid_cone", water, value=depth, method=cone) for n, (depth, water) in points]


def by_cone(depths: Sequence[float], waters: Sequence[float], cone: str | None = "80 g 30°") -> Plasticity:
    return assess_plasticity(cone_points(depths, waters, cone))


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
    """Problem 3.36 of doi 10.1201/9781482275858-56: 45.0 at 20 mm on a straight axis, 45.54 on a logarithmic one; Das,
    Prob. 4.7: 32.94, 33.98."""
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
        (by_cup([15, 38], [35.1, 39.5]), "does not fall as the blows rise"),
        (by_cup([15, 38], [35.1, 35.1]), "does not fall as the blows rise"),
        (by_cup([24, 24], [37.0, 37.2]), "one-point rule"),
        (by_cup([15, 38], [39.5, 35.1], [19.0]), "One thread only"),
        (by_cup([15, 38], [20.1, 19.5], [22.0, 22.0]), "non-plastic"),
        (by_cup([15, 38], [39.5, 35.1]), "Still open: the plastic limit"),
        (by_cone([22], [40]), "two depths"),
        (by_cone([13, 31], [42.6, 26.3]), "does not rise as the cone sinks"),
    ],
)
def test_what_speaks_against_a_figure_is_said(found: Plasticity, words: str) -> None:
    assert any(words in note for note in found.notes), found.notes


def test_each_cone_has_its_own_depth() -> None:
    """80 g 30° is read at 20 mm (Das), 60 g 60° at 10 mm (ISO 17892-12, from memory): on a line of 2 % a mm through
    36 % at 10 mm, by hand, 36 and 56.
    """
    depths, waters = [7.0, 9.0, 12.0, 14.0], [30.0, 34.0, 40.0, 44.0]
    (straight, _) = by_cone(depths, waters, "60 g 60°").limits
    assert straight.water_pct == pytest.approx(36.0, abs=1e-9)
    assert method_words(straight) == "fall cone, 60 g 60°, 4 points, straight axis, at 10 mm"
    other = by_cone(depths, waters, "80 g 30°")
    assert other.limits[0].water_pct == pytest.approx(56.0, abs=1e-9)
    assert method_words(other.limits[0]).endswith("at 20 mm, outside of what was measured")
    assert "by a cone of 80 g 30°, lies outside" in other.notes[0]


def test_an_unknown_cone_gets_both_figures_and_no_index() -> None:
    points = cone_points([7.0, 9.0, 12.0, 14.0], [30.0, 34.0, 40.0, 44.0], None)
    threads = [reading(50 + n, "plastic_thread", 20.0) for n in range(2)]
    found = assess_plasticity([*points, *threads])
    assert [(one.cone, one.axis, one.cone_known) for one in found.limits] == [
        ("80 g 30°", "linear", False), ("80 g 30°", "semilog", False),
        ("60 g 60°", "linear", False), ("60 g 60°", "semilog", False),
    ]  # fmt: skip
    assert [round(one.water_pct, 6) for one in found.limits[::2]] == [56.0, 36.0]
    assert method_words(found.limits[2]).startswith("fall cone, if it was 60 g 60°,")
    assert found.index_pct is None and found.index_interval is None
    said = " ".join(found.notes)
    assert "Nobody wrote which cone it was" in said
    assert "36.0 % if it was 80 g 30° and 16.0 % if it was 60 g 60°" in said


def test_points_of_two_cones_are_never_on_one_line() -> None:
    one = cone_points([18.0, 22.0], [34.0, 38.0], "80 g 30°")
    two = cone_points([8.0, 12.0], [30.0, 42.0], "60 g 60°", first=10)
    unknown = cone_points([15.0], [33.0], None, first=20)
    strange = cone_points([15.0], [33.0], "100 g 30°", first=30)
    found = assess_plasticity([*one, *two, *unknown, *strange])
    assert [(each.cone, each.points) for each in found.limits] == [("80 g 30°", 2)] * 2 + [("60 g 60°", 2)] * 2
    assert [round(each.water_pct, 6) for each in found.limits[::2]] == [36.0, 36.0]
    assert any("A cone that nobody named needs two depths" in note for note in found.notes)
    assert "not known by a cone of 100 g 30°" in found.points[-1].doubt


def test_two_points_of_the_cup_claim_no_standard() -> None:
    """ASTM D4318's multipoint method takes three points or more."""
    assert method_words(by_cup([15, 38], [39.5, 35.1]).limits[0]) == "cup, two points, not the 3 of ASTM D4318"
    outside = by_cup([30, 34, 38], [36.4, 35.7, 35.1]).limits[0]
    assert method_words(outside) == "cup, 3 points, outside of what was measured"


def test_intervals_of_limit_and_index() -> None:
    """The limit's against statsmodels' interval of the regression's mean (Das, Prob. 4.5); at the ends of
    the index's, scipy's Welch test of the two means with these errors has a chance of 0.05.
    """
    blows, waters, threads = [15, 21, 29, 38], [39.5, 37.9, 36.4, 35.1], [19.1, 19.5, 19.0]
    found = by_cup(blows, waters, threads)
    design = sm.add_constant(np.log10(blows))
    row = sm.OLS(waters, design).fit().get_prediction([[1.0, np.log10(25)]]).summary_frame(alpha=0.05)
    assert found.limits[0].interval == pytest.approx((row["mean_ci_lower"][0], row["mean_ci_upper"][0]), rel=1e-9)
    error, sd = row["mean_se"][0], np.std(threads, ddof=1)
    for end in found.index_interval or ():
        limit = found.limits[0].water_pct - end
        welch = stats.ttest_ind_from_stats(limit, error * 3**0.5, 3, found.plastic_pct, sd, 3, equal_var=False)
        assert welch.pvalue == pytest.approx(0.05, rel=1e-9)
    assert found.index_interval is not None
    assert by_cup([15, 38], [39.5, 35.1], threads).index_interval is None


def weighed(what: str, wet_g: float, dry_g: float, **read: Any) -> Measurement:
    return Measurement(batch="B-1", at=AT, what=what, wet_g=wet_g, dry_g=dry_g, **read)


def test_no_interval_is_narrower_than_the_step_of_the_scale_leaves_it() -> None:
    """Waters that lie on a line to the last digit, weighed to 0.1 g in 100 g: numpy's polyfit of 4000 such sets rounded
    at random tells how far the limit is then off."""
    blows, exact = np.array([15, 21, 29]), np.array([39.5, 37.8, 36.2])
    exact = np.polyval(np.polyfit(np.log10(blows), exact, 1), np.log10(blows))
    rng = np.random.default_rng(1)
    dry = rng.uniform(95, 105, (4000, 3))
    dry_read, wet_read = (np.round(each, 1) for each in (dry, dry * (1 + exact / 100)))
    waters = 100 * (wet_read - dry_read) / dry_read
    limits = np.array([np.polyval(np.polyfit(np.log10(blows), each, 1), np.log10(25)) for each in waters])
    truth = np.polyval(np.polyfit(np.log10(blows), exact, 1), np.log10(25))
    sets = [
        [weighed("liquid_cup", wet, dry, count=int(n)) for n, wet, dry in zip(blows, *each, strict=True)]
        for each in zip(wet_read[:300].tolist(), dry_read[:300].tolist(), strict=True)
    ]
    found = [assess_plasticity(each).limits[0] for each in sets]
    told = np.array([each.rounding_pct for each in found])
    assert told.mean() == pytest.approx(np.std(limits - truth), rel=0.05)
    held = [low <= truth <= high for low, high in (each.interval or (0.0, 0.0) for each in found)]
    assert np.mean(held) > 0.95
    halves = np.array([(each.interval[1] - each.interval[0]) / 2 for each in found if each.interval])
    assert np.all(halves >= stats.norm.ppf(0.975) * told * (1 - 1e-12)) and len(halves) == len(found)
    index = assess_plasticity([*sets[0], *(weighed("plastic_thread", 119.0, 100.0) for _ in range(2))])
    of_threads = np.hypot(1.0, 1.19) * 0.1 / np.sqrt(12) / np.sqrt(2)
    least = 2 * stats.norm.ppf(0.975) * np.hypot(index.limits[0].rounding_pct, of_threads)
    low, high = index.index_interval or (0.0, 0.0)
    assert high - low >= least * (1 - 1e-12)


def test_the_step_is_the_points_own_its_scales_or_what_the_digits_tell() -> None:
    rows = [
        weighed("liquid_cup", 137.1, 100.0, count=20),
        weighed("liquid_cup", 27.46, 20.02, count=25, step=0.5),
        weighed("plastic_thread", 23.8, 20.0, instrument="kitchen"),
        weighed("plastic_thread", 23.8, 20.0, instrument="gone"),
        weighed("liquid_cone", 137.1, 100.0, value=19.5, step=0.5, method="80 g 30°"),
        weighed("liquid_cone", 137.1, 100.0, value=19.5, instrument="cone"),
    ]
    instruments = [
        Instrument(instrument="kitchen", kind="scale", step=0.001, unit="kg"),
        Instrument(instrument="gone", kind="scale", step=1.0, unit="g", until=AT.date() - timedelta(days=1)),
        Instrument(instrument="cone", kind="cone", step=0.1),
    ]
    assert weighing_steps(rows, instruments) == pytest.approx([0.02, 0.5, 1.0, 0.02, 0.02, 0.02])
    assert weighing_steps(rows[:1] + rows[2:], ()) == pytest.approx([0.1] * 5)
    assert weighing_steps([Measurement(batch="B-1", at=AT, what="coil_bend", value=3.0)], ()) == [0.0]


def test_grog_is_to_be_sieved_out() -> None:
    """ASTM D4318-17, 1.7: done on the portion that passes the 425 µm (No. 40) sieve."""
    materials = {
        "grog": Material(material="grog", kind="filler"),
        "ball clay": Material(material="ball clay", kind="clay"),
    }
    assert fillers_of(("ball clay", "grog", "ball clay"), materials) == ("grog",)
    unsaid = {"grog": Material(material="grog"), "sand clay": Material(material="sand clay", kind="clay")}
    assert fillers_of(("grog", "sand clay", "Chamotte 0-1 mm", "bentonite"), unsaid) == ("grog", "Chamotte 0-1 mm")
    notes = assess_plasticity([reading(0, "liquid_cup", 38.0, count=22)], coarse=("grog",)).notes
    assert any("It holds grog" in note and "425 µm (No. 40)" in note for note in notes)
    assert assess_plasticity([], coarse=("grog",)).notes == ()


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
