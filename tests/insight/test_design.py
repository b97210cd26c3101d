"""Regions, first sets and rounding against published designs, scipy's geometry and linear programming."""

from __future__ import annotations

import itertools
import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given, settings, strategies as st
from numpy.typing import NDArray
from scipy.optimize import linprog
from scipy.spatial import HalfspaceIntersection

from claybench.errors import BadInput
from claybench.insight.plan.design.first_sets import (
    blend_line,
    blend_triangle,
    choose_replicates,
    extreme_vertices,
    lay_into_region,
    simplex_centroid,
    simplex_lattice,
    spread_subset,
)
from claybench.insight.plan.design.region import Group, Region, RegionInShares
from claybench.insight.plan.design.rounding import finest_step, round_recipe, round_recipes
from claybench.insight.plan.surfaces.observations import Observation
from claybench.insight.plan.surfaces.proposals import propose

pytestmark = pytest.mark.slow

Array = NDArray[np.float64]
Bounds = dict[str, tuple[float, float]]
NAMES = ("ball clay", "fire clay", "feldspar", "flint", "talc")
WHOLE = Region.from_bounds(dict.fromkeys(NAMES[:3], (0, 100)))
# McLean and Anderson's flare, Technometrics 1966: bounds from memory, corners and centroids derived from them.
FLARE = Region.from_bounds({"x1": (40, 60), "x2": (10, 50), "x3": (10, 50), "x4": (3, 8)})


@st.composite
def asked(draw: st.DrawFn) -> tuple[Bounds, list[Group]]:
    """Bounds on two to five materials and up to two groups, whether or not something is left between them."""
    names = NAMES[: draw(st.integers(2, 5))]
    tenth = st.integers(0, 1000).map(lambda count: count / 10)
    ends = st.tuples(tenth, tenth).map(lambda pair: (min(pair), max(pair)))
    bounds = {name: draw(ends) for name in names}
    groups = []
    for _ in range(draw(st.integers(0, 2))):
        members = draw(st.lists(st.sampled_from(names), min_size=2, max_size=len(names), unique=True))
        groups.append(Group(tuple(members), *draw(ends)))
    return bounds, groups


@st.composite
def regions(draw: st.DrawFn) -> Region:
    """Regions with something in them: bounds and groups drawn around a recipe."""
    names = NAMES[: draw(st.integers(2, 5))]
    weights = draw(st.lists(st.integers(1, 50), min_size=len(names), max_size=len(names)))
    inside = dict(zip(names, (100 * weight / sum(weights) for weight in weights), strict=True))
    room = st.integers(0, 40)

    def around(value: float) -> tuple[float, float]:
        return max(math.floor(value) - draw(room), 0), min(math.ceil(value) + draw(room), 100)

    groups = []
    for _ in range(draw(st.integers(0, 2))):
        members = draw(st.lists(st.sampled_from(names), min_size=2, max_size=len(names), unique=True))
        groups.append(Group(tuple(members), *around(sum(inside[name] for name in members))))
    return Region.from_bounds({name: around(part) for name, part in inside.items()}, groups)


def rows_of(points: Array) -> set[tuple[float, ...]]:
    return {tuple(round(part, 6) for part in row) for row in points.tolist()}


def halfspaces(region: Region) -> Array:
    """The region in its first materials, as scipy takes it: the last makes up the hundred."""
    count = len(region.names)
    rows = [[*-np.eye(count)[place], 0.0] for place in range(count)]
    for limit in region.constraints:
        sign = 1.0 if limit.upper else -1.0
        rows.append([*(sign * (place in limit.materials) for place in range(count)), -sign * float(limit.parts)])
    table = np.array(rows)
    free, last, most = table[:, : count - 1], table[:, count - 1], table[:, count]
    found = np.column_stack([free - last[:, None], most + 100 * last])
    # A limit on all materials together says nothing once the last makes up the hundred, unless it is impossible.
    kept: Array = found[(free != last[:, None]).any(axis=1) | (found[:, -1] > 0)]
    return kept


def test_corners_of_the_flare() -> None:
    corners = {
        (40, 10, 42, 8), (40, 10, 47, 3), (40, 42, 10, 8), (40, 47, 10, 3),
        (60, 10, 22, 8), (60, 10, 27, 3), (60, 22, 10, 8), (60, 27, 10, 3),
    }  # fmt: skip
    assert rows_of(FLARE.vertices()) == corners
    assert len(FLARE.face_centroids()) == 6
    assert rows_of(FLARE.face_centroids()) >= {(50, 10, 34.5, 5.5), (50, 34.5, 10, 5.5), (60, 17.25, 17.25, 5.5)}
    assert FLARE.centroid() == pytest.approx([50, 22.25, 22.25, 5.5])
    assert len(extreme_vertices(FLARE)) == 8 + 6 + 1
    # A body with 8 corners and 6 faces has 12 edges (Euler).
    assert len(FLARE.edge_centroids()) == 12


