"""The pages of the book: their columns, and what opening, adding or deleting a line does. A column stands beside what it says of a thing."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from claybench import acts, ask, record, work
from claybench.terms import (
    SETTINGS,
    TABLE_OF,
    TEXT_UNITS,
    DeclaredProperty,
    Family,
    Firing,
    Instrument,
    Lot,
    Material,
    SettingTerm,
)
from claybench.terms.properties import TABLE_OF_SUBJECT
from claybench.tui.display_text import NOTHING, CellText, moment_text, number_text, word_text
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.correcting import correct_fault, correct_line, correct_row, correct_setting, delete_line
from claybench.tui.forms.layers import ask_air, ask_pour
from claybench.tui.forms.pieces import ask_firing
from claybench.tui.table_view import TableColumn, TableRow
from claybench.tui.text_screen import TextScreen

if TYPE_CHECKING:
    from claybench.insight.workable_interval import WorkableTime
    from claybench.measure.properties.declaration import Property
    from claybench.record.history import ActEntry
    from claybench.record.lab import Lab
    from claybench.tui.notebook import Notebook


T = TypeVar("T")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class BookPage(Generic[T, R]):
    """One page of lines, each with a record of one type behind it: a code, a row, or the number of an act."""

    name: str
    title: str
    things: Callable[[Lab], Iterable[T]]
    """What has a line, read from the lab in a thread."""
    cells: tuple[tuple[str, int, str, Callable[[T, tzinfo | None], str]], ...]
    """Title, width, letters (r for numbers on the right, g for a column that grows), and the words for one thing."""
    record: Callable[[T], R]
    """What stands behind a line."""
    open: Callable[[Notebook, R], Awaitable[None]]
    """Opens or corrects what stands on a line."""
    new: Callable[[Notebook], Awaitable[None]] | None = None
    delete: Callable[[Notebook, R], Awaitable[None]] | None = None
    strong: Callable[[T], bool] = lambda _: False
    empty: str = "Nothing here yet: n."
    why_not_new: str = "Lines come here by themselves."
    why_not_delete: str = "Lines are not deleted here: open one to correct it, or take its act back in the history."

    @property
    def subject(self) -> str:
        """What a property is of that is read of its lines; empty where none is."""
        return next((of for of, table in TABLE_OF_SUBJECT.items() if table == self.name), "")

    @property
    def columns(self) -> tuple[TableColumn, ...]:
        """The columns of its table."""
        return tuple(
            TableColumn(title, width, right="r" in how, grows="g" in how) for title, width, how, _ in self.cells
        )

    def rows(self, lab: Lab, now: datetime) -> list[TableRow[R]]:
        """Its lines, by the clock of the lab."""
        return [
            TableRow(tuple(cell(each, now.tzinfo) for *_, cell in self.cells), self.record(each), self.strong(each))
            for each in self.things(lab)
        ]


def _open_by_code(table: str) -> Callable[[Notebook, str], Awaitable[None]]:
    async def open_page(notebook: Notebook, code: str) -> None:
        await notebook.open_record(table, code)

    return open_page


def _correct_by_code(kind: type[object]) -> Callable[[Notebook, str], Awaitable[None]]:
    async def correct(notebook: Notebook, code: str) -> None:
        table = TABLE_OF[kind]
        row = await notebook.consult(ask.held_names.row_named, kind, code)
        read = await notebook.consult(ask.record_values.values_read, code, of=str(table.code))
        note = "\n".join(f"{each.declared.title}: {each.text()}" for each in read)
        await correct_row(notebook, row, table.names, f"Correct {table.noun} {code}", note=note)

    return correct


def _add_by_act(name: str) -> Callable[[Notebook], Awaitable[None]]:
    """The form of an act by the name of its command."""

    async def add(notebook: Notebook) -> None:
        await ask_act(notebook, acts.registry.load_act(name), tab="book")

    return add


async def _new_batch(notebook: Notebook) -> None:
    notebook.to_front("mix")


async def _new_firing(notebook: Notebook) -> None:
    await ask_firing(notebook, [])


def _delete_by_code(kind: type[object]) -> Callable[[Notebook, str], Awaitable[None]]:
    async def delete(notebook: Notebook, code: str) -> None:
        await notebook.attempt(work.any_row.delete_row, kind, code)

    return delete


async def _open_act(notebook: Notebook, number: int) -> None:
    page = await notebook.consult(ask.history.act_page, number)
    head = f"{page.entry.label}, {moment_text(page.entry.at.astimezone(page.zone))}"
    await notebook.push_screen(TextScreen(head, [*page.lines(), "", "d on its line takes it back."]))


async def _undo_act(notebook: Notebook, act: int) -> None:
    await notebook.attempt(record.undoing.undo_act, act, chosen=True)


def _families(lab: Lab) -> Iterable[Family]:
    return ask.bodies.stock_lists(lab).families


def _materials(lab: Lab) -> Iterable[Material]:
    return ask.bodies.stock_lists(lab).materials


def _lots(lab: Lab) -> Iterable[Lot]:
    return ask.bodies.stock_lists(lab).lots


def _own_properties(lab: Lab) -> Iterable[Property]:
    return [each for each in ask.properties.lab_properties(lab).values() if each.own]


def _settings(lab: Lab) -> Iterable[tuple[SettingTerm, str, bool]]:
    """Each setting with its value, and whether it is as delivered."""
    settings = ask.bodies.body_codes(lab)[1]
    for name, term in SETTINGS.items():
        if name != "format":
            unit = "" if term.unit in (*TEXT_UNITS, "1") else term.unit.replace("degC", "°C")
            yield term, f"{settings.text_of(name)} {unit}".strip(), settings.is_default(name)


def _time_cell(time: WorkableTime | None) -> str:
    if time is None:
        return NOTHING
    return CellText(time.describe(), parts=(("from", time.low_min), ("to", time.high_min)), unit="min")


def _act_state(entry: ActEntry) -> str:
    return "takes back" if entry.undoes else "taken back" if entry.undone else ""


PageLines = tuple[BookPage[Any, Any], list[TableRow[Any]]]
"""A page with its lines; what stands behind a line is the page's own matter."""

