"""Correcting and deleting a line where it stands: touches, weighings, lines of a log, readings, faults, the air."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, tzinfo
from typing import TYPE_CHECKING

from claybench import acts, ask, work
from claybench.terms import TABLE_OF, Check, Column, Measurement, Photo, SlabEvent
from claybench.tui.display_text import moment_text
from claybench.tui.forms.act_form import ask_act

if TYPE_CHECKING:
    from claybench.insight.unusable_rows import FaultyRow
    from claybench.record.history import ChangedRow
    from claybench.tui.notebook import Notebook

_HOW_READ = ("at", "by", "instrument", "step", "method", "together", "note")
"""What is asked of a reading of the lab's own when it is corrected, beside its value."""
WORDS = {Check: "touch", SlabEvent: "log line"}
"""What the screen calls a row where the dictionary's noun is the record's."""


async def correct_row(
    notebook: Notebook, row: object, names: list[str] | tuple[str, ...], title: str, *, first: str = "", note: str = ""
) -> None:
    """A form over columns of any row of the record; its note says what else is known of it."""
    tab = getattr(notebook.screen, "tab", "bench")  # where one came from
    table = TABLE_OF[type(row)]
    key = "" if table.code else " ".join(str(getattr(row, name)) for name in table.key)
    # two lines may be called alike, and what was typed for one is not meant for the other
    draft = f"{title} {key}".strip()
    await ask_act(notebook, acts.any_row.correct_act(row, names, title), tab=tab, draft=draft, first=first, note=note)


async def correct_fault(notebook: Notebook, fault: FaultyRow) -> None:
    """The row as it stands, beginning with what is wrong with it."""
    table = fault.table
    if table.name == "settings":
        await correct_setting(notebook, fault.row.name)
    else:
        await correct_row(notebook, fault.row, table.names, f"Correct {fault.named}", first=fault.column)


async def correct_setting(notebook: Notebook, name: str) -> None:
    """Another value of a setting."""
    await ask_act(notebook, acts.settings.setting_act(name), tab="book", draft=f"setting {name}")


async def correct_line(notebook: Notebook, row: object) -> None:
    """The line in a form with everything filled in; what it said before stays in the history."""
    await correct_row(notebook, row, _asked_columns(row), f"Correct {row_name(row, notebook.now())}")


async def delete_line(notebook: Notebook, row: object) -> None:
    """Delete the line; undo brings it back."""
    await notebook.attempt(work.any_row.delete_row, type(row), record_key(row))


def record_key(row: object) -> tuple[object, ...] | str:
    """What the record knows a row by."""
    table = TABLE_OF[type(row)]
    key = tuple(getattr(row, name) for name in table.key)
    return str(key[0]) if table.code else key


def row_name(row: object, now: datetime) -> str:
    """A row by name: what it is, of what, and when."""
    table = TABLE_OF[type(row)]
    parts = [WORDS.get(type(row), table.noun)]
    owner = next((getattr(row, name) for name in _owner_columns(row) if getattr(row, name)), None)
    parts += [f"of {owner}"] if owner else []
    parts += [str(getattr(row, name)) for name in table.key if table.code]
    at = getattr(row, "at", None)
    if at is not None:
        then = at.astimezone(now.tzinfo)
        parts.append(f"at {then:%H:%M}" if then.date() == now.date() else f"of {moment_text(then)}")
    return " ".join(parts)


def _owner_columns(row: object) -> list[str]:
    """Columns that say of what a row is; they stay, since the row stands on the page of that."""
    table = TABLE_OF[type(row)]
    if isinstance(row, Photo) or table.code:
        return []
    return [name for name in (*table.one_of, *table.key) if table[name].refers not in ("", "firings")]


def _asked_columns(row: object) -> list[str]:
    table = TABLE_OF[type(row)]
    own = [*_owner_columns(row), table.code]
    names = [name for name in table.names if name not in own]
    if isinstance(row, SlabEvent):
        usual = acts.slabs.ASKED.get(row.event, ("at", "note"))
        filled = [name for name in names if getattr(row, name) is not None and name != "event"]
        return [*usual, *(name for name in (*filled, "by", "note", "event") if name not in usual)]
    if isinstance(row, Measurement) and row.what not in TABLE_OF[Measurement]["what"].words:
        # what a lab has declared itself: what it is of and what was read stay, how it was read may have been said wrong
        read = "word" if row.word is not None and row.value is None else "value"
        filled = [name for name in names if getattr(row, name) is not None and name != "what"]
        return [read, *(name for name in dict.fromkeys((*_HOW_READ, *filled)) if name != read)]
    return names


def earlier_value_text(row: object, corrected: Mapping[tuple[object, ...], ChangedRow], zone: tzinfo | None) -> str:
    """What a corrected line said when it was entered, for the end of it; empty where it says that still."""
    change = corrected.get(tuple(getattr(row, name) for name in TABLE_OF[type(row)].key))
    if change is None:
        return ""
    return f"   (was {', '.join(_value_before_text(*value, zone) for value in change.values)})"


def _value_before_text(column: Column, value: object, now: object, zone: tzinfo | None) -> str:
    """A value that stood there: times, words and masses say by themselves what they are; a day where it was another."""
    if isinstance(value, datetime):
        then = value.astimezone(zone)
        same_day = isinstance(now, datetime) and now.astimezone(zone).date() == then.date()
        return f"{then:%H:%M}" if same_day else moment_text(then)
    said = ask.history.value_words(column, value, zone or UTC)
    return said if value is not None and (column.kind == "word" or column.unit != "1") else f"{column.label} {said}"
