"""First sets: exactly as many new bodies as asked, within the bounds, laid out as the handbooks lay them out."""

from __future__ import annotations

import numpy as np
import pytest

from claybench.errors import BadInput
from claybench.insight.plan.design.first_choice import lay_out_first_set, usual_layout
from claybench.insight.plan.design.optimal import scheffe_terms
from claybench.insight.plan.design.plan_request import LAYOUTS, FirstSetRequest
from claybench.insight.plan.design.region import Group, Region

WHOLE = Region.from_bounds({"clay": (0, 100), "flint": (0, 100), "spar": (0, 100)})
FIVE = Region.from_bounds(
    {"kaolin": (10, 60), "ball clay": (10, 50), "spar": (10, 30), "quartz": (5, 20), "talc": (0, 10)},
    [Group(("kaolin", "ball clay"), 50, 70)],
)
TWO = Region.from_bounds({"clay": (40, 80), "sand": (20, 60)})


def rows_of(region: Region, count: int, kind: str, **asked: object) -> list[tuple[float, ...]]:
    found = lay_out_first_set(region, count, FirstSetRequest(kind=kind, **asked))  # type: ignore[arg-type]
    assert found.layout == kind and found.why.startswith("First set: ")
    return sorted(tuple(round(part, 4) for part in row) for row in found.rows.tolist())


@pytest.mark.parametrize("kind", LAYOUTS)
@pytest.mark.parametrize("region", [WHOLE, FIVE])
@pytest.mark.parametrize("count", [5, 8, 13])
def test_exactly_so_many_different_bodies_within_the_bounds(kind: str, region: Region, count: int) -> None:
    rows = rows_of(region, count, kind)
    assert len(set(rows)) == count
    assert all(region.contains(row, 1e-3) for row in rows)


def test_a_line_and_a_triangle_run_in_even_steps() -> None:
    """A line of n steps has n + 1 bodies, a triangle of m steps (m + 1)(m + 2) / 2 (derived)."""
    assert rows_of(TWO, 5, "line") == [(40, 60), (50, 50), (60, 40), (70, 30), (80, 20)]
    found = lay_out_first_set(WHOLE, 10, FirstSetRequest(kind="triangle"))
    assert found.notes == () and {round(3 * part) for row in found.rows.tolist() for part in row} == {0, 100, 200, 300}
    fewer = lay_out_first_set(WHOLE, 8, FirstSetRequest(kind="triangle"))
    assert len(fewer.rows) == 8 and "has 10 new bodies; these are 8" in fewer.notes[0]


def test_ends_may_be_bodies_that_are_made_already_and_are_not_made_again() -> None:
    made = {"B-01": (60.0, 30, 10), "B-02": (20.0, 30, 50)}
    asked = FirstSetRequest(kind="line", between=("b-01", "B-02"))
    found = lay_out_first_set(WHOLE, 3, asked, existing=np.array(list(made.values())), recipes=made)
    assert found.rows.tolist() == [[50, 30, 20], [40, 30, 30], [30, 30, 40]]
    assert "between b-01 and B-02" in found.why
    with pytest.raises(BadInput, match="neither a material"):
        lay_out_first_set(WHOLE, 3, FirstSetRequest(kind="line", between=("B-01", "B-09")), recipes=made)
    with pytest.raises(BadInput, match="B-02 lies outside the bounds: clay at least 30"):
        lay_out_first_set(
            Region.from_bounds({"clay": (30, 100), "flint": (0, 60), "spar": (0, 70)}), 3, asked, recipes=made
        )


def test_ends_may_be_materials() -> None:
    """The recipe with most of each: the middle of the corners that share it."""
    region = Region.from_bounds({"clay": (30, 60), "flint": (20, 50), "spar": (10, 30)})
    rows = rows_of(region, 2, "line", between=("clay", "spar"))
    assert [row[0] for row in rows] == [40, 60] and [row[2] for row in rows] == [30, 15]


def test_the_lattice_and_the_centroid_design_are_those_of_the_handbook() -> None:
    """NIST/SEMATECH e-Handbook 5.5.4: the {3, 2} and {3, 3} lattices, the centroid design of 2^q − 1 bodies."""
    assert rows_of(WHOLE, 6, "lattice", degree=2) == sorted(
        [(100, 0, 0), (0, 100, 0), (0, 0, 100), (50, 50, 0), (50, 0, 50), (0, 50, 50)]
    )
    assert len(rows_of(WHOLE, 10, "lattice")) == 10
    third = round(100 / 3, 4)
    assert (third, third, third) in rows_of(WHOLE, 7, "centroid") and (50, 50, 0) in rows_of(WHOLE, 7, "centroid")


def test_corners_are_the_flare_design() -> None:
    """McLean and Anderson (bounds from memory, result derived): 8 corners, 6 middles of faces, the whole's middle."""
    flare = Region.from_bounds({"x1": (40, 60), "x2": (10, 50), "x3": (10, 50), "x4": (3, 8)})
    rows = rows_of(flare, 15, "corners")
    assert len(rows) == 15 and (40, 10, 42, 8) in rows and (50, 22.25, 22.25, 5.5) in rows


def test_optimal_sets_for_six_bodies_are_the_lattice() -> None:
    """Kiefer (1961), from memory: for the quadratic model of three the {3, 2} lattice is D-optimal."""
    assert rows_of(WHOLE, 6, "D-optimal", model="quadratic") == rows_of(WHOLE, 6, "lattice", degree=2)


def test_an_optimal_set_knows_what_is_there() -> None:
    """With five of the six lattice bodies made, the sixth is what is missing."""
    made = np.array([(100.0, 0, 0), (0, 100, 0), (0, 0, 100), (50, 50, 0), (50, 0, 50)])
    found = lay_out_first_set(WHOLE, 1, FirstSetRequest(kind="D-optimal", model="quadratic"), existing=made)
    assert found.rows.tolist() == [[0, 50, 50]]
    assert np.linalg.matrix_rank(scheffe_terms("quadratic", np.vstack([made, found.rows]) / 100)) == 6


def test_too_few_for_a_model_is_said() -> None:
    with pytest.raises(BadInput, match="too few for a set made for a mixture model of 5 materials"):
        lay_out_first_set(FIVE, 3, FirstSetRequest(kind="D-optimal"))
    with pytest.raises(BadInput, match="15 terms of the quadratic model"):
        lay_out_first_set(FIVE, 6, FirstSetRequest(kind="I-optimal", model="quadratic"))


def test_by_itself_two_materials_are_a_line_and_more_are_spread() -> None:
    assert usual_layout(TWO, 4) == "line" and usual_layout(FIVE, 6) == "spread" and usual_layout(TWO, 1) == "spread"
    rows = lay_out_first_set(FIVE, 6).rows
    gaps = [np.abs(one - other).max() for row, one in enumerate(rows) for other in rows[:row]]
    assert min(gaps) > 5


def test_bounds_that_leave_one_recipe_still_give_a_set() -> None:
    one = Region.from_bounds({"clay": (70, 70), "sand": (30, 30)})
    found = lay_out_first_set(one, 3)
    assert found.rows == pytest.approx(np.array([[70, 30]] * 3)) and "hardly more than one recipe" in found.notes[-1]
