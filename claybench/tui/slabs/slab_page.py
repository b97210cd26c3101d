"""One slab: its water, its log, its runs, and the figure of its life."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask, figure
from claybench.errors import BadInput
from claybench.quantity.shown import plain, show
from claybench.terms import Run, SlabEvent
from claybench.tui.charts.chart_view import ChartView
from claybench.tui.display_text import evidence_text, moment_text, number_text, share_text, word_text
from claybench.tui.forms.correcting import earlier_value_text
from claybench.tui.forms.own_readings import own_value_lines
from claybench.tui.forms.saving_figures import save_figure
from claybench.tui.forms.slab_log import correct_service_dates, correct_slab
from claybench.tui.keys import SLAB, bindings
from claybench.tui.plain_table import PlainTable
from claybench.tui.printing import print_labels, print_passport
from claybench.tui.record_table import table_of_rows
from claybench.tui.row_lines import RowLine, RowLines, RowLinesPlace, ScrollingPage
from claybench.tui.slabs.slab_list import SlabKeys
from claybench.tui.touch_keys import TouchKeys

if TYPE_CHECKING:
    from claybench.ask.history import Corrections
    from claybench.ask.slabs import SlabPage
    from claybench.figure.chart import Chart
    from claybench.insight.drying.poured_layers import PouredLayer

_FIGURES = ("slab", "slowness of slab", "dry-out of slab")


class SlabPlace(SlabKeys, TouchKeys, RowLinesPlace["SlabPage"]):
    """One slab."""

    place = "slab"
    tab = "slabs"
    rests_on_record = True
    BINDINGS = bindings(SLAB)

    _view = 0
    """Which figure: its life, its slowness, or the present dry-out."""

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Slab {self.code}", id="heading", classes="heading", markup=False)
        yield ChartView(id="chart")
        with ScrollingPage(classes="box"):
            yield RowLines(id="card")

    async def fetch_answer(self) -> tuple[SlabPage, Corrections]:
        page = await self.notebook.consult(ask.slabs.slab_page, self.code)
        return page, await self.notebook.consult(ask.history.corrections, SlabEvent, slab=self.code)

    def show_answer(self, answer: tuple[SlabPage, Corrections]) -> None:
        page, corrected = answer
        verdict, size_of, slab = page.verdict, page.size, page.verdict.slab
        wet = verdict.wetness
        heading = f"Slab {slab.slab}  {slab.family or 'no family'}  {share_text(wet.now)} wet  {verdict.verdict or 'not weighed'}"
        self.query_one("#heading", Static).update(heading)
        size = plain(slab.length_mm, 0) + (f" × {plain(slab.width_mm, 0)}" if slab.width_mm else " across")
        ratio = plain(size_of.mix_ratio, 0) if size_of.ratio_known else "unknown"
        lines: list[str | RowLine] = [
            verdict.advice,
            *([] if verdict.layer.grade == "fine" else [verdict.layer.sentence]),
            *[f"  {evidence_text(one)}" for one in verdict.evidence],
            "",
            f"{size} × {show(slab.thickness_mm, 'mm', digits=0)}, mix ratio {ratio}, cast {moment_text(slab.cast_at)},"
            f" in service {moment_text(slab.in_service_on)}",
            f"dry mass {number_text(wet.dry.mass_g, 0, 'g') if wet.dry else '–'}"
            f" ({wet.dry.basis if wet.dry else 'weigh it'})",
            f"holds {number_text(wet.capacity_g, 0, 'g')} of water ({wet.capacity_doubt})",
            f"{_drying_text(page)}; it has dried {number_text(page.dried_g / 1000, 1, 'kg')} of clay",
            *own_value_lines(page.values, page.unread),
            *(["", "Drying out", *(f"  {line}" for line in page.drying_words)] if page.drying_words else []),
            "",
            "What happened",
        ]
        zone = page.at.tzinfo
        rows: list[tuple[datetime, str, SlabEvent | Run]] = [
            (event.at, self._event_text(event) + earlier_value_text(event, corrected, zone), event)
            for event in page.events
        ]
        rows += [(each.run.started_at, self._run_text(each), each.run) for each in page.runs]
        rows.sort(key=lambda row: row[0], reverse=True)
        lines += [RowLine(f"  {moment_text(at.astimezone(zone)):<13} {text}", row) for at, text, row in rows[:200]]
        self.query_one(RowLines).fill(lines)
        self._chart()

    def tables(self) -> list[PlainTable]:
        if self.page is None:
            return []
        runs = [each.run for each in self.page.runs]
        return [
            table_of_rows(f"log {self.code}", self.page.events, self.zone),
            table_of_rows("runs", runs, self.zone),
        ]

    def _chart(self) -> None:
        view = self.query_one(ChartView)
        try:
            view.show_chart(self._build())
        except BadInput as error:
            view.show_words(str(error))

    def _build(self) -> Chart:
        assert self.page is not None
        return (
            figure.slab_charts.slab_life_chart,
            figure.slab_charts.slowness_chart,
            figure.slab_charts.dry_out_chart,
        )[self._view](self.page)

    def action_view(self, by: int) -> None:
        self._view = (self._view + by) % len(_FIGURES)
        if self.page is not None:
            self._chart()

    @staticmethod
    def _event_text(event: SlabEvent) -> str:
        parts = [word_text(event.event)]
        if event.mass_g is not None:
            parts.append(number_text(event.mass_g, 0, "g"))
        if event.water_g is not None:
            parts.append(f"{number_text(event.water_g, 0, 'g')} of water")
        if event.place is not None:
            parts.append(word_text(event.place))
        if event.family is not None:
            parts.append(event.family)
        if event.ring_seconds is not None:
            parts.append(show(event.ring_seconds, "s", digits=0))
        if event.note:
            parts.append(event.note)
        return "  ".join(parts)

    @staticmethod
    def _run_text(each: PouredLayer) -> str:
        time = each.time.describe() if each.time else "not touched yet"
        body = each.body.body if each.body else "?"
        return f"{each.run.run}  {body}  {time}, begun at {share_text(each.wetness)} wet"

    def slab_here(self) -> str:
        return self.code

    def layers_here(self) -> list[str]:
        runs = self.page.runs if self.page is not None else ()
        return [each.run.run for each in runs if each.run.outcome is None]

    def action_pour_steps(self) -> None:
        self.notebook.open_screen("pour", self.code)

    def action_own_readings(self) -> None:
        self.notebook.open_screen("readings", "slab", self.code, self.tab)

    def action_trace(self) -> None:
        self.notebook.open_screen("trace", "slab", self.code, self.tab)

    def action_passport(self) -> None:
        self.start_worker(print_passport(self.notebook, self.code))

    def action_photos(self) -> None:
        self.notebook.open_screen("rows", "slab", self.code, self.tab)

    def action_labels(self) -> None:
        self.start_worker(print_labels(self.notebook, f"slab/{self.code}", self.tab))

    def action_service(self) -> None:
        if self.page is not None:
            self.start_worker(correct_service_dates(self.notebook, self.page.verdict.slab))

    def action_correct(self) -> None:
        if self.page is not None:
            self.start_worker(correct_slab(self.notebook, self.page.verdict.slab))

    def action_figure(self) -> None:
        if self.page is not None:
            name = f"{_FIGURES[self._view]} {self.code}"
            self.start_worker(save_figure(self.notebook, self._build, name, self.tab))

    def action_past(self) -> None:
        self.notebook.open_screen("past", slab=self.code, tab=self.tab)


def _drying_text(page: SlabPage) -> str:
    """How fast it dries against the formula, by the weighings that say so."""
    pairs = page.drying.intervals
    if not pairs:
        return "dries as the formula says: not weighed twice while drying yet"
    factor = f"dries {plain(page.drying.factor, 2)} times as fast as the formula says"
    return f"{factor} (from {pairs} pair{'' if pairs == 1 else 's'} of weighings)"
