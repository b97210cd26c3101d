"""New names in a table that are near to others: one question for each, before a second thing is made of one."""

from __future__ import annotations

from claybench.exchange.reading.mapping import TableMapping
from claybench.exchange.reading.questions import SAME, Answer, TableQuestion
from claybench.exchange.reading.row_parser import ParsedTable
from claybench.record.read import Reader
from claybench.terms import TABLES
from claybench.terms.naming import fold_name, join_with_or


def near_names(record: Reader, parsed: ParsedTable, mapping: TableMapping) -> list[TableQuestion]:
    """A question for each new material or family that is near to one the lab has, or to one further up in the table."""
    answered = {fold_name(typed) for typed in mapping.names}
    out = []
    for table, lines in parsed.spelt.items():
        noun, names = TABLES[table].noun, record.names(TABLES[table].row)
        listed = [row.values[str(TABLES[table].code)] for row in parsed.rows.get(table, ())]
        brought = list(dict.fromkeys([*listed, *lines]))
        every = names.and_also(name for name in brought if not names.spelt(name))
        place = {fold_name(name): n for n, name in enumerate(brought)}
        for name, rows in lines.items():
            if fold_name(name) in answered or fold_name(name) in {fold_name(each) for each in listed}:
                continue
            own = place[fold_name(name)]
            near = [each for each in every.beside(name) if place.get(fold_name(each), -1) < own]
            if near:
                out.append(
                    TableQuestion(
                        f"Is '{name}' {join_with_or(near)}, or another {noun}?",
                        (
                            *(Answer(f"it is {each}", SAME, f"{name}={each}") for each in near),
                            Answer("another", SAME, f"{name}={name}"),
                        ),
                        tuple(dict.fromkeys(rows)),
                    )
                )
    return out
