"""Charts: a plain `Chart` that anything can draw, and its rendering with matplotlib."""

from claybench.figure.bodies import difference_chart, vitrification_chart
from claybench.figure.chart import Band, Chart, Series
from claybench.figure.charts import compare_chart, slab_chart
from claybench.figure.render import render, save

__all__ = [
    "Band",
    "Chart",
    "Series",
    "compare_chart",
    "difference_chart",
    "render",
    "save",
    "slab_chart",
    "vitrification_chart",
]
