"""Drawing a chart with matplotlib: one style, readable in grey print and by colour-blind eyes, type for any letter."""

from __future__ import annotations

import textwrap
import warnings
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from claybench.errors import BadInput, CannotOpen
from claybench.figure.chart import Chart, Series
from claybench.figure.render_triangle import render_triangle
from claybench.quantity.shown import plain, tick_labels

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.ticker import Formatter

    from claybench.figure.triangle import Triangle


T = TypeVar("T")
OWN = "DejaVu Sans"
"""Comes with the plotting library: Latin, Greek, Cyrillic and the signs of units."""
_NOT_FOR_TEXT = ("STIXNonUnicode", "STIXSize", "cm", "DejaVu Sans Display", "Last Resort")
"""Types whose letters stand at places of their own, or that have a box for every letter."""
UNSHOWN = "?"
NOTE = f"Letters that no type on this machine has stand as {UNSHOWN}; an SVG keeps them."


def font_families(shown: Any) -> tuple[list[str], frozenset[str]]:
    """Names of the types a figure needs, the own one first, and the letters that none of them has."""
    lacking = {letter for text in _texts(shown) for letter in text if ord(letter) > 0x7F} - _letters(OWN)
    names = [OWN]
    if lacking:
        from matplotlib.font_manager import fontManager

        for name in dict.fromkeys(entry.name for entry in fontManager.ttflist):
            if lacking and not name.startswith(_NOT_FOR_TEXT):
                covered = lacking & _letters(name)
                lacking -= covered
                names += [name] if covered else []
    return names, frozenset(lacking)


def drop_letters(shown: T, letters: frozenset[str]) -> T:
    """A figure with a sign in the place of each of these letters."""
    table = str.maketrans(dict.fromkeys(letters, UNSHOWN))
    cleaned: T = _mapped(shown, lambda text: text.translate(table))
    return cleaned


def _letters(family: str) -> set[str]:
    """Every letter of a type; none where it cannot be read."""
    from matplotlib.font_manager import FontProperties, findfont, get_font

    try:
        path = findfont(FontProperties(family=[family]), fallback_to_default=False)
        return {chr(code) for code in get_font(path).get_charmap()}
    except (ValueError, OSError, RuntimeError):
        return set()


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple | list):
        for each in value:
            yield from _texts(each)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _texts(getattr(value, field.name))


def _mapped(value: Any, change: Callable[[str], str]) -> Any:
    if isinstance(value, str):
        return change(value)
    if isinstance(value, tuple):
        return tuple(_mapped(each, change) for each in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{field.name: _mapped(getattr(value, field.name), change) for field in fields(value)})
    return value


_INKS = ("#1b1b1b", "#0072b2", "#b25d00", "#5b7a2e", "#8a3d7a", "#555555")
"""Dark enough on white that each stays apart from the next in grey; markers differ as well."""
_MARKERS = ("o", "s", "^", "D", "v", "P")
"""Open at first; a series beyond the last of them has the same again, filled, so that grey print tells them apart."""
_MORE_MARKERS = ("<", ">", "p", "h", "*", "X")
_STROKES = ("-", "--", "-.", ":")
"""Strokes of lines, so that they stay apart in grey as well."""
_CROWD = 40
"""Points above which they are drawn finer."""
_FEW = 4
"""Series whose legend finds room among the points."""
_UNDATED: dict[str, dict[str, Any]] = {
    "png": {"Software": "claybench"},
    "svg": {"Date": None},
    "pdf": {"CreationDate": None},
}


def render_chart(chart: Chart) -> Figure:
    """The chart as a matplotlib figure."""
    from matplotlib.figure import Figure

    panels = [chart] if chart.below is None else [chart, chart.below]
    width = max(6.4, 0.75 * len(chart.ticks) + 2.2)
    figure = Figure(figsize=(width, 4.2 + 2.4 * (len(panels) - 1)), dpi=150, layout="constrained")
    grid = figure.subplots(
        len(panels), sharex=True, squeeze=False, gridspec_kw={"height_ratios": [3, 2][: len(panels)]}
    )
    for axes, panel in zip(grid[:, 0], panels, strict=True):
        _draw_panel(axes, panel, worded=panel is chart)
    for axes in grid[:-1, 0]:
        axes.set_xlabel("")
    notes = [note for panel in panels for note in panel.notes]
    if notes:
        room = round(18 * figure.get_figwidth())
        lines = [line for note in notes for line in textwrap.wrap(note, room)]
        figure.supxlabel(_plain("\n".join(lines)), fontsize=7, color="0.35", x=0.01, ha="left")
    return figure


