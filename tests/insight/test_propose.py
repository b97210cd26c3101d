"""The next set: on made-up surfaces it reaches small windows with few bodies and means the chances it states."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st

from claybench.errors import BadInput
from claybench.insight.plan.surfaces.candidates import LEAST_DIFFERENCE
from claybench.insight.plan.surfaces.fitted_targets import PRIOR_ODDS, prior_factor
from claybench.insight.plan.surfaces.observations import Observation
from claybench.insight.plan.surfaces.proposals import UNMEASURED_CHANCE, ProposedSet, propose
from tests.campaign_plan import Box, Result, campaigns, made_up, run

pytestmark = pytest.mark.slow

CLAYS = Box((0.3, 0.2, 0.1), (0.6, 0.5, 0.3))
SHRINKAGE, ABSORPTION = "total_shrinkage_pct", "absorption_pct"


def shrinkage(x: tuple[float, ...]) -> float:
    """Invented: from 10 to 14 % within the bounds, most with much of the first material."""
    return 20 * x[0] + 6 * x[1] + 4 * x[2]


def absorption(x: tuple[float, ...]) -> float:
    """Invented: least with much of the third material."""
    return 12 - 25 * x[2] + 3 * x[0] * x[1]


def lattice(value: str = SHRINKAGE, *, pieces: int = 3, seed: int = 5) -> list[Observation]:
    """Corners and the middle of the clays' region, measured."""
    draw, found = np.random.default_rng(seed), []
    corners = CLAYS.vertices()
    for row, x in enumerate([*corners.tolist(), corners.mean(axis=0).tolist()]):
        height = (shrinkage if value == SHRINKAGE else absorption)(tuple(x)) + draw.normal(0, 0.05)
        found += [Observation(tuple(x), height + draw.normal(0, 0.05), str(row)) for _ in range(pieces)]
    return found


def sound(set_: ProposedSet, region: Box, count: int) -> None:
    """What holds of every set."""
    assert len(set_.bodies) == count
    rows = np.array([body.shares for body in set_.bodies])
    assert rows.sum(axis=1) == pytest.approx(np.ones(count))
    assert (rows >= np.array(region.low) - 1e-9).all() and (rows <= np.array(region.high) + 1e-9).all()
    chances = [body.chance for body in set_.bodies]
    assert all(0 <= chance <= 1 for chance in chances) and chances == sorted(chances, reverse=True)
    for body in set_.bodies:
        assert body.why.endswith(".")
        assert all(one.low <= one.median <= one.high for one in body.predicted.values())
    for row, one in enumerate(rows):
        assert all(np.abs(one - other).max() >= LEAST_DIFFERENCE - 1e-12 for other in rows[:row])


@pytest.fixture(scope="module")
def twenty() -> Result:
    """Twenty made-up labs, sets of six: windows of 4 % of the region, noise of batches and of pieces in them."""
    return campaigns(range(20), count=6)


@pytest.fixture(scope="module")
def sixty() -> Result:
    """Sixty, as proposals of one lab hit or miss together: two sets of each, the second from six bodies' data."""
    return campaigns(range(60), count=6, most=12, at_least=12)


def test_small_window_needs_half_the_bodies(twenty: Result) -> None:
    """Against allowed bodies taken at random, in the median."""
    assert twenty.random == pytest.approx(math.log(0.5) / math.log(0.96), rel=0.05)
    assert twenty.needed <= twenty.random / 2


def test_stated_chances_come_true(sixty: Result) -> None:
    """Of bodies given 30 to 50 %, 25 to 55 % truly meet all targets; over all, as many as the chances add up to."""
    found = sixty.hit(0.3, 0.5)
    assert found.count >= 40
    assert 0.25 <= found.met <= 0.55
    assert sum(hit for _, hit, _ in sixty.stated) == pytest.approx(sum(one[0] for one in sixty.stated), rel=0.15)
    assert sixty.hit(0.0, 0.1).met < 0.15
    assert sixty.hit(0.8, 1.01).met > 0.8


def test_chances_of_a_lab_without_any_bearing_stay_low() -> None:
    """Values drawn without regard to the recipe: no body is given a good chance of a narrow window."""
    draw, rows = np.random.default_rng(8), CLAYS.sample(12, 3)
    known = [Observation(tuple(x), float(draw.normal(10, 1)), str(row)) for row, x in enumerate(rows.tolist())]
    found = propose(CLAYS, {SHRINKAGE: known}, {SHRINKAGE: (12.5, 12.6)}, 4)
    assert max(body.chance for body in found.bodies) < 0.2


