"""Figures of slabs and forecasts by what they draw."""

from __future__ import annotations

import pytest

from claybench.ask.backtest import backtest
from claybench.ask.slabs import slab_page
from claybench.errors import BadInput, NotFound
from claybench.figure.render import render_chart
from claybench.figure.slab_charts import backtest_chart, slab_life_chart, slowness_chart
from claybench.insight.slab_condition.slowness import SLOW_CHANCE
from claybench.record.lab import Lab
from tests.sample import END


def test_a_slabs_life_shows_wetness_above_and_slowness_below_with_its_events_in_both(sample_lab: Lab) -> None:
    page = slab_page(sample_lab, "P2", as_of=END)
    chart = slab_life_chart(page)
    assert chart.below is not None
    assert [word for _, word in chart.marks] == [word for _, word in chart.below.marks] != []
    ratio, total = chart.below.series
    assert ratio.y == tuple(each.ratio for each in page.slowness_scores)
    assert total.y == tuple(each.slow_chance for each in page.slowness_scores)
    assert total.y[-1] > SLOW_CHANCE and "slower than chance explains" in chart.below.notes[0]
    figure = render_chart(chart)
    above, below = figure.axes
    assert (above.get_ylabel(), below.get_ylabel()) == ("wetness, % of what it can hold", "time over forecast")
    assert above.get_xlim() == below.get_xlim()
    assert any(list(line.get_ydata()) == list(ratio.y) for line in below.get_lines()) and not above.get_xlabel()
    assert "time over forecast" in chart.plain()


def test_a_slab_without_touched_layers_has_no_slowness_to_draw(sample_lab: Lab) -> None:
    page = slab_page(sample_lab, "P7", as_of=END)
    assert slab_life_chart(page).below is None
    with pytest.raises(BadInput, match="Touch layers"):
        slowness_chart(page)


def test_forecasts_stand_with_their_intervals_over_what_came(sample_lab: Lab) -> None:
    found = backtest(sample_lab, slab="p2", as_of=END)
    chart = backtest_chart(found)
    diagonal, within, outside = chart.series
    assert diagonal.x == diagonal.y
    assert len(within.x) == found.covered and len(within.x) + len(outside.x) == len(found.runs)
    for x, low, high in zip(within.x, within.low, within.high, strict=True):
        assert low is not None and high is not None and low <= x <= high
    assert f"{found.covered} of {len(found.runs)} runs" in chart.notes[0]
    assert {each.slab for each in found.runs} == {"P2"}
    render_chart(chart).draw_without_rendering()


def test_nothing_to_look_back_on_says_what_would_be(sample_lab: Lab) -> None:
    with pytest.raises(BadInput, match="No run of slab P7"):
        backtest_chart(backtest(sample_lab, slab="P7", as_of=END))
    with pytest.raises(NotFound, match="no body 'ZZ'"):
        backtest(sample_lab, body="ZZ")
