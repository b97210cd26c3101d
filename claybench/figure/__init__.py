"""Charts: a plain `Chart` that anything can draw, and its rendering with matplotlib."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.figure import (
        body_charts as body_charts,
        render as render,
        slab_charts as slab_charts,
        text_triangle as text_triangle,
        triangle as triangle,
    )
else:
    __getattr__ = modules_of(__name__)
