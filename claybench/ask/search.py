"""Finding anything by a few letters of its code or title."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.record import Lab
from claybench.terms import TABLE_OF, Batch, Body, Firing, Lot, Material, Piece, Run, Slab

_KINDS = (Run, Batch, Slab, Body, Piece, Firing, Material, Lot)


@dataclass(frozen=True, slots=True)
class Hit:
    """One thing found."""

    kind: str
    """Name of its table."""
    noun: str
    code: str
    text: str


def search(lab: Lab, text: str, *, limit: int = 30) -> list[Hit]:
    """Rows whose code begins with or holds the text, exact and leading matches first."""
    wanted = text.strip().casefold()
    if not wanted:
        return []
    found: list[tuple[int, int, Hit]] = []
    with lab.reading() as record:
        for order, kind in enumerate(_KINDS):
            table = TABLE_OF[kind]
            for code in record.codes(kind):
                place = code.casefold().find(wanted)
                if place >= 0:
                    rank = 0 if code.casefold() == wanted else (1 if place == 0 else 2)
                    found.append((rank, order, Hit(table.name, table.noun, code, "")))
    found.sort(key=lambda each: (each[0], each[1], each[2].code))
    return [hit for _, _, hit in found[:limit]]
