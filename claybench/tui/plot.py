"""The plain `Chart` inside the terminal, and saving it as a picture."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static
from textual.worker import Worker

from claybench.tui.forms import ActField, Form
from claybench.tui.forms.form import Values
from claybench.tui.notebook import Notebook, notebook_of

if TYPE_CHECKING:
    from textual_plot import PlotWidget

    from claybench.figure.chart import Chart, Series
    from claybench.figure.triangle import Triangle


_SIGNS, _DASHED = "o+^#vs", "x*<%dz"
"""Letters that stand for the points of one series after another; those of dashed ones."""
_TWO_PLOTS = 22
"""Lines from which a chart and the one below it both have room."""


class ChartView(Vertical):
    """Draws a chart with lines of dots; in words where there is no room."""

    def compose(self) -> ComposeResult:
        """A title; the plot is made when there is something to plot."""
        yield Static("", classes="dim", markup=False)

    def say(self, text: str) -> None:
        """Words in place of a chart."""
        self.query_one(Static).update(text)
        from textual_plot import PlotWidget

        for plot in self.query(PlotWidget):
            plot.remove()

    def show(self, chart: Chart) -> None:
        """Draw a chart, once the plot is there."""
        self.run_worker(cast("Any", partial(self._draw, chart)), exclusive=True, exit_on_error=False, group="plot")

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """The app says what went wrong."""
        notebook_of(self).on_worker_state_changed(event)

    async def _draw(self, chart: Chart) -> None:
        from textual_plot import PlotWidget

        panels = [chart] if chart.below is None or self.size.height < _TWO_PLOTS else [chart, chart.below]
        self.query_one(Static).update("\n".join([*_titles(panels), *_below_titles(chart, self.size.width - 2)]))
        plots = list(self.query(PlotWidget))
        for plot in plots[len(panels) :]:
            await plot.remove()
        for number, panel in enumerate(panels):
            if number == len(plots):
                plot = PlotWidget(allow_pan_and_zoom=False)
                plot.can_focus = False
                await self.mount(plot)
                plots.append(plot)
            self._plot(plots[number], panel)

    @staticmethod
    def _plot(plot: PlotWidget, chart: Chart) -> None:
        from textual_plot import HiResMode

        plot.clear()
        plot.margin_top, plot.margin_left, plot.margin_bottom = 0, 7, 1
        for number, series in enumerate(chart.series):
            if series.faint or not series.x:
                continue
            style = ("white", "cyan", "yellow", "green", "magenta", "blue")[number // 2 % 6]
            if series.kind == "line":
                plot.plot(series.x, series.y, line_style=style, hires_mode=HiResMode.BRAILLE)
                continue
            if series.path:
                xs, ys = zip(*series.path, strict=True)
                plot.plot(xs, ys, line_style=style, hires_mode=HiResMode.BRAILLE)
            thick = series.kind == "bars"
            for index, x in enumerate(series.x):
                low, high = (series.low[index], series.high[index]) if series.low else (None, None)
                if low is not None and high is not None:
                    for at in (x - 0.02, x + 0.02) if thick else (x,):
                        plot.plot((at, at), (low, high), line_style=style, hires_mode=HiResMode.BRAILLE)
            if not thick:
                plot.scatter(series.x, series.y, marker=_sign(chart, series), marker_style=style)
        across = [x for series in chart.series for x in series.x]
        for level, _ in chart.levels:
            ends = (-0.6, len(chart.ticks) - 0.4) if chart.ticks else (min(across), max(across))
            plot.plot(ends, (level, level), line_style="bright_black", hires_mode=HiResMode.BRAILLE)
        for x, _ in chart.marks:
            plot.add_v_line(x, line_style="bright_black")
        from claybench.tui.axis import Dates, Heights, Names, Numbers, around

        plot.set_y_formatter(Heights(plot))
        plot.set_x_formatter(Names(chart.ticks) if chart.ticks else Dates() if chart.dates else Numbers())
        if chart.ticks:
            plot.set_xlimits(-0.6, len(chart.ticks) - 0.4)
        elif chart.levels and across:
            room = max(0.04 * (max(across) - min(across)), 1.0)
            plot.set_xlimits(min(across) - room, max(across) + room)
        else:
            plot.set_xlimits(*(around(across) or (None, None)))
        low, high = around(_heights(chart)) or (None, None)
        plot.set_ylimits(0 if chart.y_from_zero else low, high)


def _heights(chart: Chart) -> list[float]:
    """Every height that is drawn."""
    found = [level for level, _ in chart.levels]
    for series in chart.series:
        if not series.faint:
            ends = [each for each in (*series.low, *series.high) if each is not None]
            found += [*series.y, *ends, *(y for _, y in series.path)]
    return found


def _titles(panels: list[Chart]) -> list[str]:
    """What is drawn, and what each sign means."""
    return ["   below: ".join(each.y_label + _legend(each) for each in panels)]


def _below_titles(chart: Chart, room: int) -> list[str]:
    """What goes across, and the words of the upright lines: the newest, if there is no room for all."""
    from claybench.tui.axis import day

    across = "" if chart.dates or chart.ticks else f"across: {chart.x_label}   "
    room = max(room - len(across), 30)
    words = [f"{day(x)} {word}" if chart.dates else word for x, word in sorted(chart.marks)]
    said, left = "", list(words)
    while left and len(left[-1]) + len(said) + 8 <= room:
        said = f"{left.pop()}, {said}" if said else left.pop()
    line = f"{across}│ {'… ' if left else ''}{said}" if said else across.rstrip()
    return [line] if line else []


def _sign(chart: Chart, series: Series) -> str:
    """The letter that stands for a series' points: another for each, so that colour need not tell them apart."""
    alike = dict.fromkeys(each.alike for each in chart.series if each.kind != "line" and not each.faint)
    signs = _DASHED if series.dashed else _SIGNS
    return signs[list(alike).index(series.alike) % len(signs)]


