"""Drawing a triangle of three materials with matplotlib: grey bands, numbered lines, points that differ in shape."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from claybench.figure.triangle import CHANCE, Triangle, TrianglePoint, round_step
from claybench.quantity.shown import percent, plain

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_HIGH = math.sqrt(3) / 2
_LOOKS: dict[tuple[str, bool], dict[str, Any]] = {
    ("proposed", False): {"marker": "s", "ms": 13, "mfc": "white", "mew": 1.6, "zorder": 6},
    ("proposed", True): {"marker": "s", "ms": 11, "mfc": "white", "mew": 0.8, "zorder": 5},
    ("measured", False): {"marker": "o", "ms": 6, "mfc": "black", "mew": 1.0, "zorder": 4},
    ("measured", True): {"marker": "o", "ms": 5, "mfc": "white", "mew": 1.0, "zorder": 4},
    ("made", False): {"marker": "D", "ms": 5, "mfc": "0.6", "mew": 1.0, "zorder": 4},
    ("made", True): {"marker": "D", "ms": 4.5, "mfc": "white", "mew": 1.0, "zorder": 4},
}
_WORDS = {
    ("proposed", False): "proposed",
    ("proposed", True): "proposed, other parts differ from those held",
    ("measured", False): "measured",
    ("measured", True): "measured, other parts differ",
    ("made", False): "in the record, not measured",
    ("made", True): "in the record, not measured, other parts differ",
}


def page_place(shares: Sequence[float]) -> tuple[float, float]:
    """A place of the triangle on the page: first material at the top, second left, third right."""
    return shares[2] + shares[0] / 2, shares[0] * _HIGH


def render_triangle(chart: Triangle) -> Figure:
    """The triangle as a matplotlib figure."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(6.6, 6.4), dpi=150, layout="constrained")
    axes = figure.add_subplot()
    axes.set_aspect("equal")
    axes.set_axis_off()
    axes.set_xlim(-0.14, 1.14)
    axes.set_ylim(-0.15, _HIGH + 0.14)
    _draw_contours(axes, chart)
    outline = [page_place(chart.cut.shares(corner)) for corner in chart.cut.outline]
    if outline:
        axes.plot(*zip(*outline, outline[0], strict=True), color="black", lw=1.8, zorder=3, solid_joinstyle="round")
    axes.plot(*zip(*(page_place(_unit(place)) for place in (0, 1, 2, 0)), strict=True), color="0.45", lw=0.9, zorder=2)
    _draw_scale(axes, chart)
    _draw_corners(axes, chart)
    for point in chart.points:
        _draw_point(axes, chart, point)
    _draw_legend(axes, chart)
    figure.suptitle(_plain(chart.title), x=0.02, ha="left", fontsize=11, fontweight="bold")
    figure.supxlabel("\n".join(_note_lines(chart)), fontsize=7.5, color="0.25", x=0.01, ha="left")
    return figure


def _unit(place: int) -> tuple[float, float, float]:
    first, second, third = (float(own == place) for own in range(3))
    return first, second, third


def _draw_contours(axes: Axes, chart: Triangle) -> None:
    """Bands of grey within what is allowed, with lines that carry their numbers."""
    from matplotlib.patches import Polygon
    from matplotlib.tri import Triangulation

    outline = [page_place(chart.cut.shares(corner)) for corner in chart.cut.outline]
    if not chart.values or len(outline) < 3:
        if len(outline) >= 3:
            axes.add_patch(Polygon(outline, closed=True, facecolor="0.92", lw=0))
        return
    steps = len(chart.values) - 1
    places = [
        (row / steps, (steps - row - column) / steps, column / steps)
        for row, line in enumerate(chart.values)
        for column in range(len(line))
    ]
    flat = [value for line in chart.values for value in line]
    xs, ys = zip(*map(page_place, places), strict=True)
    net = Triangulation(xs, ys)
    clip = Polygon(outline, closed=True, transform=axes.transData)
    greys = [f"{0.96 - 0.12 * band:.2f}" for band in range(len(chart.edges) + 1)]
    low, high = min(*flat, *chart.edges, 0.0) - 1, max(*flat, *chart.edges, 0.0) + 1
    filled = axes.tricontourf(net, flat, levels=[low, *chart.edges, high], colors=greys, zorder=0)
    filled.set_clip_path(clip)
    if not chart.edges:
        return
    widths = [1.6 if chart.wanted is not None and edge in chart.wanted else 0.8 for edge in chart.edges]
    lines = axes.tricontour(net, flat, levels=list(chart.edges), colors="0.15", linewidths=widths, zorder=1)
    lines.set_clip_path(clip)
    shown = {edge: percent(edge) if chart.of == CHANCE else plain(edge) for edge in chart.edges}
    for text in axes.clabel(lines, fmt=shown, fontsize=7.5, inline=True):
        text.set_clip_path(clip)
        if not chart.cut.is_allowed(chart.cut.parts(_shares_at(*text.get_position()))):
            text.set_visible(False)


