"""Random programs of acts: undoing gives back exactly what was, redoing exactly what had been."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager, suppress
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings, strategies as st

from claybench.errors import ClaybenchError
from claybench.record.act import Writer
from claybench.record.history import last_redoable, last_undoable, list_acts
from claybench.record.lab import Lab
from claybench.record.schema import db_table
from claybench.record.undoing import undo_act
from claybench.terms import Body, BodyLine, DeclaredProperty, Family, Material, Measurement, PropertyInput
from claybench.work.any_row import redo_last, undo_last

pytestmark = pytest.mark.slow

Fresh = Callable[[], AbstractContextManager[Lab]]
State = dict[str, list[tuple[Any, ...]]]

NAMES = ("a", "b", "c", "A")
AT = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
SHOWN = (
    *("families", "materials", "bodies", "body_lines", "retired_codes"),
    *("properties", "property_inputs", "readings"),
)
EXAMPLES = settings(max_examples=settings().max_examples // 5, suppress_health_check=[HealthCheck.too_slow])
"""A share of the profile's: each makes a lab of its own, on a server too."""


def _add_family(act: Writer, one: str, other: str, at: int) -> None:
    act.add(Family(family=one))


def _add_body(act: Writer, one: str, other: str, at: int) -> None:
    parent = other if act.find(Body, other) else None
    family = one if act.find(Family, one) else None
    act.add(Body(body=one, parent=parent, family=family))


def _add_line(act: Writer, one: str, other: str, at: int) -> None:
    if act.find(Material, other) is None:
        act.add(Material(material=other))
    act.add(BodyLine(body=one, position=at, material=other, parts=float(at)))


def _recode_body(act: Writer, one: str, other: str, at: int) -> None:
    act.change(Body, one, {"body": f"{other}{at}"})


def _recode_material(act: Writer, one: str, other: str, at: int) -> None:
    act.change(Material, one, {"material": f"{other}{at}", "loi_pct": float(at)})


def _move_body(act: Writer, one: str, other: str, at: int) -> None:
    act.change(Body, one, {"parent": other, "title": f"title {at}"})


def _move_line(act: Writer, one: str, other: str, at: int) -> None:
    act.change(BodyLine, (one, at), {"position": at + 1, "parts": 9.0})


def _swap_lines(act: Writer, one: str, other: str, at: int) -> None:
    act.change(BodyLine, (one, at), {"position": 99})
    act.change(BodyLine, (one, at + 1), {"position": at})
    act.change(BodyLine, (one, 99), {"position": at + 1})


def _renew_lines(act: Writer, one: str, other: str, at: int) -> None:
    for line in act.rows(BodyLine, body=one):
        act.remove(BodyLine, (line.body, line.position))
    _add_line(act, one, other, at)


def _drop_body(act: Writer, one: str, other: str, at: int) -> None:
    act.remove(Body, one, with_dependents=at > 1)


def _drop_family(act: Writer, one: str, other: str, at: int) -> None:
    act.remove(Family, one, with_dependents=at > 1)


def _drop_material(act: Writer, one: str, other: str, at: int) -> None:
    act.remove(Material, one, with_dependents=True)


def _declare(act: Writer, one: str, other: str, at: int) -> None:
    act.add(DeclaredProperty(property=one, of="material", kind="number"))


def _declare_from(act: Writer, one: str, other: str, at: int) -> None:
    own = f"x{at}"
    act.add(DeclaredProperty(property=one, of="material", kind="number", formula=f"{other} * {own}"))
    for place, name in enumerate((other, own)):
        act.add(PropertyInput(property=one, position=place, input=name))


def _read(act: Writer, one: str, other: str, at: int) -> None:
    if act.find(Material, other) is None:
        act.add(Material(material=other))
    what = one if at > 1 else f"x{at}"
    act.add(Measurement(material=other, at=AT + timedelta(minutes=act.count(Measurement)), what=what, value=float(at)))


def _recode_property(act: Writer, one: str, other: str, at: int) -> None:
    act.change(DeclaredProperty, one, {"property": f"{other}{at}"})


def _drop_property(act: Writer, one: str, other: str, at: int) -> None:
    act.remove(DeclaredProperty, one, with_dependents=at > 1)


STEPS = (
    _declare,
    _declare_from,
    _read,
    _recode_property,
    _drop_property,
    _add_family,
    _add_body,
    _add_body,
    _add_line,
    _add_line,
    _recode_body,
    _recode_material,
    _move_body,
    _move_line,
    _swap_lines,
    _renew_lines,
    _drop_body,
    _drop_family,
    _drop_material,
)

