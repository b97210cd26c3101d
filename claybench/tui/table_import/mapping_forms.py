"""What is asked on the way: how the file is written, the details of a column, what holds for every row, a name to keep."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import TYPE_CHECKING, Protocol

from claybench import ask, clock, quantity
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.errors import BadInput
from claybench.exchange.cells import format_value
from claybench.exchange.reading.cell_dates import ORDERS
from claybench.exchange.reading.headings import unit_of
from claybench.exchange.reading.mapping import TableMapping, format_mapping, save_mapping, saved_mapping_names
from claybench.exchange.reading.raw_table import DELIMITERS, RawTable, read_file
from claybench.exchange.spreadsheet import DECIMALS
from claybench.terms import TABLES
from claybench.tui.forms.form import Form

if TYPE_CHECKING:
    from claybench.tui.notebook import Notebook


class MappingChanged(Protocol):
    """Takes the new mapping and, where the file has to be read anew, its rows."""

    async def __call__(self, new: TableMapping, raw: RawTable | None = None, *, update: bool | None = None) -> None: ...


async def ask_file_format(
    notebook: Notebook, raw: RawTable, mapping: TableMapping, update: bool, changed: MappingChanged
) -> None:
    """Marks, dates, encoding, and which rows."""

    async def save(values: Values) -> str:
        if values["zone"]:
            clock.parse_zone(values["zone"])
        missing = tuple(filter(None, (each.strip() for each in (values["missing"] or "").split(","))))
        new = replace(
            mapping,
            decimal=values["decimal"] or "",
            dates=values["dates"] or "",
            time_of_day=values["time_of_day"] or "",
            zone=values["zone"] or "",
            delimiter=values["delimiter"] or "",
            encoding=values["encoding"] or "",
            headings_in=values["headings_in"] or 0,
            last_row=values["last_row"] or 0,
            missing=missing,
            name_new=bool(values["name_new"]),
            units=parse_units(values["units"] or ""),
            anyway=bool(values["anyway"]),
        )
        again = raw
        if (new.delimiter, new.encoding) != (mapping.delimiter, mapping.encoding):
            again = await asyncio.to_thread(read_file, raw.path, encoding=new.encoding, delimiter=new.delimiter)
        await changed(new, again, update=bool(values["update"]))
        return "done"

    fields = [
        ActField("decimal", "decimal mark", "word", words=DECIMALS, text=mapping.decimal, note="– : as the numbers say"),
        ActField("dates", "dates", "word", words=ORDERS, text=mapping.dates, note="03/04/2026: which comes first?"),
        ActField("time_of_day", "time for a bare date", text=mapping.time_of_day, note="where a time is needed, such as 12:00",
            echoes=lambda typed: f"= {clock.parse_time_of_day(typed):%H:%M}"),
        ActField("zone", "clock of its times", text=mapping.zone, note=f"the lab's where empty: {notebook.lab.zone}"),
        ActField("name_new", "make what is new", "yesno", text=yes_no(mapping.name_new), required=True,
            note="bodies and firings named for the first time"),
        ActField("update", "change what is there", "yesno", text=yes_no(update), required=True, note="rows the lab has already"),
        ActField("anyway", "take what is doubted", "yesno", text=yes_no(mapping.anyway), required=True, note="it is meant as it stands"),
        ActField("units", "units not written", text=", ".join(mapping.units), note="of numbers without one: in, kg, °F",
            echoes=lambda typed: f"= {', '.join(parse_units(typed))}"),
        ActField("missing", "stands for nothing", text=", ".join(mapping.missing), note="besides – and n/a; commas between"),
        ActField("headings_in", "headings in row", "whole", text=str(mapping.headings_in or ""), low=1, note="found where empty"),
        ActField("last_row", "last row", "whole", text=str(mapping.last_row or ""), low=1, note="all of them where empty"),
        ActField("delimiter", "between cells", "word", words=tuple(DELIMITERS), text=mapping.delimiter, note=f"– : {raw.delimiter}, as found"),
        ActField("encoding", "encoding", text=mapping.encoding, note=f"{raw.encoding}, as found; cp1252, utf-16, mac-roman …"),
    ]  # fmt: skip
    await notebook.push_screen(Form("How this file is written", fields, save, draft=f"how {raw.path}", tab="book"))


def parse_units(text: str) -> tuple[str, ...]:
    """Units typed one after another, as the record writes them."""
    units = []
    for each in filter(None, (part.strip() for part in text.split(","))):
        known = unit_of(each)
        if known is None:
            raise BadInput(f"'{each}' is no unit.", "Write them as in, kg, °F.", field="units")
        units.append(known.sign)
    return tuple(units)


def yes_no(value: bool) -> str:
    """A yes or no as a form begins with it."""
    return "yes" if value else "no"


async def ask_column_details(notebook: Notebook, heading: str, mapping: TableMapping, changed: MappingChanged) -> None:
    """Unit, what an empty cell means, words of the file, the material of a column."""
    to = mapping.columns[heading]
    column = mapping.kind.targets()[to.to].column

    async def save(values: Values) -> str:
        new = replace(
            to,
            unit=values.get("unit") or "",
            fill_down=bool(values.get("fill_down")),
            words=parse_word_pairs(values.get("words") or ""),
            name=values.get("name") or "",
        )
        await changed(mapping.with_column(heading, new))
        return heading

    fields = []
    if mapping.kind.wide is not None and to.to == mapping.kind.wide[2]:
        fields.append(ActField("name", "material", "code", text=to.name, note=f"{heading} where empty"))
    if column.kind in ("number", "whole") and column.unit != "1":
        units = quantity.units_for(column.unit)
        fields.append(
            ActField("unit", "unit", "word", words=units, text=to.unit, note="– : the heading's, else the record's")
        )
    fields.append(ActField("fill_down", "empty: as above", "yesno", text=yes_no(to.fill_down), required=True))
    if column.kind in ("word", "yesno", "code"):
        paired = ", ".join(f"{typed} = {word}" for typed, word in to.words.items())
        note = f"theirs = {' or '.join(column.words[:3]) or 'ours'}, with commas between"
        fields.append(
            ActField(
                "words",
                "its words",
                text=paired,
                note=note,
                echoes=lambda typed: f"= {len(parse_word_pairs(typed))} words",
            )
        )
    title = f"{heading} goes to {column.label}"
    await notebook.push_screen(Form(title, fields, save, draft=f"column {heading} {to.to}", tab="book"))


def parse_word_pairs(text: str) -> dict[str, str]:
    """Words of the file with ours, such as `Stab = bar, Fliese = tile`."""
    pairs = {}
    for each in filter(None, (part.strip() for part in text.split(","))):
        typed, sign, word = each.partition("=")
        if not sign or not typed.strip() or not word.strip():
            raise BadInput(f"'{each}' is not two words.", "Write them as Stab = bar, Fliese = tile.", field="words")
        pairs[typed.strip()] = word.strip()
    return pairs


async def ask_constant(notebook: Notebook, target: str, mapping: TableMapping, changed: MappingChanged) -> None:
    """What holds for every row, typed as anywhere else."""
    into = mapping.kind.targets()[target]

    async def save(values: Values) -> str:
        value = values[into.column.name]
        await changed(mapping.with_constant(target, "" if value is None else format_value(value)))
        return target

    suggestions: tuple[str, ...] = ()
    if into.column.refers:
        suggestions = await notebook.consult(ask.held_names.codes_held, into.column.refers)
    field = ActField.of_column(
        TABLES[into.table].row, into.column.name, text=mapping.constants.get(target, ""), suggestions=suggestions
    )
    title = f"{into.column.label} of every row"
    await notebook.push_screen(Form(title, [field], save, draft=f"every {target} {mapping.rows}", tab="book"))


async def ask_mapping_name(notebook: Notebook, mapping: TableMapping) -> None:
    """Keep it by a name for the next file."""

    async def save(values: Values) -> str:
        path = await asyncio.to_thread(save_mapping, values["name"], format_mapping(replace(mapping, guessed=False)))
        notebook.notify(f"Kept in {path}", timeout=6, markup=False)
        return str(path)

    names = ", ".join(saved_mapping_names())
    field = ActField(
        "name", "name", required=True, text="", note=f"there are {names}" if names else "such as bars of the old book"
    )
    await notebook.push_screen(Form("Keep this mapping", [field], save, draft="keep a mapping", tab="book"))
