"""Charts: a plain `Chart` that anything can draw, and its rendering with matplotlib."""

from claybench.figure.bodies import difference_chart, vitrification_chart
from claybench.figure.chart import Band, Chart, Series
from claybench.figure.charts import compare_chart
from claybench.figure.render import render, save
from claybench.figure.slabs import lookback_chart, slab_chart, slab_life_chart, slowness_chart
from claybench.figure.water import dry_out_chart

__all__ = [
    "Band",
    "Chart",
    "Series",
    "compare_chart",
    "difference_chart",
    "dry_out_chart",
    "lookback_chart",
    "render",
    "save",
    "slab_chart",
    "slab_life_chart",
    "slowness_chart",
    "vitrification_chart",
]
