"""Between a row as the notebook knows it and its values as the database holds them."""

from __future__ import annotations

import json
import math
import re
import unicodedata
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime, timedelta, timezone
from functools import cache
from typing import Any

import sqlalchemy as sa

from claybench import clock
from claybench.errors import BadInput, OutOfRange
from claybench.quantity.shown import capitalize_first, plain, unit_sign
from claybench.record.schema import db_table
from claybench.terms import CODE_LENGTH, TABLES, Column, Table
from claybench.terms.naming import fold_name, tidy_name

_ZONES: dict[int, timezone] = {}
_EDGES = frozenset({"0001-01-01", "9999-12-31"})


def store_stamp(value: datetime) -> tuple[str, int]:
    """UTC text of fixed width, and the offset in minutes as entered."""
    offset = value.utcoffset()
    if offset is None:
        raise BadInput(f"{value} has no offset from UTC.", "Give every time its offset.")
    moment = value.astimezone(UTC).isoformat(timespec="microseconds")
    return f"{moment[:26]}Z", int(offset.total_seconds() // 60)


def load_stamp(text: str, offset: int) -> datetime:
    """The moment back, at the offset it was entered with."""
    zone = _ZONES.get(offset)
    if zone is None:
        zone = _ZONES[offset] = timezone(timedelta(minutes=offset))
    return datetime.fromisoformat(text[:-1] + "+00:00").astimezone(zone)


def load_time(text: str, offset: int | None) -> date:
    """A stored date or moment; `clock.UNREADABLE` where it cannot be read, as an older program may have left it.

    One bad value must not keep the other rows from being read.
    """
    try:
        if len(text) == 10:
            return date.fromisoformat(text)
        # on the first and the last day there are clocks on which it is no day of the calendar any more
        return clock.UNREADABLE if text[:10] in _EDGES else load_stamp(text, offset or 0)
    except (ValueError, OverflowError):
        return clock.UNREADABLE


def check_value(column: Column, value: Any) -> Any:
    """The value as it will be kept, or an error that says what would work.

    Models of tables are not validated by the library, so every write comes past here first.
    """
    if value is None:
        if column.required:
            raise BadInput(f"{_label(column)} is missing.", _what_works(column), field=column.name)
        return None
    return _CHECKS[column.kind](column, value)


def _label(column: Column) -> str:
    return capitalize_first(column.label)


def _what_works(column: Column) -> str:
    """What can be given for a column, as a sentence."""
    if column.kind == "word" and column.words:
        return f"Use one of {', '.join(column.words)}."
    if column.kind == "code":
        among = f"one of the lab's {column.refers.replace('_', ' ')}" if column.refers else ""
        return f"Give the code of {among}." if among else f"Give a code of at most {CODE_LENGTH} characters."
    if column.kind in ("number", "whole"):
        number = "a whole number" if column.kind == "whole" else "a number"
        sign, limits = unit_sign(column.unit), column.limits()
        return f"Give {number}{'' if sign in ('1', '') else f' in {sign}'}{limits and f', {limits}'}."
    return _EXAMPLES.get(column.kind) or f"Write {column.form_says or 'a text'}."


_EXAMPLES = {
    "time": "Give date and time with the offset from UTC, such as 2026-03-12 09:00+01:00.",
    "day": "Give a date, such as 2026-03-12, or date and time with the offset from UTC.",
    "yesno": "Say yes or no.",
}


def _check_code(column: Column, value: Any) -> str:
    if not isinstance(value, str) or not tidy_name(value):
        raise BadInput(f"{_label(column)} needs a code.", _what_works(column), field=column.name)
    code = tidy_name(value)
    if len(code) > CODE_LENGTH:
        raise BadInput(
            f"The code '{code[:12]}…' has {len(code)} characters.",
            f"Use {CODE_LENGTH} at most.",
            field=column.name,
        )
    if not (code.isascii() and code.isprintable()) and any(
        unicodedata.category(mark) in ("Cc", "Cs", "Zl", "Zp") for mark in code
    ):
        raise BadInput(f"The code {code!r} holds a character that cannot be seen.", field=column.name)
    return code


def _check_text(column: Column, value: Any) -> str | None:
    if not isinstance(value, str):
        raise BadInput(f"{_label(column)} takes text.", _what_works(column), field=column.name)
    if value == "":
        return check_value(column, None) if column.required else None
    if len(value) > column.longest:
        reason = f"{_label(column)} has {len(value)} characters."
        raise BadInput(reason, f"Use {column.longest} at most.", field=column.name)
    if "\x00" in value or (not value.isascii() and any("\ud800" <= mark <= "\udfff" for mark in value)):
        raise BadInput(f"{_label(column)} holds a character no text can have.", field=column.name)
    if column.form and re.fullmatch(column.form, value) is None:
        raise BadInput(f"{_label(column)} cannot be '{value}'.", f"Write {column.form_says}.", field=column.name)
    return value


def _check_number(column: Column, value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadInput(f"{_label(column)} takes a number.", _what_works(column), field=column.name)
    try:
        number = float(value)
    except OverflowError:  # a whole number longer than any float
        number = math.inf
    if not math.isfinite(number):
        raise OutOfRange(f"{_label(column)} must be a finite number.", _what_works(column), field=column.name)
    if not column.within(number):
        raise OutOfRange(f"{_label(column)} is {plain(number)}.", f"It must be {column.limits()}.", field=column.name)
    return number + 0.0  # -0.0 becomes 0.0


def _check_whole(column: Column, value: Any) -> int:
    number = _check_number(column, value)
    if number != int(number):
        raise BadInput(f"{_label(column)} is {plain(number)}.", "It must be a whole number.", field=column.name)
    return int(number)


def _check_time(column: Column, value: Any) -> datetime:
    if not isinstance(value, datetime) or value.utcoffset() is None:
        raise BadInput(
            f"{_label(column)} takes a time with its offset from UTC.",
            _what_works(column),
            field=column.name,
        )
    _check_year(column, value)
    return value


def _check_day(column: Column, value: Any) -> date:
    if isinstance(value, datetime):
        return _check_time(column, value)
    if not isinstance(value, date):
        raise BadInput(f"{_label(column)} takes a date.", _what_works(column), field=column.name)
    _check_year(column, value)
    return value


def _check_year(column: Column, value: date) -> None:
    if not clock.is_possible_date(value):
        raise OutOfRange(
            f"{_label(column)} lies in the year {value.year}.",
            f"Give a year from {clock.FIRST_YEAR} to {clock.LAST_YEAR}.",
            field=column.name,
        )


def _check_word(column: Column, value: Any) -> str:
    if column.names and value not in column.words:
        return _check_code(column, value)  # whether it is declared is asked of the record
    if value not in column.words:
        raise BadInput(
            f"{_label(column)} cannot be '{value}'.",
            _what_works(column),
            field=column.name,
        )
    return str(value)


def _check_yesno(column: Column, value: Any) -> bool:
    if not isinstance(value, bool):
        raise BadInput(f"{_label(column)} takes yes or no.", _what_works(column), field=column.name)
    return value


_CHECKS: dict[str, Callable[[Column, Any], Any]] = {
    "code": _check_code,
    "text": _check_text,
    "number": _check_number,
    "whole": _check_whole,
    "time": _check_time,
    "day": _check_day,
    "word": _check_word,
    "yesno": _check_yesno,
}


def check_row(table: Table, row: Any) -> dict[str, Any]:
    """All values of a row as they will be kept, checked one by one and together."""
    values = {column.name: check_value(column, getattr(row, column.name)) for column in table.columns}
    check_together(table, values)
    return values


def check_together(table: Table, values: dict[str, Any]) -> None:
    """What must hold between the columns of one row."""
    for name, reason in table.contradictions(values.__getitem__):
        remedy = "Name just one." if name in table.one_of else "Correct one of them."
        raise BadInput(f"{capitalize_first(reason)}.", remedy, field=name)


def encode_value(column: Column, value: Any) -> dict[str, Any]:
    """Database values of one checked value; references are left to the caller."""
    if column.kind == "code":
        return {column.name: value, f"{column.name}_fold": fold_name(value)}
    if column.kind in ("time", "day"):
        text, offset = _store_time(value)
        return {column.name: text, f"{column.name}_offset": offset}
    return {column.name: value}


def _store_time(value: date | None) -> tuple[str | None, int | None]:
    if isinstance(value, datetime):
        return store_stamp(value)
    return value.isoformat() if value else None, None


def encode_column(column: Column, values: Sequence[Any]) -> dict[str, Sequence[Any]]:
    """Database columns of one checked column that is no reference: `encode_value` of each value."""
    if column.kind == "code":
        return {column.name: values, f"{column.name}_fold": list(map(fold_name, values))}
    if column.kind in ("time", "day"):
        pairs = [_store_time(value) for value in values]
        return {column.name: [text for text, _ in pairs], f"{column.name}_offset": [offset for _, offset in pairs]}
    return {column.name: values}


def kept_values(table_name: str, text: str) -> dict[str, Any]:
    """What the history kept of a row; a column that came with a later schema held nothing then."""
    held: dict[str, Any] = json.loads(text)
    return dict.fromkeys(db_table(table_name).columns.keys()) | held


@cache
def row_selection(name: str) -> tuple[sa.Select[Any], Callable[[Any], Any]]:
    """A select of all columns of a table with references as codes, and the maker of rows."""
    table, base = TABLES[name], db_table(name)
    source: sa.FromClause = base
    wanted: list[Any] = []
    readers: list[tuple[str, int, str]] = []
    for column in table.columns:
        at = len(wanted)
        if column.refers:
            other = db_table(column.refers).alias(f"{column.name}_of")
            source = source.outerjoin(other, base.c[f"{column.name}_id"] == other.c.id)
            code = TABLES[column.refers].code
            assert code is not None
            wanted.append(other.c[code].label(column.name))
            readers.append((column.name, at, "plain"))
        elif column.kind in ("time", "day"):
            wanted.extend((base.c[column.name], base.c[f"{column.name}_offset"]))
            readers.append((column.name, at, "stamp"))
        else:
            wanted.append(base.c[column.name])
            readers.append((column.name, at, "plain"))
    stamps = [(column, at) for column, at, kind in readers if kind == "stamp"]
    others = [(column, at) for column, at, kind in readers if kind == "plain"]

    def make(record: Any) -> Any:
        values = {column: record[at] for column, at in others}
        for column, at in stamps:
            text = record[at]
            values[column] = None if text is None else load_time(text, record[at + 1])
        return table.row(**values)

    return sa.select(*wanted).select_from(source), make


def load_columns(name: str, held: Sequence[Sequence[Any]]) -> dict[str, list[Any]]:
    """Columns of a table by their names, from all that its `row_selection` selects."""
    columns: dict[str, list[Any]] = {}
    parts = iter(held)
    for column in TABLES[name].columns:
        values = list(next(parts, ()))
        if column.kind in ("time", "day"):
            offsets = next(parts, ())
            values = [
                None if text is None else load_time(text, offset) for text, offset in zip(values, offsets, strict=True)
            ]
        columns[column.name] = values
    return columns
