"""Acts on what is seen of pieces and clay: faults, a piece's end, and pictures."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from claybench import clock, work
from claybench.acts.act import Act, Values, enters
from claybench.acts.field import ActField
from claybench.acts.pieces import firing_offers
from claybench.errors import BadInput, Question
from claybench.terms import FaultSeen, Photo, Piece

if TYPE_CHECKING:
    from claybench.record.lab import Lab


def _see_fault(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    work.pieces.see_fault(lab, FaultSeen(**values))
    return str(values.get("piece") or values.get("run"))


_FAULT_FIELDS = (
    ActField.of_column(FaultSeen, "fault", "none", required=True),
    ActField.of_column(FaultSeen, "firing", note="empty before any firing"),
    ActField.of_column(FaultSeen, "count"),
    ActField.of_column(FaultSeen, "seen_on", text="today", option="on"),
    ActField.of_column(FaultSeen, "note"),
)
FAULT = Act(
    name="fault",
    title="Looked at {piece}",
    given=("piece", "fault"),
    fields=(ActField.of_column(FaultSeen, "piece", required=True), *_FAULT_FIELDS),
    offers=firing_offers,
    do=_see_fault,
    first="fault",
)
CLAY_FAULT = Act(
    name="clay-fault",
    title="Found in the clay of {run}",
    given=("run", "fault"),
    fields=(
        ActField.of_column(FaultSeen, "run", required=True),
        replace(_FAULT_FIELDS[0], text="plaster_found"),
        *(each for each in _FAULT_FIELDS[2:]),
    ),
    do=_see_fault,
    note="t on the run's page then goes back to its slab and board, and forward to what shares the cause.",
)


def _end_piece(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    day = values["ended_at"]
    work.pieces.end_piece(
        lab,
        values["piece"],
        values["ended"],
        on=day if isinstance(day, date) else clock.in_zone(lab.now(), lab.zone).date(),
    )
    return str(values["piece"])


END = Act(
    name="end",
    title="{piece} is out of the test",
    given=("piece", "ended"),
    fields=(
        ActField.of_column(Piece, "piece", owns=""),
        ActField.of_column(Piece, "ended", "broken", required=True),
        ActField.of_column(Piece, "ended_at", text="today", option="on"),
    ),
    do=_end_piece,
)


def _photo_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    from pathlib import Path

    named = values.get("file")
    if named and not Path(named).is_file():
        yield Question("no_file", f"There is no file {named} from here; its name would be kept all the same.", "file")
    if sum(bool(values.get(name)) for name in ("piece", "body", "slab")) != 1:
        raise BadInput("A photo belongs to one piece, body or slab.", "Name one of them.", field="piece")


PHOTO = Act(
    name="photo",
    title="A photo of {piece}{body}{slab}",
    given=("file",),
    fields=(
        ActField.of_column(Photo, "file", note="its name, or where it lies"),
        ActField.of_column(Photo, "note", note="what it shows"),
        ActField.of_column(Photo, "taken_on", text="today", option="on"),
        ActField.of_column(Photo, "piece"),
        ActField.of_column(Photo, "body"),
        ActField.of_column(Photo, "slab"),
    ),
    questions=_photo_questions,
    do=enters(Photo, lambda: work.pieces.add_photo, "file"),
    note="The record keeps the name; the picture itself stays where it is.",
)
