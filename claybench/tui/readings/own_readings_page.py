"""What was read of one slab, body, lot, firing … by the lab's own properties, what it comes to, and why."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import tzinfo
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.insight.reading_sets import label_of
from claybench.quantity.shown import show, unit_sign
from claybench.terms import Measurement
from claybench.tui.display_text import moment_text, number_text, reading_value_text
from claybench.tui.forms.correcting import earlier_value_text
from claybench.tui.forms.own_readings import ask_own_property, ask_own_reading
from claybench.tui.keys import READINGS, bindings
from claybench.tui.plain_table import PlainTable
from claybench.tui.record_table import table_of_rows
from claybench.tui.row_lines import RowLine, RowLines, RowLinesPlace, ScrollingPage
from claybench.tui.text_screen import TextScreen

if TYPE_CHECKING:
    from claybench.ask.history import Corrections
    from claybench.ask.record_values import OwnReadings
    from claybench.insight.reading_sets import ReadingSet


def readings_lines(page: OwnReadings, corrections: Corrections, zone: tzinfo | None) -> list[str | RowLine]:
    """Each property with its value, then its readings, newest first, with why they come to it."""
    if not page.declared:
        return [
            f"No property of a {page.of} is declared in this lab yet.",
            "",
            f"What you measure of a {page.of} besides what is built in is declared once, with its unit and, where it is "
            "worked out, its formula. From then on it is entered here, and shown and compared with the rest.",
            "",
            "n declares one.",
        ]
    lines: list[str | RowLine] = []
    for declared in page.declared:
        value, sets = page.values.get(declared.name), page.sets[declared.name]
        said = value.text() if value is not None else "" if sets else "not read yet: a"
        lines += [""] if lines else []
        lines.append(f"{declared.title:<24}{said}".rstrip())
        for each in reversed(sets):
            lines += [
                RowLine(reading_text(row, each, zone) + earlier_value_text(row, corrections, zone), row)
                for row in each.rows
            ]
            lines += [f"      {line}" for line in outcome_lines(each, whole=each is sets[-1])]
    return lines


def reading_text(row: Measurement, of: ReadingSet, zone: tzinfo | None) -> str:
    """One reading: when, what, and how it was taken."""
    declared = of.declared
    read = next((each for each in of.inputs if each.name == row.what), None)
    label = declared.title if read is None else label_of(read)
    unit = declared.sign if read is None else unit_sign(read.unit)
    value = row.word or reading_value_text(row, unit)
    called = declared.words.get(row.value) if row.value is not None and read is None else None
    said = f"{label} {value}" + (f", {called}" if called else "")
    taken = (
        f"firing {row.firing}" if row.firing and row.piece else "",
        f"by {row.by}" if row.by else "",
        row.instrument,
        f"step {number_text(row.step, unit=unit)}" if row.step else "",
        row.method,
        row.note,
    )
    more = ", ".join(filter(None, taken))
    return f"  {moment_text(row.at.astimezone(zone)):<14}{said}" + (f"   {more}" if more else "")


def outcome_lines(each: ReadingSet, *, whole: bool) -> list[str]:
    """What a set comes to, with its reason in whole or in short; what is still to be read, or why it counts nowhere."""
    if each.missing:
        lacking = ", ".join(label_of(one) for one in each.missing)
        return [f"still to be read: {lacking}"]
    reason = each.reason
    if reason is not None:
        if whole:
            return [line.strip() for line in reason.lines()[1:]]
        return [f"comes to {show(reason.result, reason.unit, digits=each.declared.digits)}"]
    if each.impossible_value is not None:
        value = show(each.impossible_value, each.declared.sign, digits=each.declared.digits)
        return [f"comes to {value}, which cannot be: it counts nowhere"]
    if not whole:
        return []
    if not each.words and each.value is None:
        return ["a bound only: it counts in no mean"]
    said = (f"source: {text}" for text in (each.declared.standard, each.declared.source) if text)
    return ["as it was said" if each.declared.kind == "word" else "read directly", *said]


class OwnReadingsPlace(RowLinesPlace["OwnReadings"]):
    """What was read of one thing by the lab's own properties."""

    place = "readings"
    tab = "book"
    rests_on_record = True
    BINDINGS = bindings(READINGS)

    def __init__(self, of: str, code: str, tab: str = "book", *, reads: bool = True) -> None:
        self.tab = tab
        super().__init__(code)
        self.of = of
        self._reads = reads
        """Whether a form for a reading is still to be opened above it: what one came for."""

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Read of {self.of} {self.code}", id="heading", classes="heading", markup=False)
        with ScrollingPage(classes="box"):
            yield RowLines(id="facts")

    async def fetch_answer(self) -> tuple[OwnReadings, Corrections]:
        page = await self.notebook.consult(ask.record_values.own_readings_of, self.code, of=self.of)
        where = {page.of: page.code}
        return page, await self.notebook.consult(ask.history.corrections, Measurement, **where)

    def show_answer(self, answer: tuple[OwnReadings, Corrections]) -> None:
        page, corrections = answer
        self.query_one(RowLines).fill(readings_lines(page, corrections, self.notebook.now().tzinfo))
        if self._reads and page.declared:
            self.action_read()
        self._reads = False

    def tables(self) -> list[PlainTable]:
        return [] if self.page is None else [table_of_rows(f"readings {self.code}", self.page.rows, self.zone)]

    def action_read(self) -> None:
        if self.page is not None:
            self.start_worker(ask_own_reading(self.notebook, self.page, self.tab))

    def action_declare(self) -> None:
        self.start_worker(ask_own_property(self.notebook, self.of, self.tab))

    def action_why(self) -> None:
        if self.page is None:
            return
        reasons = [each.reason for sets in self.page.sets.values() for each in sets]
        lines = [line for reason in reasons if reason is not None for line in (*reason.lines(), "")]
        nothing = "Nothing read so far is worked out: each value stands as it was read."
        self.notebook.push_screen(TextScreen(f"Where the values of {self.code} come from", lines or [nothing]))
