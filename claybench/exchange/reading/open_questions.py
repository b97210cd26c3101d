"""What nothing in a file decides, found before its rows are read: marks, units, columns, empty cells."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from claybench.errors import BadInput
from claybench.exchange.reading.cell_dates import has_time_of_day, is_undecided_date
from claybench.exchange.reading.cell_values import bare_number, is_undecided, parse_cell_number
from claybench.exchange.reading.headings import content_of, likely_targets
from claybench.exchange.reading.layout import Layout, sort_materials
from claybench.exchange.reading.mapping import TableMapping
from claybench.exchange.reading.material_columns import plain_number
from claybench.exchange.reading.questions import (
    COLUMN,
    DATES,
    DECIMAL,
    FILL_DOWN,
    LEAVE_OUT,
    MATERIAL,
    TIME,
    UNIT,
    Answer,
    TableQuestion,
    offered_units,
)
from claybench.exchange.reading.row_kinds import RowKind
from claybench.exchange.reading.value_sources import Source, Sources
from claybench.quantity import convert_unit
from claybench.quantity.plausible import usual_text
from claybench.quantity.shown import plain
from claybench.quantity.units import find_unit
from claybench.terms import Column
from claybench.terms.naming import fold_name, join_with_or

_LIKELY = {"length": ("cm", "in"), "mass": ("kg", "lb", "oz"), "temperature": ("°F",)}
"""Units that people keep without writing them down."""
_MOSTLY = 0.8
"""Share of a column's numbers that have to be usual in a unit for it to be likely."""
_GAPS = 0.2
"""Share of the rows that have to be empty in a column before its empty cells are asked about."""
Rows = Sequence[tuple[int, tuple[str, ...]]]


def open_questions(
    layout: Layout, rows: Rows, mapping: TableMapping, sources: Sources, held: frozenset[str]
) -> list[TableQuestion]:
    """Every question about the file as a whole; `rows` are those that are read, `held` the lab's materials, folded."""
    return [
        *_decimal(rows, sources),
        *_dates(rows, sources),
        *_times(rows, mapping, sources),
        *_empty_cells(layout, rows, mapping, sources),
        *_materials(layout, rows, mapping, held),
        *_columns(layout, rows, mapping),
        *_units(layout, rows, mapping.kind, sources),
    ]


def _cells(rows: Rows, sources: Sources, kinds: tuple[str, ...]) -> Iterator[tuple[int, str]]:
    for source in (*sources.plain.values(), *sources.wide):
        if source.target.column.kind in kinds:
            for column in source.columns:
                yield from ((line, cells[column].strip()) for line, cells in rows if cells[column].strip())


def _decimal(rows: Rows, sources: Sources) -> Iterator[TableQuestion]:
    if sources.decimal:
        return
    typed = next((cell for _, cell in _cells(rows, sources, ("number", "whole")) if is_undecided(cell)), "")
    if not typed:
        return
    number = bare_number(typed)
    mark = "," if "," in number else "."
    whole, part = number.replace(mark, ""), number.replace(mark, ".")
    word, other = ("comma", "point") if mark == "," else ("point", "comma")
    yield TableQuestion(
        f"Is {typed} {part} or {plain(float(whole))}?",
        (Answer(f"{part}", DECIMAL, word), Answer(f"{plain(float(whole))}", DECIMAL, other)),
    )


def _dates(rows: Rows, sources: Sources) -> Iterator[TableQuestion]:
    if sources.dates:
        return
    typed = next((cell for _, cell in _cells(rows, sources, ("time", "day")) if is_undecided_date(cell)), "")
    if typed:
        yield TableQuestion(
            f"In {typed}, which comes first, the day or the month?",
            (Answer("the day", DATES, "day first"), Answer("the month", DATES, "month first")),
        )


def _times(rows: Rows, mapping: TableMapping, sources: Sources) -> Iterator[TableQuestion]:
    for source in sources.plain.values():
        if source.target.column.kind != "time" or not source.columns or mapping.time_of_day:
            continue
        texts = [text for _, cells in rows if (text := source.cell_text(cells).strip())]
        if texts and not any(has_time_of_day(text) for text in texts):
            yield TableQuestion(
                f"The {source.target.column.label} has dates alone, such as {texts[0]}: at which hour are they taken?",
                (Answer("at noon", TIME, "12:00"), Answer("at the beginning of the day", TIME, "08:00")),
            )


def _empty_cells(layout: Layout, rows: Rows, mapping: TableMapping, sources: Sources) -> Iterator[TableQuestion]:
    table = mapping.kind.table
    for source in sources.plain.values():
        column = source.target.column
        needed = source.target.table == table.name and column.required and column.name != table.code
        if not needed or not source.columns or not rows:
            continue
        number = source.columns[0]
        heading = layout.headings[number]
        if mapping.columns[heading].fill_down or not rows[0][1][number].strip():
            continue
        empty = [line for line, cells in rows if not cells[number].strip()]
        if empty and len(empty) >= _GAPS * len(rows):
            said = f"row {empty[0]}" if len(empty) == 1 else f"{len(empty)} rows, the first of them row {empty[0]},"
            yield TableQuestion(
                f"{heading} is empty in {said}: is it what stands above?",
                (Answer("yes", FILL_DOWN, heading),),
                column=heading,
            )


