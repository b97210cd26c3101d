"""Where the values of a row come from: columns of the file or constants, read as the mapping says they are written."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import tzinfo
from typing import Any

from claybench import clock, quantity
from claybench.errors import BadInput
from claybench.exchange.reading.cell_dates import order_of, parse_cell_day, parse_cell_moment
from claybench.exchange.reading.cell_values import (
    NOTHING,
    guess_decimal,
    parse_cell_number,
    parse_cell_word,
    parse_cell_yesno,
)
from claybench.exchange.reading.headings import split_heading, unit_of, zone_in
from claybench.exchange.reading.layout import Layout
from claybench.exchange.reading.mapping import ColumnMapping, TableMapping
from claybench.exchange.reading.row_kinds import Target
from claybench.insight.bodies.comparison.firing_heat import cone_text
from claybench.terms import TABLES, Column


class Given(str):
    """A text that holds for every row, in the record's own way of writing."""


class Carried(str):
    """A text that stands above and holds for a row whose cell is empty."""


@dataclass(slots=True)
class Source:
    """What fills one target."""

    target: Target
    columns: list[int] = field(default_factory=list)
    """Numbers of the columns, joined by a blank; a constant where there is none."""
    unit: str = "1"
    fill_down: bool = False
    words: dict[str, str] = field(default_factory=dict)
    constant: Given | None = None
    zone: tzinfo | None = None
    """Zone of its times, where the heading names one."""
    name: str = ""
    """The material, for a column of parts or masses."""
    unsigned: bool = False
    """Whether nothing says the unit of its numbers, so that the record's own is taken."""

    @property
    def want(self) -> str:
        """The unit its numbers are turned into; parts that were weighed are compared in g."""
        by_mass = self.target.column.unit == "1" and self.unit != "1"
        return "g" if by_mass else self.target.column.unit

    def cell_text(self, cells: Sequence[str]) -> str:
        """What a row says."""
        if self.constant is not None and not self.columns:
            return self.constant
        if len(self.columns) == 1:
            return cells[self.columns[0]]
        return " ".join(cells[number].strip() for number in self.columns).strip()


@dataclass(slots=True)
class Sources:
    """All of them for one file."""

    plain: dict[str, Source]
    """By target."""
    wide: list[Source]
    """Columns of one material each."""
    decimal: str
    dates: str
    zone: tzinfo
    time_of_day: str
    missing: frozenset[str]

    def says_nothing(self, column: Column, text: str) -> bool:
        """Whether a number, a date or a reference is only a mark for one that is missing; a text is what it is."""
        if isinstance(text, Given) or column.kind == "text":
            return False
        folded = text.strip().casefold()
        asked = column.kind in ("number", "whole", "time", "day") or bool(column.refers)
        return folded in self.missing or (asked and folded in NOTHING)

    def read(self, source: Source, column: Column, text: str) -> Any:
        """The value of a cell; BadInput says what would work."""
        if isinstance(text, Given):
            return self._given(column, text)
        tidy = text.strip()
        if not tidy or self.says_nothing(column, tidy):
            return None
        if column.kind in ("number", "whole"):
            number = parse_cell_number(tidy, self.decimal, source.unit, source.want)
            return int(number) if column.kind == "whole" and number.is_integer() else number
        if column.kind == "time":
            return parse_cell_moment(tidy, self.dates, source.zone or self.zone, self.time_of_day)
        if column.kind == "day":
            return parse_cell_day(tidy, self.dates, source.zone or self.zone)
        folded = " ".join(tidy.casefold().replace("_", " ").split())
        if column.kind == "word":
            return parse_cell_word(column, tidy, source.words)
        if column.kind == "yesno":
            return parse_cell_yesno(tidy, source.words)
        if column is TABLES["firings"]["cone"]:
            text = cone_text(text)
        return source.words.get(folded, tidy if column.kind == "code" else text)

    def _given(self, column: Column, text: Given) -> Any:
        if column.kind in ("number", "whole"):
            number = (
                quantity.parse_number(text) if column.unit == "1" else quantity.parse_quantity(text, column.unit).value
            )
            return int(number) if column.kind == "whole" and number.is_integer() else number
        if column.kind == "time":
            return parse_cell_moment(text, "", self.zone, self.time_of_day)
        if column.kind == "day":
            return parse_cell_day(text, "", self.zone)
        if column.kind == "word":
            return parse_cell_word(column, text, {})
        if column.kind == "yesno":
            return parse_cell_yesno(text, {})
        return str(text)