def test_lattices_and_centroids_have_the_published_sizes() -> None:
    # NIST/SEMATECH e-Handbook 5.5.4.2 and 5.5.4.3.
    assert len(simplex_lattice(3, 3)) == 10
    assert rows_of(100 * simplex_lattice(3, 2)) == {
        (100, 0, 0), (0, 100, 0), (0, 0, 100), (50, 50, 0), (50, 0, 50), (0, 50, 50)
    }  # fmt: skip
    for count in range(1, 7):
        assert len(simplex_centroid(count)) == 2**count - 1
        for degree in range(1, 5):
            lattice = simplex_lattice(count, degree)
            assert len(lattice) == math.comb(count + degree - 1, degree)
            assert lattice.sum(axis=1) == pytest.approx(1)


def test_lines_and_triangles_have_so_many_bodies() -> None:
    a, b, c = (60, 30, 10), (20, 50, 30), (40, 40, 20)
    assert len(blend_line(a, b, 7)) == 8
    # Derived: (m + 1)(m + 2) / 2.
    assert [len(blend_triangle(a, b, c, steps)) for steps in range(3, 8)] == [10, 15, 21, 28, 36]
    assert blend_triangle(a, b, c, 10).sum(axis=1) == pytest.approx(100)
    assert blend_line(a, b, 2)[1] == pytest.approx([40, 40, 20])
    with pytest.raises(BadInput, match="different materials"):
        blend_line((50, 50), a, 2)


def test_pseudocomponents_run_from_0_to_1_above_the_lower_bounds() -> None:
    # x' = (x − L) / (1 − ΣL), NIST/SEMATECH e-Handbook 5.5.4.6.
    region = Region.from_bounds({"a": (35, 100), "b": (20, 100), "c": (15, 100)})
    assert region.from_pseudocomponents(np.eye(3)) == pytest.approx(region.vertices())
    assert region.from_pseudocomponents(np.array([15 / 30, 10 / 30, 5 / 30])) == pytest.approx([50, 30, 20])
    rows = lay_into_region(region, simplex_lattice(3, 2))
    assert len(rows) == 6
    cut = Region.from_bounds({"a": (35, 60), "b": (20, 100), "c": (15, 100)})
    assert rows_of(lay_into_region(cut, simplex_lattice(3, 2))) == rows_of(rows) - {(65, 20, 15)}


@settings(max_examples=60, deadline=None)
@given(regions())
def test_corners_agree_with_scipy(region: Region) -> None:
    count = len(region.names)
    assume(count > 2 and region.dimension == count - 1)
    middle = region.centroid()[: count - 1]
    found = HalfspaceIntersection(halfspaces(region), middle).intersections
    full = np.column_stack([found, 100 - found.sum(axis=1)])
    ours = region.vertices()
    apart = np.abs(full[:, None, :] - ours[None, :, :]).max(axis=2)
    assert apart.min(axis=0).max() < 1e-4
    assert apart.min(axis=1).max() < 1e-4


@settings(max_examples=80, deadline=None)
@given(asked())
def test_bounds_are_refused_exactly_where_a_linear_program_finds_nothing(given_: tuple[Bounds, list[Group]]) -> None:
    bounds, groups = given_
    bare = Region(tuple(bounds), *(tuple(ends[n] for ends in bounds.values()) for n in (0, 1)), tuple(groups))
    table = halfspaces(bare)
    possible = linprog(np.zeros(table.shape[1] - 1), table[:, :-1], -table[:, -1], bounds=(None, None)).status == 0
    if possible:
        assert Region.from_bounds(bounds, groups).corners
        return
    with pytest.raises(BadInput, match="contradict each other") as refused:
        Region.from_bounds(bounds, groups)
    named = {limit.name for limit in bare.constraints if limit.name in refused.value.reason}
    assert named
    # The named bounds contradict each other by themselves: taken alone they still leave nothing.
    kept = [limit for limit in bare.constraints if limit.name in named]
    loose = {name: [0.0, 100.0] for name in bounds}
    groups_kept = []
    for limit in kept:
        if len(limit.materials) == 1:
            loose[bare.names[limit.materials[0]]][int(limit.upper)] = float(limit.parts)
        else:
            members = tuple(bare.names[place] for place in limit.materials)
            low, high = (0.0, float(limit.parts)) if limit.upper else (float(limit.parts), 100.0)
            groups_kept.append(Group(members, low, high))
    with pytest.raises(BadInput):
        Region.from_bounds({name: (low, high) for name, (low, high) in loose.items()}, groups_kept)