def _materials(layout: Layout, rows: Rows, mapping: TableMapping, held: frozenset[str]) -> Iterator[TableQuestion]:
    if not mapping.guessed or mapping.kind.wide is None:
        return
    asked = sort_materials(layout, mapping, held).asked
    if not asked:
        return
    names = [layout.headings[number] for number in asked]
    waiting = tuple(line for line, cells in rows if any(plain_number(cells[number]) for number in asked))
    first = names[0]
    text = (
        f"{join_with_or(names)}: is it a material" if len(names) == 1 else f"Is each of {', '.join(names)} a material"
    )
    yield TableQuestion(
        f"{text}, or something else?",
        (
            Answer("it is one", MATERIAL, first),
            *(Answer("it is none" if len(names) == 1 else f"{name} is none", LEAVE_OUT, name) for name in names[:3]),
        ),
        waiting,
        first,
    )


def _columns(layout: Layout, rows: Rows, mapping: TableMapping) -> Iterator[TableQuestion]:
    """Columns that go nowhere, where something that nothing fills yet could be meant: by their words, or because they
    hold dates or numbers and the record has a place for some."""
    if not mapping.guessed:
        return
    filled = {to.to for to in mapping.columns.values()} | set(mapping.constants)
    asked = sort_materials(layout, mapping, ()).asked
    for number, heading in enumerate(layout.headings):
        cells = [cells[number] for _, cells in rows]
        if heading in mapping.columns or heading in mapping.left_out or number in asked:
            continue
        likely = likely_targets(heading, content_of(cells), mapping.kind, layout.units.get(number, ""), filled)
        if not likely:
            continue
        labels = [mapping.kind.targets()[each].column.label for each in likely]
        answers = (
            Answer(f"the {label}", COLUMN, f"{heading}={each}") for label, each in zip(labels, likely, strict=True)
        )
        yield TableQuestion(
            f"{heading} goes nowhere yet: is it the {join_with_or(labels)}, or none of the record's?",
            (*answers, Answer("none", LEAVE_OUT, heading)),
            tuple(line for line, cells in rows if cells[number].strip()),
            heading,
        )


def _units(layout: Layout, rows: Rows, kind: RowKind, sources: Sources) -> Iterator[TableQuestion]:
    """Numbers without a unit of which most can hardly be in the record's own, and may be in another."""
    unsigned: dict[str, list[Source]] = defaultdict(list)
    for source in (*sources.plain.values(), *sources.wide):
        known = find_unit(source.target.column.unit) if source.unsigned and source.columns else None
        if known is not None:
            unsigned[known.dimension].append(source)
    yield from _shares(layout, rows, sources, unsigned.pop("share", []))
    for dimension, every in unsigned.items():
        wide = [each for each in every if each in sources.wide]
        groups = [*([each] for each in every if each not in wide), *([wide] if wide else [])]
        looked = [(group, *_range_and_values(rows, kind, sources, group)) for group in groups]
        odd = [each for each in looked if each[2] and _usual_share(each[1], each[2], each[1].unit) < 0.5]
        likely = [
            unit
            for unit in _LIKELY.get(dimension, ())
            if all(_usual_share(column, values, unit) >= _MOSTLY for _, column, values in odd)
        ]
        if not odd or not likely:
            continue
        _, column, values = odd[0]
        names = [layout.headings[number] for each, _, _ in odd for source in each for number in source.columns]
        lines = tuple(
            line for line, cells in rows
            if any(_bare(cells[number], sources) is not None for source in every for number in source.columns)
        )  # fmt: skip
        yield TableQuestion(
            f"{', '.join(names)}: no unit stands with these numbers, and {plain(values[0])} can hardly be in "
            f"{every[0].unit} ({usual_text(*column.usual, column.unit)}). In which unit are they?",
            offered_units(column, likely),
            lines,
            names[0],
        )


def _shares(layout: Layout, rows: Rows, sources: Sources, every: Sequence[Source]) -> Iterator[TableQuestion]:
    """Percentages without a sign that are all below one: they may be shares of one."""
    for source in every:
        number = source.columns[0]
        values = [value for _, cells in rows if (value := _bare(cells[number], sources)) is not None]
        if len(values) > 1 and 0 < max(values) < 1:
            yield TableQuestion(
                f"{layout.headings[number]} is below one in every row, such as {plain(values[0])}: are these per cent, "
                "or shares of one, which have to be written as per cent first?",
                (
                    Answer("per cent", UNIT, f"{layout.headings[number]}=%"),
                    Answer("leave it out", LEAVE_OUT, layout.headings[number]),
                ),
                tuple(line for line, cells in rows if _bare(cells[number], sources) is not None),
                layout.headings[number],
            )


def _range_and_values(
    rows: Rows, kind: RowKind, sources: Sources, group: Sequence[Source]
) -> tuple[Column, list[float]]:
    """The column whose usual range holds for a group of sources, and its numbers; materials are taken together."""
    if group[0] not in sources.wide or not kind.whole:
        (first, *_) = group
        number = first.columns[0]
        return first.target.column, [value for _, cells in rows if (value := _bare(cells[number], sources)) is not None]
    sums = []
    for _, cells in rows:
        values = [value for each in group if (value := _bare(cells[each.columns[0]], sources)) is not None]
        if values:
            sums.append(sum(values))
    return kind.table[kind.whole], sums


def _usual_share(column: Column, values: Sequence[float], unit: str) -> float:
    """The share of some numbers that are usual for a column if they are in a unit."""
    turned = [convert_unit(value, unit, column.unit) for value in values]
    return sum(column.within(value) and column.is_usual(value) for value in turned) / len(turned)


def _bare(text: str, sources: Sources) -> float | None:
    """A number that names no unit."""
    tidy = text.strip()
    if not tidy or not tidy[-1:].isdigit():
        return None
    try:
        return parse_cell_number(tidy, sources.decimal, "1", "1")
    except BadInput:
        return None


def folded_names(names: Sequence[str]) -> frozenset[str]:
    """Names as headings are held against them."""
    return frozenset(fold_name(name) for name in names)
