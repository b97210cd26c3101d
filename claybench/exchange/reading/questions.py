"""What can be read two ways in someone's table: one question each, in plain words, with its answers as options.

An answer changes the mapping; the screen and the command give it by the same function.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from claybench.errors import BadInput
from claybench.exchange.reading.cell_dates import ORDERS
from claybench.exchange.reading.headings import split_heading, unit_of
from claybench.exchange.reading.mapping import ColumnMapping, TableMapping, check_target
from claybench.exchange.spreadsheet import DECIMALS
from claybench.terms import Column

DECIMAL, DATES, TIME, UNIT, FILL_DOWN, MATERIAL, LEAVE_OUT, COLUMN, SAME, SKIP = (
    "decimal", "dates", "at", "unit", "fill-down", "material", "leave-out", "column", "same", "skip",
)  # fmt: skip
"""Names of the options that answer."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer that is offered."""

    says: str
    """What it comes to, in plain words."""
    name: str
    """The option that gives it."""
    value: str

    @property
    def option(self) -> str:
        """The option as it is written on the command line."""
        return f'--{self.name} "{self.value}"' if re.search(r"[^\w.:-]", self.value) else f"--{self.name} {self.value}"


@dataclass(frozen=True, slots=True)
class TableQuestion:
    """Something about the file as a whole that nothing in it decides."""

    text: str
    """The question, ending in a question mark."""
    answers: tuple[Answer, ...]
    lines: tuple[int, ...] = ()
    """Rows that wait for the answer and are not at fault otherwise."""
    column: str = ""
    """The heading it is about, where it is one."""

    def sentence(self) -> str:
        """The question with every answer and its option."""
        offered = "; ".join(f"{each.says}: {each.option}" for each in self.answers)
        return f"{self.text} ({offered})"


def with_answer(mapping: TableMapping, name: str, value: str, headings: Sequence[str]) -> TableMapping:
    """The mapping with one answer taken.

    Raises
    ------
    BadInput
        An answer that is none, with what would work; `field` names the option.
    """
    if name in (DECIMAL, DATES):
        words = DECIMALS if name == DECIMAL else ORDERS
        if value not in words:
            raise BadInput(f"'{value}' is no answer to --{name}.", f"Write {' or '.join(words)}.", field=f"--{name}")
        return replace(mapping, decimal=value) if name == DECIMAL else replace(mapping, dates=value)
    if name == TIME:
        return replace(mapping, time_of_day=value)
    if name == UNIT:
        return _with_unit(mapping, value, headings)
    if name == SAME:
        typed, sign, meant = value.partition("=")
        if not sign or not typed.strip() or not meant.strip():
            raise BadInput(f"'{value}' is not NAME=NAME.", 'Write it as --same "kaolin B=kaolin".', field="--same")
        return replace(mapping, names={**mapping.names, typed.strip(): meant.strip()})
    if name == COLUMN:
        heading, sign, target = value.rpartition("=")
        if not sign:
            raise BadInput(f"'{value}' is not HEADING=COLUMN.", 'Write it as --column "Top=note".', field="--column")
        column = ColumnMapping(check_target(target.strip(), mapping.kind))
        return mapping.with_column(_heading(heading, headings, name), column)
    if name == SKIP:
        return replace(mapping, skip=tuple(sorted({*mapping.skip, *parse_row_numbers(value)})))
    heading = _heading(value, headings, name)
    if name == LEAVE_OUT:
        return mapping.without(heading)
    if name == FILL_DOWN:
        held = mapping.columns.get(heading)
        if held is None:
            raise BadInput(f"{heading} goes nowhere yet.", "Say first where it goes.", field="--fill-down")
        return mapping.with_column(heading, replace(held, fill_down=True))
    if mapping.kind.wide is None:
        raise BadInput(
            f"A row of {mapping.rows} has no materials in columns.", "Leave --material out.", field="--material"
        )
    bare = split_heading(heading)[0]
    return mapping.with_column(heading, ColumnMapping(mapping.kind.wide[2], name=bare if bare != heading else ""))


def _with_unit(mapping: TableMapping, value: str, headings: Sequence[str]) -> TableMapping:
    """A unit for one column, or for all that have none of their own."""
    heading, sign, typed = value.rpartition("=")
    known = unit_of(typed.strip())
    if known is None:
        raise BadInput(f"'{typed}' is no unit.", "Write one such as in, kg or °F.", field="--unit")
    if sign:
        heading = _heading(heading, headings, UNIT)
        held = mapping.columns.get(heading)
        if held is None:
            raise BadInput(f"{heading} goes nowhere yet.", "Say first where it goes.", field="--unit")
        return mapping.with_column(heading, replace(held, unit=known.sign))
    others = [each for each in mapping.units if (unit := unit_of(each)) and unit.dimension != known.dimension]
    return replace(mapping, units=(*others, known.sign))


def _heading(text: str, headings: Sequence[str], name: str) -> str:
    folded = " ".join(text.split()).casefold()
    found = next((heading for heading in headings if heading.casefold() == folded), "")
    if not found:
        raise BadInput(f"There is no heading '{text}'.", f"The headings are {', '.join(headings)}.", field=f"--{name}")
    return found


def parse_row_numbers(text: str) -> list[int]:
    """Numbers of rows as they are typed.

    >>> parse_row_numbers("7, 12-14")
    [7, 12, 13, 14]
    """
    rows: list[int] = []
    for part in filter(None, (each.strip() for each in re.split(r"[,;]", text))):
        match = re.fullmatch(r"(\d{1,7})(?:\s*[-–]\s*(\d{1,7}))?", part)
        if match is None:
            raise BadInput(f"'{part}' is not the number of a row.", "Write them as 7, 12-14.", field="--skip")
        first, last = int(match.group(1)), int(match.group(2) or match.group(1))
        rows += range(first, min(last, first + 100_000) + 1)
    return rows


def offered_units(column: Column, likely: Sequence[str]) -> tuple[Answer, ...]:
    """Units that the numbers of a column may be in, the record's own last."""
    own = unit_of(column.unit)
    signs = [*likely, *([own.sign] if own is not None and own.sign not in likely else [])]
    return tuple(
        Answer(sign if own is None or sign != own.sign else f"{sign} all the same", UNIT, sign) for sign in signs
    )