def _shares_at(x: float, y: float) -> tuple[float, float, float]:
    top = y / _HIGH
    right = x - top / 2
    return top, 1 - top - right, right


def _draw_scale(axes: Axes, chart: Triangle) -> None:
    """Parts along each side, so that recipes can be read off: round numbers, each beside its own material's side."""
    step = round_step(chart.cut.size / 6)
    for side in range(3):
        least = chart.cut.origin[side]
        first = math.ceil(least / step + 1e-9)
        for turn in range(first, math.ceil((least + chart.cut.size) / step - 1e-9)):
            share = (turn * step - least) / chart.cut.size
            if share < 0.04 or share > 0.96:
                continue
            shares = [0.0, 0.0, 0.0]
            shares[side], shares[(side + 1) % 3] = share, 1 - share
            x, y = page_place(shares)
            away = [page_place(_unit(side))[n] - page_place(_unit((side + 2) % 3))[n] for n in range(2)]
            axes.plot((x, x + 0.014 * away[0]), (y, y + 0.014 * away[1]), color="0.45", lw=0.8)
            axes.annotate(
                plain(round(turn * step, 3)), (x + 0.04 * away[0], y + 0.04 * away[1]), fontsize=6.5, color="0.35",
                ha="center", va="center",
            )  # fmt: skip


def _draw_corners(axes: Axes, chart: Triangle) -> None:
    """At each corner its material and the recipe there."""
    for place, own in enumerate(chart.names):
        x, y = page_place(_unit(place))
        top = place == 0
        parts = chart.cut.corner(place)
        named = [f"{plain(round(part, 1))} {_plain(name)}" for name, part in zip(chart.names, parts, strict=True)]
        words = f"{_plain(own)} {plain(round(parts[place], 1))}"
        others = ", ".join(text for at_, text in enumerate(named) if at_ != place)
        where: dict[str, Any] = {"ha": "center", "va": "bottom" if top else "top"}
        axes.annotate(words, (x, y + (0.06 if top else -0.05)), fontsize=9, fontweight="bold", **where)
        axes.annotate(others, (x, y + (0.025 if top else -0.095)), fontsize=6.5, color="0.3", **where)


def _draw_point(axes: Axes, chart: Triangle, point: TrianglePoint) -> None:
    x, y = page_place(chart.cut.shares(point.parts))
    axes.plot([x], [y], color="black", **{"ls": "", **_LOOKS[point.kind, point.beside]})
    if point.kind == "proposed":
        size = 8 if not point.beside else 6.5
        axes.annotate(
            point.label, (x, y), ha="center", va="center_baseline", fontsize=size, zorder=7,
            fontweight="normal" if point.beside else "bold",
        )  # fmt: skip
    else:
        axes.annotate(
            _plain(point.label), (x, y), xytext=(5, 3), textcoords="offset points", fontsize=6.5, zorder=4, color="0.1"
        )


def _draw_legend(axes: Axes, chart: Triangle) -> None:
    """What each shape and each grey means."""
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    handles: list[Any] = []
    if chart.values and chart.edges:
        handles += [
            Patch(facecolor=f"{0.96 - 0.12 * band:.2f}", edgecolor="0.4", label=chart.band_text(band))
            for band in range(len(chart.edges) + 1)
        ]
    there = {(point.kind, point.beside) for point in chart.points}
    for kind, own in _LOOKS.items():
        if kind in there:
            look = {name: value for name, value in own.items() if name != "zorder"} | {"ms": 6, "ls": ""}
            handles.append(Line2D([], [], color="black", label=_WORDS[kind], **look))
    handles.append(Line2D([], [], color="black", lw=1.8, label="bounds of the plan"))
    axes.legend(
        handles=handles, title=chart.label or None, title_fontsize=7.5, fontsize=7, frameon=False, loc="upper left",
        bbox_to_anchor=(-0.02, 1.0), alignment="left",
    )  # fmt: skip


def _note_lines(chart: Triangle) -> list[str]:
    said = [f"{_plain(name)} {plain(round(part, 1))}" for name, part in chart.held]
    notes = (
        [f"Held: {', '.join(said)}; parts of 100. The three share {plain(round(chart.cut.total, 1))}."] if said else []
    )
    notes.append("At each corner the other two are at the least that is shown.")
    if chart.outside:
        notes.append(f"{chart.outside} {'body lies' if chart.outside == 1 else 'bodies lie'} outside what is shown.")
    return textwrap.wrap(" ".join([*notes, *chart.notes]), 100)


def _plain(text: str) -> str:
    return text.replace("$", r"\$")