def _legend(chart: Chart) -> str:
    """What each sign means: of courses their property, the bodies in the order of the signs."""
    drawn = [series for series in chart.series if not series.faint]
    courses = [series for series in drawn if series.kind == "course"]
    if courses:
        signs: dict[str, list[str]] = {}
        for series in courses:
            signs.setdefault(series.label.removeprefix(series.group).strip(), []).append(_sign(chart, series))
        whose = ", ".join(dict.fromkeys(series.group for series in courses))
        said = ", ".join(" ".join([what, *each]) for what, each in signs.items())
        return f"   ({said}: {whose})"
    words = [each.label if each.kind == "line" else f"{_sign(chart, each)} {each.label}" for each in drawn]
    return f"   ({', '.join(dict.fromkeys(words))})" if len(set(words)) > 1 else ""


_FIGURES = "how figures are saved"


async def save_figure(notebook: Notebook, build: Callable[[], Chart | Triangle], name: str, tab: str = "bench") -> None:
    """Ask for the kind of picture, save the chart beside the lab's other papers, and say where."""
    from claybench.errors import BadInput
    from claybench.exchange.spreadsheet import free_name
    from claybench.figure.render import save
    from claybench.paper.page import file_name

    try:
        chart = build()
    except BadInput as error:
        notebook.complain(error)
        return

    async def write(values: Values) -> str:
        path = free_name(papers() / file_name(name, values["kind"]))
        await asyncio.to_thread(save, chart, path)
        notebook.drafts.keep(_FIGURES, {"kind": values["kind"]})
        notebook.notify(f"Saved {path}", timeout=8, markup=False)
        return str(path)

    kind = notebook.drafts.load(_FIGURES).get("kind", "png")
    ask = ActField("kind", "picture", "word", words=("png", "svg", "pdf"), required=True, text=kind,
              note="png for a screen, svg to edit, pdf to print")  # fmt: skip
    await notebook.push_screen(Form(f"Save the figure: {chart.title}", [ask], write, draft=f"figure {name}", tab=tab))


def papers() -> Path:
    """The folder for figures and sheets: `claybench` in the person's documents."""
    from platformdirs import user_documents_path

    folder = user_documents_path() / "claybench"
    folder.mkdir(parents=True, exist_ok=True)
    return folder