BOOK_PAGES: Sequence[BookPage[Any, Any]] = (
    BookPage("batches", "Batches", ask.batches.batch_list, (
        ("batch", 12, "", lambda each, _: each[0].batch),
        ("body", 8, "", lambda each, _: each[0].body),
        ("mixed", 13, "", lambda each, zone: moment_text(each[0].mixed_at.astimezone(zone))),
        ("dry", 10, "r", lambda each, _: number_text(each[0].dry_mass_g, 0, "g")),
        ("slip", 6, "r", lambda each, _: number_text(each[0].slip_sg, 2)),
        ("title", 10, "g", lambda each, _: each[1].title or "" if each[1] else ""),
    ), lambda each: each[0].batch, _open_by_code("batches"), _new_batch),
    BookPage("runs", "Runs", ask.runs.run_list, (
        ("run", 8, "", lambda each, _: each.run.run),
        ("body", 8, "", lambda each, _: each.body.body if each.body else NOTHING),
        ("slab", 7, "", lambda each, _: each.run.slab),
        ("poured", 13, "", lambda each, zone: moment_text(each.run.started_at.astimezone(zone))),
        ("to workable", 16, "", lambda each, _: _time_cell(each.time)),
        ("outcome", 12, "g", lambda each, _: (each.run.outcome or "drying").replace("_", " ")),
    ), lambda each: each.run.run, _open_by_code("runs"), ask_pour, strong=lambda each: each.run.outcome is None),
    BookPage("firings", "Firings", ask.pieces.list_firings, (
        ("firing", 8, "", lambda each, _: each[0].firing),
        ("fired", 12, "", lambda each, _: moment_text(each[0].fired_on)),
        ("cone", 5, "", lambda each, _: each[0].cone or NOTHING),
        ("peak", 9, "r", lambda each, _: number_text(each[0].peak_temp_c, 0, "°C")),
        ("pieces", 6, "r", lambda each, _: str(each[1])),
        ("note or kiln", 12, "g", lambda each, _: each[0].note or each[0].kiln or ""),
    ), lambda each: each[0].firing, _correct_by_code(Firing), _new_firing, _delete_by_code(Firing)),
    BookPage("families", "Families", _families, (
        ("family", 16, "", lambda row, _: row.family),
        ("stain rank", 10, "r", lambda row, _: number_text(row.stain_rank)),
        ("note", 20, "g", lambda row, _: row.note or ""),
    ), lambda row: row.family, _correct_by_code(Family), _add_by_act("family"), _delete_by_code(Family)),
    BookPage("materials", "Materials", _materials, (
        ("material", 20, "", lambda row, _: row.material),
        ("kind", 12, "", lambda row, _: row.kind or NOTHING),
        ("gravity", 7, "r", lambda row, _: number_text(row.specific_gravity, 2)),
        ("loi %", 6, "r", lambda row, _: number_text(row.loi_pct, 1)),
        ("per kg", 7, "r", lambda row, _: number_text(row.price_per_kg, 2)),
        ("caution or note", 12, "g", lambda row, _: row.caution or row.note or ""),
    ), lambda row: row.material, _correct_by_code(Material), _add_by_act("material"), _delete_by_code(Material)),
    BookPage("lots", "Lots", _lots, (
        ("lot", 10, "", lambda row, _: row.lot),
        ("material", 18, "", lambda row, _: row.material),
        ("received", 12, "", lambda row, _: moment_text(row.received_on)),
        ("kg", 8, "r", lambda row, _: number_text(row.received_kg, unit="kg")),
        ("moisture", 8, "r", lambda row, _: number_text(row.moisture_pct, 1, "%")),
        ("note", 10, "g", lambda row, _: row.note or ""),
    ), lambda row: row.lot, _correct_by_code(Lot), _add_by_act("lot"), _delete_by_code(Lot)),
    BookPage("properties", "Properties", _own_properties, (
        ("property", 20, "", lambda each, _: each.name),
        ("what it is", 24, "", lambda each, _: each.title),
        ("of", 8, "", lambda each, _: each.of),
        ("unit", 8, "", lambda each, _: each.sign),
        ("formula", 20, "g", lambda each, _: each.formula or "read directly"),
    ), lambda each: each.name, _correct_by_code(DeclaredProperty), _add_by_act("property"), _delete_by_code(DeclaredProperty),
        empty="What you measure besides what is built in: n declares it, with its formula."),
    BookPage("air", "Air", ask.slabs.air_list, (
        ("when", 13, "", lambda row, zone: moment_text(row.at.astimezone(zone))),
        ("place", 12, "", lambda row, _: word_text(row.place)),
        ("temperature", 11, "r", lambda row, _: number_text(row.air_temp_c, 1, "°C")),
        ("humidity", 8, "r", lambda row, _: number_text(row.air_rh_pct, 0, "%")),
        ("speed", 8, "r", lambda row, _: number_text(row.air_speed_m_s, 1, "m/s")),
        ("note", 10, "g", lambda row, _: row.note or ""),
    ), lambda row: row, correct_line, ask_air, delete_line, empty="No air was read yet: n."),
    BookPage("instruments", "Instruments", ask.pieces.list_instruments, (
        ("instrument", 14, "", lambda row, _: row.instrument),
        ("kind", 9, "", lambda row, _: row.kind or NOTHING),
        ("step", 10, "r", lambda row, _: number_text(row.step, unit=row.unit or "")),
        ("since", 12, "", lambda row, _: moment_text(row.since)),
        ("until", 12, "", lambda row, _: moment_text(row.until)),
        ("note", 10, "g", lambda row, _: row.note or ""),
    ), lambda row: row.instrument, _correct_by_code(Instrument), _add_by_act("instrument"), _delete_by_code(Instrument),
        empty="What readings are taken with, and to which step: n."),
    BookPage("faulty", "Faulty", ask.snapshot.faulty_rows, (
        ("what", 20, "", lambda each, _: each.named),
        ("column", 16, "", lambda each, _: each.table[each.column].label),
        ("why it cannot be used", 30, "g", lambda each, _: f"{each.reason}: {each.consequence}"),
    ), lambda each: each, correct_fault, strong=lambda each: each.left_out, empty="Every row can be used."),
    BookPage("settings", "Settings", _settings, (
        ("setting", 26, "", lambda each, _: each[0].label),
        ("value", 15, "", lambda each, _: each[1]),
        ("", 12, "", lambda each, _: "as delivered" if each[2] else ""),
        ("what for", 16, "g", lambda each, _: each[0].help),
    ), lambda each: each[0].name, correct_setting, why_not_delete="A setting is changed, not deleted."),
    BookPage("history", "History", ask.history.newest_acts, (
        ("when", 13, "", lambda entry, zone: moment_text(entry.at.astimezone(zone))),
        ("what was done", 30, "g", lambda entry, _: entry.label),
        ("", 10, "", lambda entry, _: _act_state(entry)),
        ("who", 8, "", lambda entry, _: entry.who or ""),
    ), lambda entry: entry.id, _open_act, None, _undo_act,
        empty="Nothing was done yet.", why_not_new="Every act is written down here by itself."),
)  # fmt: skip
