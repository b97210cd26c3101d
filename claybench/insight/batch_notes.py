"""What the notes of a batch's log say in their fixed words: its additions, and what it was sized for."""

from __future__ import annotations

from collections.abc import Iterable

from claybench.mix.doses import Dose, dose_of_note
from claybench.mix.sized_for import SizedFor, sized_for_of_note
from claybench.terms import BatchEvent


def doses_in_log(log: Iterable[BatchEvent]) -> list[Dose]:
    """Additions that a batch was sized with, as its log keeps them; the newest of a material counts."""
    doses: dict[str, Dose] = {}
    for event in sorted((row for row in log if row.event == "note"), key=lambda row: row.at):
        dose = dose_of_note(event.material, event.note)
        if dose is not None:
            doses[dose.material.casefold()] = dose
    return list(doses.values())


def sized_for_each(log: Iterable[BatchEvent]) -> dict[str, SizedFor]:
    """What each batch was sized for, by its code; those that nobody sized are left out."""
    sizings = {}
    for event in sorted((row for row in log if row.event == "note"), key=lambda row: row.at):
        sized = sized_for_of_note(event.note)
        if sized is not None:
            sizings[event.batch] = sized
    return sizings
