"""Acts on runs: pouring a layer, touching it, lifting it off."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from claybench.errors import BadInput, Question, Refused
from claybench.record.act import Writer
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Check, Run, Slab
from claybench.work.any_row import keep_answers, make_named, refuse_contradiction


def start_run(
    lab: Lab, run: Run, *, body: str | None = None, family: str | None = None, answered: Sequence[Question] = ()
) -> None:
    """A layer poured. A batch that is not in the record yet is made by name, with its body and family,
    when the slip is waiting: weights and lots are filled in later. `answered` are the questions it was poured
    in spite of."""
    with lab.acting(f"Poured {run.run} on slab {run.slab}") as act:
        act.one(Slab, run.slab)
        if act.find(Batch, run.batch) is None:
            _name_batch(act, run, body, family)
        act.add(run)
        keep_answers(act, answered, run.started_at)


def _name_batch(act: Writer, run: Run, body: str | None, family: str | None) -> None:
    if body is None:
        raise BadInput(
            f"There is no batch '{run.batch}'.", "Name its body too, and it is made on the way.", field="body"
        )
    make_named(act, families=[family])
    if act.find(Body, body) is None:
        act.add(Body(body=body, family=family))
    act.add(Batch(batch=run.batch, body=body, made="slip", mixed_at=run.started_at))


def add_check(
    lab: Lab,
    run: str,
    feel: str,
    *,
    at: datetime,
    action: str | None = None,
    penetration_mm: float | None = None,
    note: str | None = None,
) -> None:
    """A touch of the layer, with how it felt."""
    with lab.acting(f"{run} felt {feel}") as act:
        check = Check(run=run, at=at, feel=feel, action=action, penetration_mm=penetration_mm, note=note)
        refuse_contradiction(act, check)
        act.add(check)


def lift_off(
    lab: Lab,
    run: str,
    outcome: str,
    *,
    at: datetime,
    clay_off_g: float | None = None,
    slab_after_g: float | None = None,
    wedged_on: str | None = None,
) -> None:
    """The layer lifted off: what came of it, the clay's mass and the bare slab's."""
    with lab.acting(f"Lifted {run}") as act:
        row = act.one(Run, run)
        if row.outcome is not None:
            raise Refused(f"{run} was lifted already.", "Correct the run instead, or undo the lift.")
        if slab_after_g is not None:
            _refuse_neighbour(act, row, at)
        act.change(
            Run,
            run,
            {
                "outcome": outcome,
                "ended_at": at,
                "clay_off_g": clay_off_g,
                "slab_after_g": slab_after_g,
                "wedged_on": wedged_on,
            },
        )


def _refuse_neighbour(act: Writer, run: Run, at: datetime) -> None:
    beside = [
        other.run
        for other in act.rows(Run, slab=run.slab, outcome=None)
        if other.run != run.run and other.started_at <= at
    ]
    if beside:
        raise Refused(
            f"{beside[0]} still lies on slab {run.slab}, so this is not the mass of the bare slab.",
            "Leave it empty here and enter it with the last lift.",
        )