def test_chances_count_that_targets_were_asked_for() -> None:
    """Bayes' rule with surfaces on which something meets the targets counted fourfold: nothing where all of them do."""
    hits = np.zeros((100, 3), dtype=bool)
    assert prior_factor(~hits) == 1 and prior_factor(hits) == PRIOR_ODDS
    hits[:50, 1] = True
    # Half of the draws hold a hit: 4 · 0.5 of 4 · 0.5 + 0.5.
    assert 0.5 * prior_factor(hits) == pytest.approx(4 / 5)


@pytest.mark.parametrize("target", [(11.5, 12.0), (11.0, 12.5)])
def test_one_body_measured_once_says_little(target: tuple[float, float]) -> None:
    """In the middle of its target, whatever the width: what is next to it has a fair chance and no more, and the
    interval holds values well outside. Three pieces of the batch say more."""
    body = (0.45, 0.35, 0.2)
    once = propose(CLAYS, {SHRINKAGE: [Observation(body, 11.75, "A")]}, {SHRINKAGE: target}, 4).bodies[0]
    assert 0.5 < once.chance < 0.85
    low, high = once.predicted[SHRINKAGE].low, once.predicted[SHRINKAGE].high
    assert low < target[0] - 0.5 * (target[1] - target[0]) and high > target[1] + 0.5 * (target[1] - target[0])
    pieces = [Observation(body, value, "A") for value in (11.7, 11.75, 11.8)]
    assert propose(CLAYS, {SHRINKAGE: pieces}, {SHRINKAGE: target}, 4).bodies[0].chance > once.chance


@pytest.mark.parametrize("count", [1, 2, 5, 8, 30])
@pytest.mark.parametrize("measured", [(), (SHRINKAGE,), (SHRINKAGE, ABSORPTION)])
def test_exactly_as_many_as_asked(count: int, measured: tuple[str, ...]) -> None:
    known = {name: lattice(name) for name in measured}
    found = propose(CLAYS, known, {SHRINKAGE: (11, 12.5), ABSORPTION: (0, 6)}, count, seed=1)
    sound(found, CLAYS, count)
    made = np.array([one.shares for one in lattice()])
    if measured:
        assert all(np.abs(made - np.array(body.shares)).max(axis=1).min() >= LEAST_DIFFERENCE for body in found.bodies)
    assert found == propose(CLAYS, known, {SHRINKAGE: (11, 12.5), ABSORPTION: (0, 6)}, count, seed=1)


def test_meets_what_can_be_met() -> None:
    """Invented surfaces nearly without noise: the best body truly lies in both windows, and the interval holds it."""
    known = {SHRINKAGE: lattice(), ABSORPTION: lattice(ABSORPTION)}
    targets = {SHRINKAGE: (11.5, 12.0), ABSORPTION: (None, 7.0)}
    best = propose(CLAYS, known, targets, 4).bodies[0]
    assert best.chance > 0.7
    assert 11.5 <= shrinkage(best.shares) <= 12.0 and absorption(best.shares) <= 7.0
    assert best.predicted[SHRINKAGE].low <= shrinkage(best.shares) <= best.predicted[SHRINKAGE].high
    assert "chance of" in best.why and "total shrinkage 1" in best.why


def test_first_set_is_spread_out() -> None:
    """Without data: no two bodies closer than a quarter of the region's width, and the notes say it is blind."""
    found = propose(CLAYS, {}, {SHRINKAGE: (11, 12)}, 5)
    rows = np.array([body.shares for body in found.bodies])
    gaps = [np.abs(one - other).max() for row, one in enumerate(rows) for other in rows[:row]]
    assert min(gaps) > 0.3 / 8
    assert all(body.chance == UNMEASURED_CHANCE and not body.predicted for body in found.bodies)
    assert "bounds alone" in found.notes[0]


def test_target_without_data_is_said() -> None:
    found = propose(CLAYS, {SHRINKAGE: lattice()}, {SHRINKAGE: (11.5, 12.5), ABSORPTION: (0, 2)}, 3)
    assert any("Nothing has been measured of absorption" in note for note in found.notes)
    assert max(body.chance for body in found.bodies) <= UNMEASURED_CHANCE
    assert set(found.bodies[0].predicted) == {SHRINKAGE}