@pytest.mark.parametrize(
    ("bounds", "groups", "named", "works"),
    [
        ({"a": (60, 70), "b": (50, 60), "c": (0, 10)}, [], "a at least 60 and b at least 50", "a at least 50"),
        ({"a": (0, 20), "b": (0, 30), "c": (0, 10)}, [], "a at most 20, b at most 30 and c at most 10", "a at most 60"),
        (
            {"a": (30, 60), "b": (20, 50), "c": (10, 30)},
            [Group(("a", "b"), 20, 45)],
            "c at most 30 and a + b at most 45",
            "a at least 25 and c at most 55",
        ),
        ({"a": (70, 60), "b": (0, 50)}, [], "a at least 70 and at most 60", "a 60 to 70"),
    ],
)
def test_contradicting_bounds_are_named_with_what_would_work(
    bounds: Bounds, groups: list[Group], named: str, works: str
) -> None:
    with pytest.raises(BadInput) as refused:
        Region.from_bounds(bounds, groups)
    assert named in refused.value.reason
    assert works in refused.value.remedy


def test_what_would_work_does() -> None:
    region = Region.from_bounds({"a": (25, 60), "b": (20, 50), "c": (10, 55)}, [Group(("a", "b"), 20, 45)])
    assert rows_of(region.vertices()) == {(25, 20, 55)}
    assert region.dimension == 0
    assert region.sample(3).tolist() == [[25, 20, 55]] * 3


@pytest.mark.parametrize(
    ("bounds", "groups", "says"),
    [
        ({}, [], "No material"),
        ({"a": (-1, 50), "b": (0, 100)}, [], "not parts of 100"),
        ({"a": (0, math.nan), "b": (0, 100)}, [], "not parts of 100"),
        ({"a": (0, 100), "b": (0, 100)}, [Group(("a", "sand"), 0, 50)], "names sand"),
        ({"a": (0, 100), "b": (0, 100)}, [Group(("a", "a"), 0, 50)], "twice"),
        ({str(n): (0, 100) for n in range(11)}, [], "too many"),
    ],
)
def test_bounds_that_are_none_are_refused(bounds: Bounds, groups: list[Group], says: str) -> None:
    with pytest.raises(BadInput, match=says):
        Region.from_bounds(bounds, groups)


@settings(max_examples=60, deadline=None)
@given(regions(), st.integers(0, 5))
def test_samples_and_centres_lie_in_the_region(region: Region, seed: int) -> None:
    rows = region.sample(40, seed)
    assert (rows == region.sample(40, seed)).all()
    for row in [*rows.tolist(), *extreme_vertices(region, edge=True).tolist()]:
        assert region.contains(row)
        assert sum(row) == pytest.approx(100)
    assert Fraction(100) == sum(region.corners[0].parts)


def test_samples_are_spread_evenly() -> None:
    # Below the share x of one material lies 1 − (1 − x)² of a triangle.
    rows = WHOLE.sample(4000, 1)
    for at in (0.1, 0.3, 0.6):
        assert (rows[:, 0] < 100 * at).mean() == pytest.approx(1 - (1 - at) ** 2, abs=0.025)
    # Against thrown-away points of Dirichlet's distribution in a region with a group.
    region = Region.from_bounds(dict.fromkeys(NAMES[:4], (5, 60)), [Group(NAMES[:2], 40, 70)])
    thrown = 100 * np.random.default_rng(3).dirichlet(np.ones(4), 200_000)
    kept = thrown[(thrown >= 5).all(axis=1) & (thrown <= 60).all(axis=1)]
    kept = kept[(kept[:, :2].sum(axis=1) >= 40) & (kept[:, :2].sum(axis=1) <= 70)]
    ours = region.sample(4000, 2)
    assert ours.mean(axis=0) == pytest.approx(kept.mean(axis=0), abs=0.6)
    assert ours.std(axis=0) == pytest.approx(kept.std(axis=0), rel=0.05)


