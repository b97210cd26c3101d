"""How an answer to a question is written in the log of a slab or a batch, and read back."""

from __future__ import annotations

import re
from collections.abc import Iterable

_ANSWER = re.compile(r"meant all the same: .*\[(.*)\]\Z", re.DOTALL)


def answer_note(texts: Iterable[str], facts: Iterable[str]) -> str:
    """The note of a log line that keeps answers: what was said, and the facts it was said of.

    >>> answer_note(["saturated, 88 % wet"], ["saturated B-7"])
    'meant all the same: saturated, 88 % wet [saturated B-7]'
    """
    return f"meant all the same: {'; '.join(texts)} [{'; '.join(map(as_fact, facts))}]"


def as_fact(text: str) -> str:
    """A fact as it can stand in such a note."""
    return text.replace(";", ",").replace("[", "(").replace("]", ")")


def answered_facts(note: str | None) -> frozenset[str]:
    """The facts that a log line's note answers for; none where it is another note.

    >>> sorted(answered_facts("meant all the same: saturated, 88 % wet [saturated B-7; other_family red]"))
    ['other_family red', 'saturated B-7']
    """
    match = _ANSWER.match(note or "")
    return frozenset(filter(None, match.group(1).split("; "))) if match else frozenset()
