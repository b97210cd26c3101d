"""What an act asks a lab before it is written: the names it holds, and which questions were answered before."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from claybench.errors import Question
from claybench.quantity.shown import natural_key
from claybench.record.lab import Lab
from claybench.terms import TABLES, BatchEvent, SlabEvent, answered_facts, as_fact
from claybench.terms.naming import Names


def names_held(lab: Lab, *tables: str) -> dict[str, Names]:
    """The codes of these tables by the table's name, with what they were called before."""
    with lab.reading() as record:
        return {name: record.names(TABLES[name].row) for name in tables}


def codes_held(lab: Lab, table: str) -> tuple[str, ...]:
    """Every code of one table, in the order in which people count."""
    with lab.reading() as record:
        return tuple(sorted(record.codes(TABLES[table].row), key=natural_key))


def row_named(lab: Lab, kind: type[Any], code: str) -> Any:
    """The row with this code, of the row type `kind`; `NotFound` where there is none."""
    with lab.reading() as record:
        return record.one(kind, code)


def unanswered(lab: Lab, questions: Iterable[Question]) -> list[Question]:
    """The questions that nobody has answered yet, in their order."""
    left = list(questions)
    about = {each.about for each in left if each.about and each.fact}
    if not about:
        return left
    held: dict[str, set[str]] = {}
    with lab.reading() as record:
        for code in about:
            of_slab = (row.note for row in record.rows(SlabEvent, slab=code, event="note"))
            of_batch = (line.note for line in record.rows(BatchEvent, batch=code, event="note"))
            held[code] = {fact for note in (*of_slab, *of_batch) for fact in answered_facts(note)}
    return [each for each in left if not each.fact or as_fact(each.fact) not in held.get(each.about, ())]
