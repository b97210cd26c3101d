"""Drawing a triangle of three materials with letters: bands by shading, bodies by number or sign, no colour."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence

from claybench.figure.triangle import Triangle, TrianglePoint
from claybench.quantity.shown import plain

SHADES = "·░▒▓█"
"""Bands from the lowest up."""
_WIDE = 4 / math.sqrt(3)
"""Letters across for a line down, so that the sides are alike: a letter is twice as high as it is wide."""
_LEAST_LINES, _LEAST_LEGEND = 7, 26
_SIGNS = {("measured", False): "●", ("measured", True): "○", ("made", False): "◆", ("made", True): "◇"}
_WORDS = {
    ("measured", False): "measured",
    ("measured", True): "measured, other parts differ",
    ("made", False): "in the record, not measured",
    ("made", True): "the same, other parts differ",
}


def triangle_text(chart: Triangle, width: int, height: int) -> list[str]:
    """The triangle with its legend beside or below, in as many letters and lines as there are."""
    lines = max(min(height - 2, int((width - 4) / _WIDE)), _LEAST_LINES)
    beside = width - round(lines * _WIDE) - 6 >= _LEAST_LEGEND
    if not beside:
        # The legend goes below: the drawing leaves it some lines.
        lines = max(min(lines, height - 10), _LEAST_LINES)
    drawn = _drawn_lines(chart, lines)
    across = max(map(len, drawn))
    if not beside:
        return [*drawn, "", *legend_lines(chart, width)]
    words = legend_lines(chart, width - across - 3)
    rows = max(len(drawn), len(words))
    left = [*drawn, *[""] * (rows - len(drawn))]
    right = [*words, *[""] * (rows - len(words))]
    return [f"{one:<{across}}   {other}".rstrip() for one, other in zip(left, right, strict=True)]


def _drawn_lines(chart: Triangle, lines: int) -> list[str]:
    """The corners' names, the sides, what is allowed, the bodies."""
    across = round(lines * _WIDE)
    cells = [[" "] * across for _ in range(lines)]
    for row in range(lines):
        for column in range(across):
            shares = _shares_at(row, column, lines, across)
            if min(shares) >= 0 and chart.cut.is_allowed(chart.cut.parts(shares)):
                value = chart.value(shares)
                cells[row][column] = SHADES[0] if value is None else SHADES[chart.band(value)]
    for point in sorted(chart.points, key=lambda each: (each.kind == "proposed", not each.beside, each.label)):
        _draw_point(cells, chart, point, lines, across)
    _draw_sides(cells, lines, across)
    names = [f"{name} {plain(round(chart.cut.corner(place)[place], 1))}" for place, name in enumerate(chart.names)]
    gap = max(across + 2 - len(names[1]) - len(names[2]), 2)
    return [
        f"{' ' * max((across + 2 - len(names[0])) // 2, 0)}{names[0]}",
        *("".join(row).rstrip() for row in cells),
        f"{names[1]}{' ' * gap}{names[2]}",
    ]


def _shares_at(row: int, column: int, lines: int, across: int) -> tuple[float, float, float]:
    """Where the middle of a letter lies."""
    top = 1 - (row + 0.5) / lines
    right = (column + 0.5) / across - top / 2
    return top, 1 - top - right, right


def _draw_sides(cells: list[list[str]], lines: int, across: int) -> None:
    """The two slanting sides, in a margin of one letter on either side."""
    for row, line in enumerate(cells):
        top = 1 - (row + 0.5) / lines
        line.insert(0, " ")
        line.append(" ")
        line[round(top / 2 * across)] = "/"
        line[across + 1 - round(top / 2 * across)] = "\\"


def _draw_point(cells: list[list[str]], chart: Triangle, point: TrianglePoint, lines: int, across: int) -> None:
    shares = chart.cut.shares(point.parts)
    row = min(max(int((1 - shares[0]) * lines), 0), lines - 1)
    column = min(max(int((shares[2] + shares[0] / 2) * across), 0), across - 1)
    sign = body_sign(point)
    for at in (column - 1, column + len(sign)):
        if 0 <= at < across and cells[row][at] in SHADES:
            cells[row][at] = " "
    for at, letter in enumerate(sign):
        if column + at < across:
            cells[row][column + at] = letter


def body_sign(point: TrianglePoint) -> str:
    """What stands for a body: its number where it is proposed, small where it lies beside the plane.

    >>> [body_sign(TrianglePoint(code, "proposed", (1, 2, 3), beside)) for code, beside in (("3", False), ("12", True))]
    ['3', '₁₂']
    """
    if point.kind == "proposed":
        return point.label.translate(_SMALL) if point.beside else point.label
    return _SIGNS[point.kind, point.beside]


_SMALL = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")


def legend_lines(chart: Triangle, width: int) -> list[str]:
    """What the shades and signs mean, and what is held, as text."""
    lines: list[str] = []
    if chart.of is not None:
        lines.append(chart.label)
        lines += [f"  {SHADES[band] * 3} {chart.band_text(band)}" for band in range(len(chart.edges) + 1)]
    else:
        lines.append(f"  {SHADES[0] * 3} allowed; nothing measured yet")
    own = sorted((point for point in chart.points if point.kind == "proposed"), key=lambda point: int(point.label))
    lines += _listed_lines("proposed: ", [body_sign(point) for point in own], width)
    if any(point.beside for point in own):
        lines += textwrap.wrap("small numbers: other parts differ from those held", max(width, 16))
    for (kind, beside), sign in _SIGNS.items():
        labels = [point.label for point in chart.points if (point.kind, point.beside) == (kind, beside)]
        if labels:
            lines += _listed_lines(f"{sign} {_WORDS[kind, beside]}: ", labels, width)
    if chart.outside:
        lines.append(f"outside the drawing: {chart.outside}")
    if chart.held:
        lines += _listed_lines("held: ", [f"{name} {plain(round(part, 1))}" for name, part in chart.held], width)
    least = [f"{name} {plain(round(part, 1))}" for name, part in zip(chart.names, chart.cut.origin, strict=True)]
    lines += textwrap.wrap(f"at a corner the other two are at their least: {', '.join(least)}", max(width, 16))
    return lines


def _listed_lines(head: str, words: Sequence[str], width: int) -> list[str]:
    return textwrap.wrap(head + ", ".join(words), max(width, 16), subsequent_indent="  ") if words else []
