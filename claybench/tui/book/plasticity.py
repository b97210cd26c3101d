"""Plasticity of one batch: its points entered one after another, and what follows shown beside them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask, work
from claybench.acts.points import POINTS
from claybench.insight.bodies.plasticity import method_words, plasticity_reasons
from claybench.terms import TABLE_OF, Measurement
from claybench.tui.book.plasticity_point_form import ask_point_correction, ask_points
from claybench.tui.keys import PLASTICITY, bindings
from claybench.tui.place import AnswerPlace
from claybench.tui.say import Reading
from claybench.tui.sheet import Col, Row, Sheet
from claybench.tui.words import NOTHING, moment, number

if TYPE_CHECKING:
    from claybench.ask.plasticity import PlasticityPage
    from claybench.insight.bodies.plasticity import Plasticity

_EMPTY = """No point yet.

c  cup: blows at which the groove closes, and a sample's wet and dry mass
f  fall cone: how deep it sinks in, and a sample's wet and dry mass
t  thread: a sample of threads that crumble at 3.2 mm, wet and dry
b  bend: a coil bent round a finger, 1 (splits) to 5 (no crack)

A dry mass can be filled in tomorrow: put the line on the point and press Enter."""


class PlasticityPlace(AnswerPlace["PlasticityPage"]):
    """Points of one batch."""

    place = "plasticity"
    tab = "book"
    BINDINGS = bindings(PLASTICITY)

    def __init__(self, batch: str) -> None:
        super().__init__()
        self.batch_code = batch
        self._page: PlasticityPage | None = None

    def compose_content(self) -> Iterable[Widget]:
        """Results, then the points."""
        yield Static(f"Plasticity of {self.batch_code}", id="heading", classes="heading", markup=False)
        yield Static("", id="results", classes="text", markup=False)
        yield Sheet(
            [Col("point", 6), Col("read", 9, right=True), Col("wet g", 7, right=True), Col("dry g", 7, right=True),
             Col("water %", 7, right=True), Col("when", 12), Col("", 12, grows=True)],
            id="list", empty=_EMPTY,
        )  # fmt: skip

    def on_mount(self) -> None:
        """Keys go to the list."""
        self.query_one(Sheet).focus()

    async def fetch_answer(self) -> PlasticityPage:
        """Points and limits."""
        return await self.notebook.consult(ask.plasticity.batch_plasticity, self.batch_code)

    def show_answer(self, answer: PlasticityPage) -> None:
        """Limits with their methods, and every point."""
        self._page = answer
        self.query_one("#results", Static).update("\n".join(limit_lines(answer.found)))
        zone = self.notebook.now().tzinfo
        rows = []
        for point in answer.found.points:
            row = point.reading
            said = point.doubt or row.note or ""
            cells = (
                POINTS[row.what].title, _reading_cell(row), number(row.wet_g), number(row.dry_g), number(point.water_pct, 1),
                moment(row.at.astimezone(zone)), ("? " if point.doubt else "") + said + (f"  {row.by}" if row.by else ""),
            )  # fmt: skip
            rows.append(Row(cells, row))
        self.query_one(Sheet).fill(rows)

    # -- keys --------------------------------------------------------------------------------------

    def action_add(self, what: str) -> None:
        """Points of one kind, one after another."""
        self.start_worker(ask_points(self.notebook, self.batch_code, what))

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Fill in or correct the point."""
        self.start_worker(ask_point_correction(self.notebook, event.record))

    def action_open(self) -> None:
        """Fill in or correct the point."""
        self.query_one(Sheet).choose()

    def action_why(self) -> None:
        """Where the figures come from."""
        if self._page is not None:
            lines = plasticity_reasons(self._page.found) or ["No limit follows from the points so far."]
            self.notebook.push_screen(Reading(f"Where the limits of {self.batch_code} come from", lines))

    def action_delete(self) -> None:
        """Delete the point; undo brings it back."""
        row = self.query_one(Sheet).record
        if row is not None:
            key = tuple(getattr(row, name) for name in TABLE_OF[Measurement].key)
            self.start_worker(self.notebook.attempt(work.any_row.delete_row, Measurement, key))


def _reading_cell(row: Measurement) -> str:
    if row.what == "liquid_cup":
        return f"{row.count} blows" if row.count else NOTHING
    if row.what == "liquid_cone":
        return number(row.value, None, "mm")
    if row.what == "coil_bend":
        return f"{number(row.value)} of 5"
    return ""


def limit_lines(plasticity: Plasticity) -> list[str]:
    """What follows from the points, in words; one line a figure, doubts last."""
    lines = []
    for limit in plasticity.limits:
        scatter = f", ±{number(limit.sd_pct, 2)} about the line" if limit.sd_pct else ""
        lines.append(f"{'liquid limit':<20}{number(limit.water_pct, 1):>6} %   {method_words(limit)}{scatter}")
    if plasticity.plastic_pct is not None:
        spread = f", ±{number(plasticity.threads_sd_pct, 2)}" if plasticity.threads_sd_pct else ""
        threads = f"{plasticity.threads} thread{'s' if plasticity.threads > 1 else ''}{spread}"
        lines.append(f"{'plastic limit':<20}{number(plasticity.plastic_pct, 1):>6} %   {threads} (ASTM D4318)")
    if plasticity.index_pct is not None:
        by = method_words(plasticity.limits[0]).split(",")[0]
        lines.append(
            f"{'plasticity index':<20}{number(plasticity.index_pct, 1):>6} %   liquid less plastic limit, by the {by}"
        )
    if plasticity.working_water is not None:
        worked = plasticity.working_water
        air = f"; {worked.air_dry} of them air dry, so a little low" if worked.air_dry else ""
        one = f"{worked.pieces} piece{'s' if worked.pieces > 1 else ''}"
        lines.append(f"{'water of plasticity':<20}{number(worked.mean_pct, 1):>6} %   as {one} held when formed{air}")
    if lines:
        lines.append("All waters are of dry mass after 110 °C. Cup and cone are not interchangeable.")
    return lines + [f"? {note}" for note in plasticity.notes]