def sources_of(layout: Layout, mapping: TableMapping, zone: tzinfo) -> Sources:
    """What fills what.

    Raises
    ------
    BadInput
        A heading that the file has not got, a unit of another kind, a zone that is none; `field` names the heading.
    """
    targets = mapping.kind.targets()
    plain: dict[str, Source] = {}
    wide: list[Source] = []
    spread = mapping.kind.wide[2] if mapping.kind.wide else ""
    for heading, to in mapping.columns.items():
        number = _place(heading, layout)
        target = targets[to.to]
        unit, unsigned = _unit(heading, to, target, layout.units.get(number, ""), mapping.units)
        words = {" ".join(typed.casefold().replace("_", " ").split()): word for typed, word in to.words.items()}
        if to.to == spread:
            name = to.name or split_heading(heading)[0]
            wide.append(Source(target, [number], unit, to.fill_down, words, name=name, unsigned=unsigned))
        elif to.to in plain:
            if target.column.kind not in ("time", "day"):
                both = [layout.headings[n] for n in (*plain[to.to].columns, number)]
                raise BadInput(
                    f"{' and '.join(both)} both go to {to.to}.",
                    "Only a date and its time share a column.",
                    field=heading,
                )
            plain[to.to].columns = sorted([*plain[to.to].columns, number])  # a date stands before its time
        else:
            named = zone_in(heading) if target.column.kind in ("time", "day") and not mapping.zone else ""
            zoned = clock.parse_zone(named) if named else None
            plain[to.to] = Source(target, [number], unit, to.fill_down, words, zone=zoned, unsigned=unsigned)
    if len({source.unit == "1" for source in wide}) > 1:
        bare = next(source for source in wide if source.unit == "1")
        raise BadInput(
            "Some columns of materials name a unit of mass, and others none.",
            "Say the unit of this one, or leave it out.",
            field=layout.headings[bare.columns[0]],
        )
    for name, text in {**mapping.kind.always, **mapping.constants}.items():
        if name not in plain:
            plain[name] = Source(targets[name], constant=Given(text))
    return Sources(
        plain,
        wide,
        mapping.decimal or _decimal(layout, [*plain.values(), *wide]),
        mapping.dates or _dates(layout, plain),
        clock.parse_zone(mapping.zone) if mapping.zone else zone,
        _time_of_day(mapping.time_of_day),
        frozenset(each.strip().casefold() for each in mapping.missing),
    )


def _time_of_day(text: str) -> str:
    if text:
        try:
            clock.parse_time_of_day(text)
        except BadInput as error:
            raise BadInput(error.reason, error.remedy, field="time_of_day") from error
    return text


def _place(heading: str, layout: Layout) -> int:
    if heading in layout.headings:
        return layout.headings.index(heading)
    near = difflib.get_close_matches(heading, layout.headings, n=1)
    raise BadInput(
        f"There is no heading '{heading}' in row {layout.heading_row}.",
        f"Perhaps '{near[0]}' is meant." if near else f"The headings are {', '.join(layout.headings)}.",
        field=heading,
    )


def _unit(heading: str, to: ColumnMapping, target: Target, under: str, said: Sequence[str]) -> tuple[str, bool]:
    """The unit said for the column, else the heading's or the one under it, else the one said for all of its kind, else
    the record's own; and whether it is only the last."""
    want = target.column.unit
    if target.column.kind not in ("number", "whole"):
        return want, False
    own, named = unit_of(want), split_heading(heading)[1] or under
    if want == "1" and not to.unit:
        weighed = unit_of(named) if named and target.name == "parts" else None
        return ("1" if weighed is None or weighed.dimension != "mass" else weighed.sign), False
    if to.unit:
        known = unit_of(to.unit)
        if known is None or own is None or known.dimension != own.dimension:
            offered = ", ".join(quantity.units_for(want)) or "nothing: it is a plain number"
            raise BadInput(f"'{to.unit}' is no unit for {target.column.label}.", f"Write {offered}.", field=heading)
        return known.sign, False
    if named and own is not None:
        known = unit_of(named)
        if known is None or known.dimension != own.dimension:
            raise BadInput(
                f"Its numbers are in {named}, and the {target.column.label} is in {own.sign}.",
                f"Let the column go elsewhere, or say its unit: {', '.join(quantity.units_for(want))}.",
                field=heading,
            )
        return known.sign, False
    for each in said:
        known = unit_of(each)
        if known is not None and own is not None and known.dimension == own.dimension:
            return known.sign, False
    return quantity.canonical_unit(want), True


def _decimal(layout: Layout, sources: Sequence[Source]) -> str:
    cells = [
        cells[number]
        for source in sources
        if source.target.column.kind in ("number", "whole")
        for number in source.columns
        for _, cells in layout.rows
    ]
    return guess_decimal(cells)


def _dates(layout: Layout, plain: dict[str, Source]) -> str:
    cells = [
        cells[number]
        for source in plain.values()
        if source.target.column.kind in ("time", "day")
        for number in source.columns
        for _, cells in layout.rows
    ]
    return order_of(cells)


def unit_hint(column: Column, figure: Any) -> str:
    """A unit in which a figure is usual for a column where it is not in the record's own; empty where none is.

    >>> unit_hint(TABLES["firings"]["peak_temp_c"], 2230)
    ' In °F it would be usual.'
    """
    if not isinstance(figure, int | float) or column.unit == "1" or column.usual == (None, None):
        return ""
    if column.is_usual(figure):
        return ""
    others = (unit for unit in quantity.units_for(column.unit) if unit != quantity.canonical_unit(column.unit))
    likely = [unit for unit in others if column.is_usual(quantity.convert_unit(figure, unit, column.unit))]
    return f" In {likely[0]} it would be usual." if likely else ""
