"""The triangle of a plan: what is allowed by area, bands with the target's ends, points, letters, pictures."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.plan import plan_next_set
from claybench.errors import BadInput
from claybench.figure.render import save_chart
from claybench.figure.render_triangle import render_triangle
from claybench.figure.text_triangle import triangle_text
from claybench.figure.triangle import Triangle, TrianglePoint, build_triangle, contour_choices, triangle_choices
from claybench.insight.plan.design.plan_file import parse_plan
from claybench.insight.plan.design.region_slice import RegionSlice
from claybench.insight.plan.next_set.next_set import NextSet
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from tests.sample import END, buff_plan

FOUR = buff_plan("t$", 3, {"absorption_pct": (0, 4)})


@pytest.fixture(scope="module")
def measured(sample_lab_file: Path) -> NextSet:
    lab = open_lab(sample_lab_file)
    found = plan_next_set(lab, parse_plan(FOUR), as_of=END)
    lab.close()
    return found


def test_letters_fill_as_much_as_the_bounds_allow(lab: Lab) -> None:
    text = 'title = "t"\nfamily = "f"\ncount = 2\n[materials]\na = [20, 80]\nb = [20, 80]\nc = [0, 60]\n'
    chart = build_triangle(plan_next_set(lab, parse_plan(text)))
    assert (chart.of, chart.edges, chart.held) == (None, (), ())
    # Least parts 20, 20, 0 leave a triangle of side 60; shown is one of side 76, 12 % wider on every side it can be.
    assert list(map(chart.cut.corner, range(3))) == [(88, 12, 0), (12, 88, 0), (12, 12, 76)]
    lines = triangle_text(chart, 110, 30)
    rows = [line[line.index("/") + 1 : line.rindex("\\")] for line in lines[1:-1] if "/" in line and "\\" in line]
    inside = sum(row.count("·") for row in rows)
    area = sum(map(len, rows))
    assert inside / area == pytest.approx((60 / 76) ** 2, abs=0.05)
    assert "a 88" in lines[0] and "b 88" in lines[-1] and "c 76" in lines[-1]
    said = "\n".join(lines)
    assert "allowed; nothing measured yet" in said and "proposed: 1, 2" in said


def test_contours_points_and_what_is_held(measured: NextSet) -> None:
    assert contour_choices(measured) == ["chance", "absorption_pct"] and len(triangle_choices(measured)) == 4
    chart = build_triangle(measured, ("feldspar", "ball clay", "fire clay"), "absorption_pct")
    assert chart.names == ("feldspar", "ball clay", "fire clay") and 4.0 in chart.edges and len(chart.edges) <= 4
    assert chart.label == "absorption, %" and chart.wanted == (0, 4)
    # More feldspar absorbs less, and the lattice says so: from the bottom to the top at even shares of the clays.
    low, high = chart.value((0.0, 0.5, 0.5)), chart.value((1.0, 0.0, 0.0))
    assert low is not None and high is not None and low > high
    band = chart.band(3.99)
    assert "wanted" in chart.band_text(band) and "wanted" not in chart.band_text(chart.band(4.01))
    kinds = {(point.label, point.kind) for point in chart.points}
    assert ("1", "proposed") in kinds and ("B-01", "measured") in kinds
    first = next(point for point in chart.points if point.label == "1")
    assert not first.beside and dict(chart.held).keys() == {"grog"}
    assert first.parts == pytest.approx([measured.bodies[0].parts[name] for name in chart.names])
    said = "\n".join(triangle_text(chart, 77, 19))
    assert "absorption, %" in said and "below" in said and "○" in said and "held: grog" in said
    assert all(len(line) <= 77 for line in said.splitlines()) and len(said.splitlines()) <= 19
    # Stacked, where there is no room beside.
    assert max(map(len, triangle_text(chart, 50, 34))) <= 50


def test_a_chance_is_shown_in_per_cent_and_never_above_what_is_possible(measured: NextSet) -> None:
    chart = build_triangle(measured)
    assert chart.of == "chance"
    assert all(0 <= value <= 1 for row in chart.values for value in row)
    assert chart.band_text(0).startswith("below") and chart.band_text(0).endswith("%")


def test_what_cannot_be_drawn_is_said(measured: NextSet, lab: Lab) -> None:
    with pytest.raises(BadInput, match="Known: chance, absorption_pct"):
        build_triangle(measured, None, "porosity_pct")
    with pytest.raises(BadInput, match="no proposal 9"):
        build_triangle(measured, None, None, 9)
    two = plan_next_set(
        lab, parse_plan('title = "t"\nfamily = "f"\ncount = 1\n[materials]\na = [20, 80]\nb = [20, 80]\n')
    )
    with pytest.raises(BadInput, match="takes three materials"):
        build_triangle(two)


def test_the_picture_names_corners_bodies_and_bands(measured: NextSet, tmp_path: Path) -> None:
    chart = build_triangle(measured, None, "absorption_pct")
    svg = save_chart(chart, tmp_path / "it.svg").read_text(encoding="utf-8")
    top = chart.cut.corner(0)[0]
    assert f">{chart.names[0]} {top:.10g}<" in svg and ">B-01<" in svg and ">bounds of the plan<" in svg
    assert ">absorption, %<" in svg and "Held:" in svg and ">t$<" in svg
    axes = render_triangle(chart).axes[0]
    outline = next(line for line in axes.lines if line.get_linewidth() == 1.8)
    assert len(outline.get_xdata()) == len(chart.cut.outline) + 1
    with pytest.raises(BadInput, match="png, .svg or .pdf"):
        save_chart(chart, tmp_path / "it.gif")


def test_bodies_outside_the_drawing_are_left_out_of_the_letters() -> None:
    cut = RegionSlice(
        ("a", "b", "c"), (0, 1, 2), 100.0, (0.0, 0.0, 0.0), ((60, 20, 20), (20, 60, 20), (20, 20, 60)), (10, 10, 10)
    )
    point = TrianglePoint("B-1", "made", (40.0, 30.0, 30.0), False)
    chart = Triangle("t", cut, (), None, "", (), (), None, (point,), 2)
    said = "\n".join(triangle_text(chart, 90, 20))
    assert "◆" in said and "outside the drawing: 2" in said