def test_bound_in_the_way_is_named() -> None:
    """Absorption falls with the third material, which may not pass 30 parts; shrinkage rises with the first."""
    found = propose(CLAYS, {ABSORPTION: lattice(ABSORPTION)}, {ABSORPTION: (0, 2)}, 3)
    sound(found, CLAYS, 3)
    note = next(note for note in found.notes if "cannot be met" in note)
    assert "material C at most 30 stands in the way" in note and "up to 2" in note
    found = propose(CLAYS, {SHRINKAGE: lattice()}, {SHRINKAGE: (None, 8)}, 3)
    note = next(note for note in found.notes if "cannot be met" in note)
    assert "material A at least 30 stands in the way" in note


def test_targets_that_fight_are_said_to() -> None:
    """Little absorption wants the third material high, shrinkage above 13.8 wants the first high: not both."""
    known = {SHRINKAGE: lattice(), ABSORPTION: lattice(ABSORPTION)}
    found = propose(CLAYS, known, {SHRINKAGE: (13.8, None), ABSORPTION: (None, 5.1)}, 3)
    assert any("not all together" in note for note in found.notes)


def test_few_data_are_said_to_be_few() -> None:
    two = lattice()[:6]
    found = propose(CLAYS, {SHRINKAGE: two}, {SHRINKAGE: (11, 12.5)}, 4)
    sound(found, CLAYS, 4)
    assert any("2 bodies in 2 batches" in note and "the ranges are wide" in note for note in found.notes)
    alone = propose(CLAYS, {SHRINKAGE: two[:1]}, {SHRINKAGE: (11, 12.5)}, 4)
    sound(alone, CLAYS, 4)
    assert any("No batch has two pieces" in note for note in alone.notes)


@pytest.mark.parametrize(
    ("targets", "count"),
    [({}, 3), ({SHRINKAGE: (12.0, 11.0)}, 3), ({SHRINKAGE: (float("nan"), 11.0)}, 3), ({SHRINKAGE: (11.0, 12.0)}, 0)],
)
def test_refuses_what_is_no_plan(targets: dict[str, tuple[float, float]], count: int) -> None:
    with pytest.raises(BadInput) as refused:
        propose(CLAYS, {}, targets, count)
    assert refused.value.remedy


def test_refuses_values_of_other_materials() -> None:
    with pytest.raises(BadInput, match="other materials"):
        propose(CLAYS, {SHRINKAGE: [Observation((0.5, 0.5), 11.0, "A")]}, {SHRINKAGE: (11, 12)}, 3)


def test_values_without_any_scatter_break_nothing() -> None:
    """All alike, or on a plane exactly: chances are still chances."""
    rows = CLAYS.sample(9, 1).tolist()
    alike = [Observation(tuple(x), 11.0, str(row)) for row, x in enumerate(rows)]
    sound(propose(CLAYS, {SHRINKAGE: alike}, {SHRINKAGE: (12, 13)}, 4), CLAYS, 4)
    plane = [Observation(tuple(x), shrinkage(tuple(x)), str(row)) for row, x in enumerate(rows)]
    found = propose(CLAYS, {SHRINKAGE: plane}, {SHRINKAGE: (11.9, 12.1)}, 4)
    assert 11.9 <= shrinkage(found.bodies[0].shares) <= 12.1


def test_a_region_of_almost_one_recipe_still_gives_a_set() -> None:
    narrow = Box((0.5, 0.49), (0.51, 0.5))
    assert len(propose(narrow, {}, {SHRINKAGE: (11, 12)}, 4).bodies) == 4
    known = [Observation((0.505, 0.495), 11.0 + turn, str(turn)) for turn in range(3)]
    assert len(propose(narrow, {SHRINKAGE: known}, {SHRINKAGE: (11, 12)}, 4).bodies) == 4


@settings(max_examples=4, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 9))
def test_every_made_up_lab_gets_sound_sets(seed: int, count: int) -> None:
    world = made_up(seed)
    found = run(world, seed, count=count, most=2 * count, at_least=2 * count)
    assert found.bodies == 2 * count
    known = {name: [Observation(tuple(world.region.sample(1, seed)[0].tolist()), 1.0, "A")] for name in world.targets}
    sound(propose(world.region, known, world.targets, count, seed=seed), world.region, count)
