"""Questions that somebody has answered: an answer holds for a slab or a batch until the fact it rests on changes.

Answers stand in the log of the slab or batch, as notes that `work.answers` writes with the act itself, so that they
are exported, undone and seen like any other line.
"""

from __future__ import annotations

from collections.abc import Iterable

from claybench.errors import Question
from claybench.record.lab import Lab
from claybench.terms import BatchEvent, SlabEvent, answered_facts, as_fact


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
