"""Charts: a plain `Chart` that anything can draw, and its rendering with matplotlib."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.figure import (
        bodies as bodies,
        chart as chart,
        charts as charts,
        letters as letters,
        render as render,
        render_triangle as render_triangle,
        slabs as slabs,
        text_triangle as text_triangle,
        triangle as triangle,
        water as water,
    )
else:
    __getattr__ = modules_of(__name__)