def _draw_panel(axes: Axes, chart: Chart, *, worded: bool) -> None:
    """One chart in its axes; `worded` says whether its upright lines bear their words."""
    _draw_frame(axes, chart)
    for index, band in enumerate(chart.bands):
        axes.axhspan(band.low, band.high, color="0.5", alpha=0.10 + 0.10 * index, lw=0)
        axes.annotate(
            band.label, (1, band.low), xycoords=("axes fraction", "data"), xytext=(-4, 3),
            textcoords="offset points", ha="right", fontsize=8, color="0.3",
        )  # fmt: skip
    inks: dict[str, int] = {}
    for series in chart.series:
        _draw_series(axes, series, inks.setdefault(series.alike, len(inks)))
    shown = sum(not series.faint and series.kind != "bars" for series in chart.series)
    # beside the axes where they count things, since these fill the whole width with points
    beside = shown > 1 and (bool(chart.ticks) or shown > _FEW)
    for level, word in chart.levels:
        axes.axhline(level, color="0.35", lw=0.9, ls="--")
        inside: dict[str, Any] = {"xytext": (-3, 2), "ha": "right", "va": "bottom"}  # the legend stands beside
        axes.annotate(
            _plain(word), (1, level), xycoords=("axes fraction", "data"), textcoords="offset points",
            fontsize=7.5, color="0.25", **(inside if beside else {"xytext": (4, 0), "va": "center"}),
        )  # fmt: skip
    for x, _ in chart.marks:
        axes.axvline(x, color="0.35", lw=0.8, ls=":")
    for x, word in _apart(chart) if worded else ():
        axes.annotate(
            _plain(word), (x, 1), xycoords=("data", "axes fraction"), xytext=(3, -4),
            textcoords="offset points", va="top", rotation=90, fontsize=7, color="0.25",
        )  # fmt: skip
    if chart.y_from_zero:
        axes.set_ylim(bottom=0)
    if shown > 1:
        place: dict[str, Any] = {"loc": "upper left", "bbox_to_anchor": (1.0, 1.0)} if beside else {"loc": "best"}
        axes.legend(frameon=False, fontsize=8, **place)


def save_chart(chart: Chart | Triangle, path: str | Path) -> Path:
    """Write the chart, or the triangle of a plan, as PNG, SVG or PDF, by the ending of the name."""
    target = Path(path)
    kind = target.suffix.lower().lstrip(".")
    if kind not in _UNDATED:
        raise BadInput(f"'{target.name}' does not end in .png, .svg or .pdf.", "Choose one of these endings.")
    try:
        _write_figure(chart, target, kind)
    except OSError as error:
        raise CannotOpen(f"{target} cannot be written: {error.strerror}.", "Choose another place.") from error
    return target


def png_bytes(chart: Chart, width_mm: float, high_mm: float) -> BytesIO:
    """The chart as a PNG of this size, to be put on a page."""
    drawn = BytesIO()
    _write_figure(chart, drawn, "png", size_in=(width_mm / 25.4, high_mm / 25.4), dpi=200)
    drawn.seek(0)
    return drawn


def _write_figure(chart: Chart | Triangle, target: Path | BytesIO, kind: str, **how: Any) -> None:
    """Draw with type for every letter; text stays text, and nothing of the day or the machine gets into the file."""
    import matplotlib as mpl

    types, unshown = font_families(chart)
    if unshown and kind != "svg":
        chart = drop_letters(chart, unshown)
        chart = replace(chart, notes=(*chart.notes, NOTE))
    settings: dict[Any, Any] = {
        "svg.hashsalt": "claybench",
        "svg.fonttype": "none",
        "pdf.fonttype": 42,
        "font.family": types,
    }
    with mpl.rc_context(settings), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing")  # the viewer of an SVG has its own types
        figure = _drawn_figure(chart)
        if "size_in" in how:
            figure.set_size_inches(*how["size_in"])
        figure.savefig(target, format=kind, dpi=how.get("dpi", "figure"), metadata=_UNDATED[kind])


def _drawn_figure(chart: Chart | Triangle) -> Figure:
    if isinstance(chart, Chart):
        return render_chart(chart)
    return render_triangle(chart)


