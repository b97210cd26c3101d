"""Answers to questions, kept in the log of the slab or the batch they are about, in the act they belong to."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from claybench.errors import Question
from claybench.insight.time_spans import free_moment
from claybench.record.act import Writer
from claybench.terms import Batch, BatchEvent, Slab, SlabEvent, answer_note


def keep_answers(act: Writer, answered: Iterable[Question], at: datetime) -> None:
    """One log line for each slab or batch that was asked about; answers that hold for this entry alone leave none."""
    about: dict[str, list[Question]] = {}
    for each in answered:
        if each.about and each.fact:
            about.setdefault(each.about, []).append(each)
    for code, questions in about.items():
        note = answer_note(
            [each.short or each.text.rstrip(".") for each in questions], [each.fact for each in questions]
        )
        if act.find(Slab, code) is not None:
            taken = {row.at for row in act.rows(SlabEvent, slab=code, event="note")}
            act.add(SlabEvent(slab=code, at=free_moment(at, taken), event="note", note=note))
        elif act.find(Batch, code) is not None:
            taken = {row.at for row in act.rows(BatchEvent, batch=code, event="note")}
            act.add(BatchEvent(batch=code, at=free_moment(at, taken), event="note", note=note))
