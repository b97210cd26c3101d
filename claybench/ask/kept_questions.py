"""Questions after bodies that are kept by name."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.errors import NotFound
from claybench.quantity.shown import natural_key
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.terms import KEPT_QUESTION, Setting


@dataclass(frozen=True, slots=True)
class KeptQuestion:
    """A question kept by name, as it was typed."""

    name: str
    line: str


def kept_questions(lab: Lab) -> list[KeptQuestion]:
    """All kept questions, by name."""
    with lab.reading() as record:
        return _kept(record)


def kept_question(lab: Lab, name: str) -> KeptQuestion:
    """One kept question; upper and lower case are the same."""
    kept = kept_questions(lab)
    one = next((each for each in kept if each.name.casefold() == name.strip().casefold()), None)
    if one is None:
        names = ", ".join(each.name for each in kept)
        raise NotFound(f"There is no question '{name}'.", f"Kept are: {names}." if names else "None is kept yet.")
    return one


def _kept(record: Reader) -> list[KeptQuestion]:
    rows = [row for row in record.rows(Setting) if row.name.startswith(KEPT_QUESTION)]
    return sorted(
        (KeptQuestion(row.name.removeprefix(KEPT_QUESTION), row.value) for row in rows),
        key=lambda each: natural_key(each.name),
    )
