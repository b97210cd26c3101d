"""The comparison: bodies side by side, per firing, with the time to workable over the control's."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from claybench.ask.model import TABLES, model_of
from claybench.ask.snapshot import Snapshot, take
from claybench.errors import BadInput, NotFound
from claybench.insight.comparison import BodyResult, compare, relative_times
from claybench.record import Lab
from claybench.terms import Batch, Body, Fired, Piece


def compare_bodies(lab: Lab, bodies: Sequence[str], *, as_of: datetime | None = None) -> list[BodyResult]:
    """Two or more bodies (or one) side by side; order as given, doubles once."""
    if not bodies:
        raise BadInput("No body is named.", "Name the bodies to compare, as in: claybench compare W-01 W-02.")
    return compared(lab, take(lab, *TABLES, Piece, Fired, as_of=as_of), bodies)


def compared(lab: Lab, snapshot: Snapshot, bodies: Sequence[str]) -> list[BodyResult]:
    """The same from a snapshot that is taken already."""
    known = {body.body.casefold(): body for body in snapshot.rows(Body)}
    missing = [code for code in bodies if code.casefold() not in known]
    if missing:
        with lab.reading() as record:
            record.one(Body, missing[0])
        raise NotFound(f"There is no body '{missing[0]}'.", "See the list of bodies.")
    wanted = list({code.casefold(): known[code.casefold()] for code in bodies}.values())
    model = model_of(snapshot)
    return compare(
        [body.body for body in wanted],
        snapshot.rows(Piece),
        snapshot.rows(Fired),
        snapshot.rows(Batch),
        relative_times(model, wanted, snapshot.rows(Body)),
    )
