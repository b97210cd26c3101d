"""Acts on any row: correcting what stands there, and deleting it; what was there stays in the history."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from claybench import ask, insight, work
from claybench.acts.act import Act, Values
from claybench.acts.field import ActField
from claybench.errors import BadInput, NotFound, Question
from claybench.terms import TABLE_OF, TABLES, Batch, Check, Run, Slab, Table

if TYPE_CHECKING:
    from claybench.record.lab import Lab


def correct_act(row: Any, names: Sequence[str], title: str) -> Act:
    """The act of correcting some columns of one row; only what changes is asked about."""
    kind = type(row)
    table = TABLE_OF[kind]
    key = tuple(getattr(row, name) for name in table.key)

    def changes(values: Values) -> Values:
        return {name: value for name, value in values.items() if value != getattr(row, name)}

    def questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
        return _contradictions(lab, row, changes(values), now)

    def do(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
        changed = changes(values)
        if changed:
            work.any_row.correct_row(lab, kind, key[0] if table.code else key, changed, seen=row, answered=answered)
        return str(values.get(table.code or "", key[0]))

    return Act(
        name="amend",
        title=title,
        fields=tuple(replace(ActField.of_column(kind, name, getattr(row, name)), owns="") for name in names),
        questions=questions,
        do=do,
        first=names[0],
    )


def _contradictions(lab: Lab, row: Any, changes: Values, now: datetime) -> Iterable[Question]:
    """What the row as it would be contradicts, where the change touches it."""
    if not changes:
        return []
    after = replace(row, **changes)
    questions: list[Question] = []
    if isinstance(after, Run):
        if changes.keys() & {"slab", "batch", "poured_g", "layer_mm", "area_cm2", "slip_sg", "started_at"}:
            values = {name: getattr(after, name) for name in TABLE_OF[Run].names}
            with suppress(NotFound):  # its slab cannot be used itself, which is told elsewhere
                questions += ask.where_to_pour.pour_fitness(lab, values, at=after.started_at).reasons
        with lab.reading() as record:
            checks = sorted(record.rows(Check, run=row.run), key=lambda check: check.at)
        if changes.keys() & {"outcome", "clay_off_g", "slab_after_g", "slab_before_g", "poured_g"}:
            questions += insight.contradictions.lift_questions(after, checks, row_values(after))
    elif isinstance(after, Check):
        with lab.reading() as record:
            run = record.one(Run, after.run)
            checks = record.rows(Check, run=after.run)
        questions += insight.contradictions.touch_questions(run, checks, after.feel, after.at, lab.zone, own=row.at)
    elif isinstance(after, Slab):
        questions += insight.contradictions.slab_questions(after)
    elif isinstance(after, Batch):
        questions += insight.contradictions.batch_questions(after)
    touched = {each.field for each in questions} & changes.keys()
    return [each for each in questions if each.about or not each.field or each.field in touched]


def row_values(row: Any) -> dict[str, object]:
    """A row's values by column."""
    return {name: getattr(row, name) for name in TABLE_OF[type(row)].names}


def table_named(kind: str) -> Table:
    """A table by its name or by what one row of it is called."""
    wanted = kind.casefold().replace("-", " ").replace("_", " ")
    for table in TABLES.values():
        if wanted in (table.name.replace("_", " "), table.noun, f"{table.noun}s"):
            return table
    raise BadInput(f"There is no '{kind}' in a lab.", f"Name one of {', '.join(t.noun for t in TABLES.values())}.")


def row_by_words(lab: Lab, table: Table, words: Sequence[str], now: datetime) -> Any:
    """The one row that a key means; a time in it need only be right to the minute."""
    with lab.reading() as record:
        if table.code is not None:
            if len(words) != 1:
                raise BadInput(f"A {table.noun} has one code.", "Name it.", field="key")
            return record.one(table.row, words[0])
        rows = record.rows(table.row)
    wanted = list(words)
    for name in table.key:
        if not wanted:
            break
        column = table[name]
        text = wanted[0]
        if column.kind == "time":
            reading = ActField.of_column(table.row, name).understand(text, now)
            if reading.wrong:
                raise BadInput(reading.wrong, field=name)
            near = [row for row in rows if _same_minute(getattr(row, name), reading.value)]
        else:
            near = [row for row in rows if str(getattr(row, name) or "").casefold() == text.casefold()]
        if near or column.required:
            rows, wanted = near, wanted[1:]
    if len(rows) != 1 or wanted:
        keys = ", ".join(table.key)
        several = f"{len(rows)} rows are" if rows else "No row is"
        raise BadInput(f"{several} meant by {' '.join(words)}.", f"A {table.noun} is named by {keys}.", field="key")
    return rows[0]


def _same_minute(one: datetime, other: datetime) -> bool:
    return one == other or (other.second == 0 and one.replace(second=0, microsecond=0) == other)
