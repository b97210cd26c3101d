"""The pages of the book: what each asks, how its lines read, and what opening or adding one does."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from claybench import acts, ask, record, work
from claybench.terms import SETTINGS, TABLE_OF, Family, Firing, Lot, Material
from claybench.tui.forms.act import ask_act
from claybench.tui.forms.correcting import correct_fault, correct_line, correct_row, correct_setting, delete_line
from claybench.tui.forms.layers import note_air, pour
from claybench.tui.forms.pieces import fire
from claybench.tui.say import Reading
from claybench.tui.sheet import Col, Row
from claybench.tui.words import Shown, moment, number, plain_word

if TYPE_CHECKING:
    from claybench.record.lab import Lab
    from claybench.tui.notebook import Notebook


@dataclass(frozen=True, slots=True)
class BookPage:
    """One page."""

    name: str
    title: str
    columns: tuple[Col, ...]
    answer: Callable[[Lab], Any]
    rows: Callable[[Any, datetime], list[Row[Any]]]
    open: Callable[[Notebook, Any], Awaitable[None]]
    new: Callable[[Notebook], Awaitable[None]] | None = None
    delete: Callable[[Notebook, Any], Awaitable[None]] | None = None
    empty: str = "Nothing here yet: n."
    why_not_new: str = "Lines come here by themselves."
    why_not_delete: str = "Lines are not deleted here: open one to correct it, or take its act back in the history."


# -- what each page asks ---------------------------------------------------------------------------


def _batches(lab: Lab) -> Any:
    return ask.batches.batch_list(lab)


def _runs(lab: Lab) -> Any:
    return ask.runs.run_list(lab)


def _firings(lab: Lab) -> Any:
    return ask.pieces.firings(lab)


def _shelf(lab: Lab) -> Any:
    return ask.bodies.shelf(lab)


def _air(lab: Lab) -> Any:
    return ask.slabs.air_list(lab)


def _settings(lab: Lab) -> Any:
    return ask.bodies.body_codes(lab)[1]


def _faulty(lab: Lab) -> Any:
    return ask.faulty.faulty_rows(lab)


def _history(lab: Lab) -> Any:
    return ask.history.newest_acts(lab)


# -- how its lines read ----------------------------------------------------------------------------


def _batch_rows(found: Any, now: datetime) -> list[Row[Any]]:
    return [
        Row(
            (
                batch.batch,
                batch.body,
                moment(batch.mixed_at.astimezone(now.tzinfo)),
                number(batch.dry_mass_g, 0, "g"),
                number(batch.slip_sg, 2),
                body.title or "" if body else "",
            ),
            batch.batch,
        )
        for batch, body in found
    ]


def _run_rows(found: Any, now: datetime) -> list[Row[Any]]:
    return [
        Row(
            (
                each.run.run,
                each.body.body if each.body else "–",
                each.run.slab,
                moment(each.run.started_at.astimezone(now.tzinfo)),
                _time_cell(each.time) if each.time else "–",
                (each.run.outcome or "drying").replace("_", " "),
            ),
            each.run.run,
            strong=each.run.outcome is None,
        )
        for each in found
    ]


def _time_cell(time: Any) -> str:
    return Shown(time.text(), parts=(("from", time.low_min), ("to", time.high_min)), unit="min")


def _firing_rows(found: Any, now: datetime) -> list[Row[Any]]:
    return [
        Row(
            (
                firing.firing,
                moment(firing.fired_on),
                firing.cone or "–",
                number(firing.peak_temp_c, 0, "°C"),
                str(count),
                firing.note or firing.kiln or "",
            ),
            firing.firing,
        )
        for firing, count in found
    ]


def _family_rows(found: Any, now: datetime) -> list[Row[Any]]:
    return [Row((row.family, number(row.stain_rank), row.note or ""), row.family) for row in found.families]


def _material_rows(found: Any, now: datetime) -> list[Row[Any]]:
    return [
        Row(
            (
                row.material,
                row.kind or "–",
                number(row.specific_gravity, 2),
                number(row.loi_pct, 1),
                number(row.price_per_kg, 2),
                row.caution or row.note or "",
            ),
            row.material,
        )
        for row in found.materials
    ]


def _lot_rows(found: Any, now: datetime) -> list[Row[Any]]:
    return [
        Row(
            (
                row.lot,
                row.material,
                moment(row.received_on),
                number(row.received_kg, unit="kg"),
                number(row.moisture_pct, 1, "%"),
                row.note or "",
            ),
            row.lot,
        )
        for row in found.lots
    ]


def _air_rows(found: Any, now: datetime) -> list[Row[Any]]:
    return [
        Row(
            (
                moment(row.at.astimezone(now.tzinfo)),
                plain_word(row.place),
                number(row.air_temp_c, 1, "°C"),
                number(row.air_rh_pct, 0, "%"),
                number(row.air_speed_m_s, 1, "m/s"),
                row.note or "",
            ),
            row,
        )
        for row in found
    ]


def _setting_rows(found: Any, now: datetime) -> list[Row[Any]]:
    rows = []
    for name, term in SETTINGS.items():
        if name == "format":
            continue
        unit = "" if term.unit in ("text", "clock", "zone", "paper", "1") else term.unit.replace("degC", "°C")
        value = f"{found.text(name)} {unit}".strip()
        rows.append(Row((term.label, value, "as delivered" if found.is_default(name) else "", term.help), name))
    return rows


def _faulty_rows(found: Any, now: datetime) -> list[Row[Any]]:
    return [
        Row((each.named, each.table[each.column].label, f"{each.reason}: {each.so}"), each, strong=each.left_out)
        for each in found
    ]


def _history_rows(found: Any, now: datetime) -> list[Row[Any]]:
    return [
        Row(
            (
                moment(entry.at.astimezone(now.tzinfo)),
                entry.label,
                "takes back" if entry.undoes else "taken back" if entry.undone else "",
                entry.who or "",
            ),
            entry.id,
        )
        for entry in found
    ]


# -- opening and adding ----------------------------------------------------------------------------


def _open_by_code(kind: str) -> Callable[[Notebook, Any], Awaitable[None]]:
    async def open_line(notebook: Notebook, code: Any) -> None:
        await notebook.open_record(kind, code)

    return open_line


def _correct_by_code(kind: type[Any]) -> Callable[[Notebook, Any], Awaitable[None]]:
    async def correct(notebook: Notebook, code: Any) -> None:
        table = TABLE_OF[kind]
        await correct_row(
            notebook,
            await notebook.consult(ask.names.row_named, kind, code),
            list(table.names),
            f"Correct {table.noun} {code}",
        )

    return correct


def _add_by_act(act: str) -> Callable[[Notebook], Awaitable[None]]:
    """The form of an act by its name among `acts.recipes`."""

    async def add(notebook: Notebook) -> None:
        await ask_act(notebook, getattr(acts.recipes, act), tab="book")

    return add


async def _new_batch(notebook: Notebook) -> None:
    notebook.to_front("mix")


async def _new_run(notebook: Notebook) -> None:
    await pour(notebook)


async def _new_air(notebook: Notebook) -> None:
    await note_air(notebook)


async def _new_firing(notebook: Notebook) -> None:
    await fire(notebook, [])


def _delete_by_code(kind: type[Any]) -> Callable[[Notebook, Any], Awaitable[None]]:
    async def delete_line(notebook: Notebook, code: Any) -> None:
        await notebook.attempt(work.common.delete, kind, code)

    return delete_line


async def _open_act(notebook: Notebook, number: Any) -> None:
    page = await notebook.consult(ask.history.act_page, number)
    head = f"{page.entry.label}, {moment(page.entry.at.astimezone(page.zone))}"
    await notebook.push_screen(Reading(head, [*page.lines(), "", "d on its line takes it back."]))


async def _undo_act(notebook: Notebook, act: Any) -> None:
    await notebook.attempt(record.undoing.undo, act, chosen=True)


def _columns(*given: tuple[str, int, str]) -> tuple[Col, ...]:
    return tuple(Col(title, width, right="r" in how, grows="g" in how) for title, width, how in given)


BOOK_PAGES: Sequence[BookPage] = (
    BookPage("batches", "Batches",
         _columns(("batch", 12, ""), ("body", 8, ""), ("mixed", 13, ""), ("dry", 10, "r"), ("slip", 6, "r"), ("title", 10, "g")),
         _batches, _batch_rows, _open_by_code("batches"), _new_batch),
    BookPage("runs", "Runs",
         _columns(("run", 8, ""), ("body", 8, ""), ("slab", 7, ""), ("poured", 13, ""), ("to workable", 16, ""), ("outcome", 12, "g")),
         _runs, _run_rows, _open_by_code("runs"), _new_run),
    BookPage("firings", "Firings",
         _columns(("firing", 8, ""), ("fired", 12, ""), ("cone", 5, ""), ("peak", 9, "r"), ("pieces", 6, "r"), ("note or kiln", 12, "g")),
         _firings, _firing_rows, _correct_by_code(Firing), _new_firing, _delete_by_code(Firing)),
    BookPage("families", "Families", _columns(("family", 16, ""), ("stain rank", 10, "r"), ("note", 20, "g")),
         _shelf, _family_rows, _correct_by_code(Family), _add_by_act("FAMILY"), _delete_by_code(Family)),
    BookPage("materials", "Materials",
         _columns(("material", 20, ""), ("kind", 12, ""), ("gravity", 7, "r"), ("loi %", 6, "r"), ("per kg", 7, "r"), ("caution or note", 12, "g")),
         _shelf, _material_rows, _correct_by_code(Material), _add_by_act("MATERIAL"), _delete_by_code(Material)),
    BookPage("lots", "Lots",
         _columns(("lot", 10, ""), ("material", 18, ""), ("received", 12, ""), ("kg", 8, "r"), ("moisture", 8, "r"), ("note", 10, "g")),
         _shelf, _lot_rows, _correct_by_code(Lot), _add_by_act("LOT"), _delete_by_code(Lot)),
    BookPage("air", "Air",
         _columns(("when", 13, ""), ("place", 12, ""), ("temperature", 11, "r"), ("humidity", 8, "r"), ("speed", 8, "r"), ("note", 10, "g")),
         _air, _air_rows, correct_line, _new_air, delete_line, "No air was read yet: n."),
    BookPage("faulty", "Faulty", _columns(("what", 20, ""), ("column", 16, ""), ("why it cannot be used", 30, "g")),
         _faulty, _faulty_rows, correct_fault, empty="Every row can be used."),
    BookPage("settings", "Settings", _columns(("setting", 26, ""), ("value", 15, ""), ("", 12, ""), ("what for", 16, "g")),
         _settings, _setting_rows, correct_setting, why_not_delete="A setting is changed, not deleted."),
    BookPage("history", "History", _columns(("when", 13, ""), ("what was done", 30, "g"), ("", 10, ""), ("who", 8, "")),
         _history, _history_rows, _open_act, None, _undo_act, "Nothing was done yet.", "Every act is written down here by itself."),
)  # fmt: skip