def _draw_frame(axes: Axes, chart: Chart) -> None:
    axes.set_title(_plain(chart.title), loc="left", fontsize=11, fontweight="bold")
    axes.set_xlabel(_plain(chart.x_label), fontsize=9)
    axes.set_ylabel(_plain(chart.y_label), fontsize=9)
    axes.tick_params(labelsize=8)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.grid(axis="y", color="0.88", lw=0.6)
    axes.set_axisbelow(True)
    axes.yaxis.set_major_formatter(_tick_format())
    if not chart.dates:
        axes.xaxis.set_major_formatter(_tick_format())
    if chart.ticks:
        axes.set_xticks([at for at, _ in chart.ticks], [_plain(name) for _, name in chart.ticks])
        longest = max(len(name) for _, name in chart.ticks)
        if longest * len(chart.ticks) > 70:
            axes.tick_params(axis="x", labelrotation=40)
        axes.set_xlim(-0.6, len(chart.ticks) - 0.4)
    if chart.dates:
        from matplotlib import dates

        locator: Any = dates.AutoDateLocator()  # type: ignore[no-untyped-call]
        axes.xaxis.set_major_locator(locator)
        axes.xaxis.set_major_formatter(dates.ConciseDateFormatter(locator))  # type: ignore[no-untyped-call]


def _tick_format() -> Formatter:
    """Numbers along an axis as they are written everywhere, without an exponent or an offset."""
    from matplotlib.ticker import Formatter

    class Ticks(Formatter):
        def __call__(self, x: float, pos: int | None = None) -> str:
            return plain(x)

        def format_ticks(self, values: list[float]) -> list[str]:
            return tick_labels([float(value) for value in values])

    return Ticks()


def _draw_series(axes: Axes, series: Series, ink: int) -> None:
    colour, (marker, filled) = _INKS[ink % len(_INKS)], _mark_style(ink)
    if series.faint:
        axes.plot(series.x, series.y, ls="", marker=marker, ms=3, color=colour, alpha=0.3)
        return
    if series.kind == "line":
        stroke = _STROKES[ink % len(_STROKES)]
        axes.plot(series.x, series.y, color=colour, lw=1.0, ls=stroke, label=_plain(series.label))
        return
    if series.kind == "bars":
        for x, low_end, high_end in zip(series.x, series.low, series.high, strict=True):
            if low_end is not None and high_end is not None:
                axes.vlines(x, low_end, high_end, color=colour, lw=4.5, alpha=0.45)
        return
    solid = not series.dashed if series.kind == "course" else filled
    face = colour if solid else "white"
    if series.path:
        xs, ys = zip(*series.path, strict=True)
        axes.plot(xs, ys, ls="--" if series.dashed else "-", lw=1.0, color=colour)
    low = [_gap(y, end) for y, end in zip(series.y, series.low or series.y, strict=True)]
    high = [_gap(y, end) for y, end in zip(series.y, series.high or series.y, strict=True)]
    crowded = len(series.x) > _CROWD
    size: dict[str, Any] = (
        {"ms": 3.5, "mew": 0.9, "elinewidth": 0.5, "capsize": 0}
        if crowded
        else {"ms": 5.5, "mew": 1.3, "elinewidth": 1.1, "capsize": 3}
    )
    axes.errorbar(
        series.x, series.y, yerr=(low, high) if series.low else None, ls="", marker=marker,
        color=colour, mfc=face, label=_plain(series.label), **size,
    )  # fmt: skip


def _mark_style(ink: int) -> tuple[str, bool]:
    """The shape of a series' points and whether it is filled: 24 that differ without their colour."""
    shapes = _MARKERS if ink // len(_MARKERS) % 4 < 2 else _MORE_MARKERS
    return shapes[ink % len(shapes)], bool(ink // len(_MARKERS) % 2)


def _apart(chart: Chart) -> list[tuple[float, str]]:
    """Marks with their words; those too close for two upright words share one."""
    across = [x for series in chart.series for x in series.x]
    near = 0.02 * (max(across) - min(across)) if across else 0.0
    labels: list[tuple[float, str]] = []
    for x, word in sorted(chart.marks):
        shared = labels.pop()[1] if labels and x - labels[-1][0] < near else ""
        labels.append((x, f"{shared}, {word}" if shared else word))
    return labels


def _gap(y: float, end: float | None) -> float:
    return 0.0 if end is None else abs(end - y)


def _plain(text: str) -> str:
    """Text as typed: a dollar sign is no formula."""
    return text.replace("$", r"\$")