@settings(max_examples=100, deadline=None)
@given(regions(), st.sampled_from([0.1, 0.25, 0.5, 1.0]), st.integers(0, 3))
def test_rounded_recipes_stay_within_bounds(region: Region, step: float, seed: int) -> None:
    # The regions' bounds are whole parts, so that every one of these steps fits them.
    for row in region.sample(3, seed).tolist():
        found = round_recipe(region, row, step)
        assert region.contains(found, 1e-9)
        assert sum(map(Fraction, found)) == pytest.approx(100, abs=1e-9)
        for part in found:
            assert part / step == pytest.approx(round(part / step), abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_rounding_is_to_the_nearest_recipe(seed: int) -> None:
    region = Region.from_bounds({"a": (20, 60), "b": (10, 45), "c": (5, 40), "d": (0, 25)})
    parts = region.sample(1, seed)[0]
    grid = [row for row in itertools.product(range(0, 101, 5), repeat=4) if sum(row) == 100 and region.contains(row)]
    best = min(((np.array(row) - parts) ** 2).sum() for row in grid)
    assert ((np.array(round_recipe(region, parts.tolist(), 5)) - parts) ** 2).sum() == pytest.approx(best)


@pytest.mark.parametrize("step", [0.1, 0.5, 1.0])
def test_many_rounded_at_once_are_what_each_is_alone(step: float) -> None:
    """Where a neighbour one step up or down keeps the bounds, it is the one that rounding alone finds."""
    region = Region.from_bounds(
        {"a": (10, 60), "b": (10, 50), "c": (10, 30), "d": (5, 20)}, [Group(("a", "b"), 45, 70)]
    )
    rows = region.sample(60, 3)
    alone = np.array([round_recipe(region, row, step) for row in rows.tolist()])
    many = round_recipes(region, rows, step)
    assert len(many) == len(rows) and np.abs(many - rows).max() <= step
    assert ((many - rows) ** 2).sum(axis=1) == pytest.approx(((alone - rows) ** 2).sum(axis=1))
    assert all(region.contains(row) for row in many.tolist())
    narrow = Region.from_bounds({"a": (50.2, 50.3), "b": (49.7, 49.8)})
    assert len(round_recipes(narrow, narrow.sample(5), 1.0)) == 0


def test_rounding_says_which_bound_is_in_the_way() -> None:
    region = Region.from_bounds({"clay": (40.2, 40.4), "flint": (0, 100), "spar": (20, 30)})
    with pytest.raises(BadInput, match="clay at least 40.2, clay at most 40.4"):
        round_recipe(region, (40.3, 34.7, 25), 0.5)
    assert round_recipe(region, (40.3, 34.7, 25), 0.1) == (40.3, 34.7, 25.0)
    with pytest.raises(BadInput, match="does not divide 100"):
        round_recipe(region, (40.3, 34.7, 25), 0.3)
    with pytest.raises(BadInput, match="spar at most 30"):
        round_recipe(region, (40.3, 24.7, 35), 0.1)


def test_the_step_is_what_the_scale_can_weigh() -> None:
    assert finest_step(1000, 1) == 0.1
    assert finest_step(5000, 1) == 0.02
    with pytest.raises(BadInput, match="too coarse"):
        finest_step(10, 1)


def test_broken_bounds_are_named() -> None:
    region = Region.from_bounds({"a": (0, 60), "b": (20, 100), "c": (0, 100)}, [Group(("a", "b"), 0, 80)])
    assert region.broken_bounds((70, 20, 10)) == ("a at most 60", "a + b at most 80")
    assert region.broken_bounds((50, 25, 20)) == ("all parts together 100",)


def test_thinned_sets_are_spread_and_repeats_begin_in_the_middle() -> None:
    rows = spread_subset(FLARE.sample(400, 4), 6)
    assert len(rows) == 6
    wide = rows / (FLARE.vertices().max(axis=0) - FLARE.vertices().min(axis=0))
    assert min(np.linalg.norm(a - b) for a, b in itertools.combinations(wide, 2)) > 0.4
    assert len(spread_subset(rows, 10)) == 6
    all_rows = extreme_vertices(FLARE)
    first, *others = choose_replicates(all_rows, 4)
    assert all_rows[first] == pytest.approx(FLARE.centroid())
    assert len({first, *others}) == 4
    assert len(choose_replicates(rows, 9)) == 9


def test_a_region_in_shares_is_what_proposals_take() -> None:
    region = Region.from_bounds({"a": (20, 60), "b": (10, 50), "c": (10, 40)}, [Group(("a", "b"), 65, 85)])
    found = propose(RegionInShares(region), {}, {"absorption_pct": (0, 2)}, 5)
    assert len(found.bodies) == 5
    for body in found.bodies:
        assert region.contains([100 * share for share in body.shares])


@pytest.mark.parametrize(("high", "says"), [(70, "a + b at most 70"), (100, "c at least 10")])
def test_a_group_can_stand_in_the_way_of_a_target(high: float, says: str) -> None:
    # The less of c the better: a + b at most 70 keeps it at 30, and nothing else does.
    region = Region.from_bounds({"a": (20, 60), "b": (10, 60), "c": (10, 50)}, [Group(("a", "b"), 0, high)])
    known = [
        Observation(tuple(share / 100 for share in row), 10 + row[2] / 10, f"batch {turn}-{again}")
        for turn, row in enumerate(extreme_vertices(region, edge=True).tolist())
        for again in range(2)
    ]
    found = propose(RegionInShares(region), {"absorption_pct": known}, {"absorption_pct": (0, 8)}, 3)
    assert any(says in note and "in the way" in note for note in found.notes)
