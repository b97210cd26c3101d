"""New names in a table that are near to others: one question for each, before a second thing is made of one."""

from __future__ import annotations

from claybench.exchange.reading.mapping import TableMapping
from claybench.exchange.reading.questions import SAME, Answer, TableQuestion
from claybench.exchange.reading.row_parser import ParsedTable
from claybench.record.read import Reader
from claybench.terms import TABLES
from claybench.terms.naming import MADE_WHEN_NAMED, fold_name, join_with_or


def near_names(record: Reader, parsed: ParsedTable, mapping: TableMapping) -> list[TableQuestion]:
    """A question for each new material or family that is near to one the lab has, or to one further up in the table."""
    answered = {fold_name(typed) for typed in mapping.names}
    out = []
    for table in MADE_WHEN_NAMED:
        names, code = record.names(TABLES[table].row), str(TABLES[table].code)
        listed = {
            row.values[code]: [row.line] for row in parsed.rows.get(table, ()) if not names.spelt(row.values[code])
        }
        named = {name: rows for name, rows in parsed.spelt.get(table, {}).items() if name not in listed}
        every = names.and_also([*listed, *named])
        place = {fold_name(name): n for n, name in enumerate([*listed, *named])}
        for name, rows in {**listed, **named}.items():
            if fold_name(name) in answered:
                continue
            # two that are listed side by side are two; one that is only named may be one further up
            near = names.beside(name) if name in listed else every.beside(name)
            near = tuple(each for each in near if place.get(fold_name(each), -1) < place[fold_name(name)])
            if near:
                out.append(_question(name, near, TABLES[table].noun, tuple(dict.fromkeys(rows))))
    return out


def _question(name: str, near: tuple[str, ...], noun: str, rows: tuple[int, ...]) -> TableQuestion:
    return TableQuestion(
        f"Is '{name}' {join_with_or(near)}, or another {noun}?",
        (
            *(Answer(f"it is {each}", SAME, f"{name}={each}") for each in near),
            Answer("another", SAME, f"{name}={name}"),
        ),
        rows,
    )
