"""Figures by what they draw: values, labels, units."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.comparison import compare_bodies, side_by_side
from claybench.ask.slabs import slab_page
from claybench.errors import BadInput
from claybench.figure.body_charts import compare_chart, difference_chart, vitrification_chart
from claybench.figure.chart import Chart, Series
from claybench.figure.render import render_chart, save_chart
from claybench.figure.slab_charts import slab_chart
from claybench.insight.bodies.comparison.body_means import body_results, pool_bodies
from claybench.insight.bodies.comparison.property_columns import columns_of
from claybench.record.lab import Lab
from claybench.terms import Batch, Fired, Piece
from tests.sample import END

pytestmark = pytest.mark.slow


def test_compare_draws_each_mean_with_its_interval(sample_lab: Lab) -> None:
    results = compare_bodies(sample_lab, ["B-01", "B-04"], as_of=END)
    chart = compare_chart(results, "absorption_pct")
    assert chart.y_label == "absorption, %"
    assert [name for _, name in chart.ticks] == ["B-01", "B-04"]
    means = sorted(mean for series in chart.series if not series.faint for mean in series.y)
    expected = sorted(
        result.properties["absorption_pct"].mean
        for result in results
        if result.firing and "absorption_pct" in result.properties
    )
    assert means == pytest.approx(expected)
    figure = render_chart(chart)
    axes = figure.axes[0]
    assert axes.get_ylabel() == "absorption, %"
    assert [label.get_text() for label in axes.get_xticklabels()] == ["B-01", "B-04"]


def test_a_slabs_life_has_its_weighings_and_events(sample_lab: Lab) -> None:
    chart = slab_chart(slab_page(sample_lab, "P4", as_of=END))
    assert chart.y_label.endswith("% of what it can hold")
    assert "chipped" in [word for _, word in chart.marks]
    assert {series.label for series in chart.series} == {"by the water balance", "weighed"}


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_saved_twice_the_bytes_are_the_same(sample_lab: Lab, tmp_path: Path, ending: str) -> None:
    chart = compare_chart(compare_bodies(sample_lab, ["B-01"], as_of=END))
    first = save_chart(chart, tmp_path / f"a.{ending}").read_bytes()
    assert save_chart(chart, tmp_path / f"b.{ending}").read_bytes() == first


def test_bad_requests_say_what_would_work(sample_lab: Lab, tmp_path: Path) -> None:
    results = compare_bodies(sample_lab, ["B-01"], as_of=END)
    with pytest.raises(BadInput, match="not a property"):
        compare_chart(results, "colour")
    with pytest.raises(BadInput, match=r"\.png, \.svg or \.pdf"):
        save_chart(compare_chart(results), tmp_path / "figure.gif")


def test_plain_text_says_the_same(sample_lab: Lab) -> None:
    chart = compare_chart(compare_bodies(sample_lab, ["B-01"], as_of=END))
    assert "total shrinkage, %" in chart.plain()


def test_marks_too_close_for_two_words_share_one() -> None:
    line = Series("water", (0.0, 100.0), (1.0, 0.0), kind="line")
    marks = ((60.0, "chipped"), (20.0, "cleaned"), (21.0, "other clay"))
    (axes,) = render_chart(Chart("x", "day", "%", (line,), marks=marks)).axes
    assert [text.get_text() for text in axes.texts] == ["cleaned, other clay", "chipped"]


def test_a_legend_of_bodies_stands_beside_what_is_drawn(sample_lab: Lab) -> None:
    figure = render_chart(compare_chart(compare_bodies(sample_lab, ["B-01", "B-02", "B-05", "B-07"])))
    figure.draw_without_rendering()
    (axes,) = figure.axes
    legend = axes.get_legend()
    assert legend is not None
    assert legend.get_window_extent().x0 >= axes.get_window_extent().x1 - 1
    assert legend.get_window_extent().x1 <= figure.bbox.x1


def test_differences_stand_about_none_with_both_intervals(sample_lab: Lab) -> None:
    found = side_by_side(sample_lab, ["B-01", "B-04", "R-01"], as_of=END)
    chart = difference_chart(found, "drying_shrinkage_pct")
    assert chart.y_label == "drying shrinkage less that of B-01, %"
    assert chart.levels == ((0.0, "as B-01"),)
    thick, thin = chart.series
    assert (thick.kind, thin.kind, thick.y) == ("bars", "points", thin.y)
    (one,) = [
        one
        for each in found.results
        if (each.body, each.firing) == ("R-01", None)
        for one in found.differences_of(each)
        if one.name == "drying_shrinkage_pct"
    ]
    assert (thin.low[1], thin.high[1]) == (one.low, one.high)
    assert (thick.low[1], thick.high[1]) == (one.lab_low, one.lab_high)
    (axes,) = render_chart(chart).axes
    assert [label.get_text() for label in axes.get_xticklabels()] == ["B-04", "R-01"]


def test_absorption_and_shrinkage_against_heat(sample_lab: Lab) -> None:
    found = side_by_side(sample_lab, ["R-01", "W-01"], as_of=END)
    chart = vitrification_chart(found.vitrification(3.0))
    assert (chart.x_label, chart.y_label) == ("peak temperature, °C", "absorption and total shrinkage, %")
    assert [series.label for series in chart.series][:2] == ["R-01 absorption", "R-01 total shrinkage"]
    absorbed = chart.series[0]
    assert {round(x) for x in absorbed.x} >= {1061, 1222}
    assert len(absorbed.path) == 2 and chart.levels == ((3.0, "tight below 3 %"),)
    assert any("nowhere under 3 %" in note for note in chart.notes)
    figure = render_chart(chart)
    figure.draw_without_rendering()
    (axes,) = figure.axes
    legend = axes.get_legend()
    assert legend is not None and len(legend.get_texts()) == 4


def test_one_property_taken_two_ways_is_two_series() -> None:
    batches = [Batch(batch=code, body=code, mixed_at=END) for code in "ABC"]
    pieces = [Piece(piece=code, batch=code) for code in "ABC"]
    fired = [
        Fired(piece=code, firing="F", fired_g=100.0, soaked_g=103.0, soak_method="vacuum" if code == "C" else "boil")
        for code in "ABC"
    ]
    chart = compare_chart(body_results("ABC", pool_bodies(columns_of(pieces, fired, batches)), {}), "absorption_pct")
    assert [series.label for series in chart.series if not series.faint] == ["F", "F, vacuum"]


def test_series_differ_without_their_colour() -> None:
    """Grey print and colour-blind eyes: shape and filling of points, strokes of lines."""
    points = tuple(Series(f"F-{n}", (float(n),), (1.0,), (0.5,), (1.5,)) for n in range(20))
    (axes,) = render_chart(Chart("x", "body", "%", points)).axes
    marks = [each.lines[0] for each in axes.containers]
    assert len({(line.get_marker(), line.get_markerfacecolor() == "white") for line in marks}) == 20
    lines = tuple(Series(f"L-{n}", (0.0, 1.0), (float(n), 1.0), kind="line") for n in range(4))
    (axes,) = render_chart(Chart("x", "day", "%", lines)).axes
    assert len({line.get_linestyle() for line in axes.lines}) == 4


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_each_kind_of_picture_is_what_its_ending_says(tmp_path: Path, ending: str) -> None:
    chart = Chart("Ω $x$", "day", "wet, %", (Series("a", (0.0, 1.0), (1.0, 2.0), kind="line"),))
    begins = {"png": b"\x89PNG", "svg": b"<?xml", "pdf": b"%PDF"}[ending]
    assert save_chart(chart, tmp_path / f"a.{ending}").read_bytes().startswith(begins)


def test_the_word_of_a_line_across_keeps_clear_of_a_legend_beside_the_axes(sample_lab: Lab) -> None:
    compared = side_by_side(sample_lab, ["B-01", "B-03", "B-07"], against="B-01", as_of=END)
    figure = render_chart(difference_chart(compared, "absorption_pct"))
    figure.canvas.draw()
    axes = figure.axes[0]
    (word,) = [each for each in axes.texts if each.get_text() == "as B-01"]
    assert not word.get_window_extent().overlaps(axes.get_legend().get_window_extent())


def test_a_range_without_a_name_is_not_told(sample_lab: Lab) -> None:
    compared = side_by_side(sample_lab, ["B-01", "W-01"], as_of=END)
    told = vitrification_chart(compared.vitrification(None)).plain().splitlines()
    assert "  tight below 3 %: 3" in told and not [line for line in told if line.startswith("  : ")]