step = st.tuples(st.sampled_from(STEPS), st.sampled_from(NAMES), st.sampled_from(NAMES), st.integers(1, 3))
program = st.lists(st.lists(step, min_size=1, max_size=4), min_size=1, max_size=8)


def state(lab: Lab) -> State:
    """All rows with their ids, without what counts the acts themselves."""
    shown: State = {}
    with lab.reading() as record:
        for name in SHOWN:
            base = db_table(name)
            # a retired code is renewed under another number when an act is redone
            left_out = {"act_id", "version"} | ({"id"} if name == "retired_codes" else set())
            wanted = [column for column in base.c if column.name not in left_out]
            rows = record.connection.execute(sa.select(*wanted)).all()
            shown[name] = sorted((tuple(row) for row in rows), key=repr)
    return shown


def perform(lab: Lab, steps: list[tuple[Any, ...]]) -> bool:
    """One act of several steps; whether it left a trace."""
    before = len_acts(lab)
    try:
        with lab.acting("Did it") as act:
            for do, one, other, at in steps:
                do(act, one, other, at)
    except ClaybenchError:
        assert len_acts(lab) == before
        return False
    return len_acts(lab) > before


def len_acts(lab: Lab) -> int:
    with lab.reading() as record:
        return len(list_acts(record, limit=1000))


@EXAMPLES
@given(program)
def test_undo_and_redo_each_act_at_once(fresh_lab: Fresh, program: list[list[tuple[Any, ...]]]) -> None:
    with fresh_lab() as lab:
        for steps in program:
            before = state(lab)
            if not perform(lab, steps):
                assert state(lab) == before
                continue
            after = state(lab)
            with lab.reading() as record:
                done = list_acts(record, limit=1)[0]
            undone = undo_act(lab, done.id)
            assert state(lab) == before
            undo_act(lab, undone.id)
            assert state(lab) == after
            undo_act(lab, done.id)
            assert state(lab) == before
            with lab.reading() as record:
                again = last_redoable(record, lab.bench)
            assert again is not None
            undo_act(lab, again.id)
            assert state(lab) == after


@EXAMPLES
@given(program)
def test_undo_all_the_way_back_and_redo_all_the_way_forth(
    fresh_lab: Fresh, program: list[list[tuple[Any, ...]]]
) -> None:
    with fresh_lab() as lab:
        states = [state(lab)]
        for steps in program:
            if perform(lab, steps):
                states.append(state(lab))
        for wanted in reversed(states[:-1]):
            with lab.reading() as record:
                entry = last_undoable(record, lab.bench)
            assert entry is not None
            undo_act(lab, entry.id)
            assert state(lab) == wanted
        with lab.reading() as record:
            assert last_undoable(record, lab.bench) is None
        for wanted in states[1:]:
            with lab.reading() as record:
                entry = last_redoable(record, lab.bench)
            assert entry is not None
            undo_act(lab, entry.id)
            assert state(lab) == wanted
        with lab.reading() as record:
            assert last_redoable(record, lab.bench) is None


@EXAMPLES
@given(program, st.data())
def test_undoing_any_earlier_act_is_refused_whole_or_can_itself_be_undone(
    fresh_lab: Fresh, program: list[list[tuple[Any, ...]]], data: st.DataObject
) -> None:
    with fresh_lab() as lab:
        for steps in program:
            perform(lab, steps)
        count = len_acts(lab)
        for _ in range(3):
            chosen = data.draw(st.integers(2, count + 1))
            before = state(lab)
            try:
                entry = undo_act(lab, chosen)
            except ClaybenchError:
                assert state(lab) == before
                continue
            undo_act(lab, entry.id)
            assert state(lab) == before


@EXAMPLES
@given(program, st.data())
def test_as_many_steps_back_as_things_were_done_give_the_beginning(
    fresh_lab: Fresh, program: list[list[tuple[Any, ...]]], data: st.DataObject
) -> None:
    """Taking back any act chosen in the history is a thing done: the step back takes that back, not another."""
    with fresh_lab() as lab:
        states = [state(lab)]
        for steps in program:
            if perform(lab, steps):
                states.append(state(lab))
            if len_acts(lab) > 1 and data.draw(st.booleans()):
                with suppress(ClaybenchError):
                    undo_act(lab, data.draw(st.integers(2, len_acts(lab))), chosen=True)
                    states.append(state(lab))
        for wanted in reversed(states[:-1]):
            assert undo_last(lab) is not None
            assert state(lab) == wanted
        assert undo_last(lab) is None
        for wanted in states[1:]:
            assert redo_last(lab) is not None
            assert state(lab) == wanted
        assert redo_last(lab) is None
