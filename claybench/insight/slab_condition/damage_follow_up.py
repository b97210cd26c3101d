"""What became of something seen on a slab: whether somebody looked after it since, on which face."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from claybench.terms import FACES, SlabEvent

RENEWS = ("resurfaced",)
"""Takes the face away, and with it all that was on it."""
WASHED = ("cleaned", *RENEWS)
"""Takes salts off the face."""
LOOKED_AT = ("looked_over", "cleaned", *RENEWS)
"""Brings somebody's eyes to the face: loose plaster is found."""


def resurfaced_at(events: Iterable[SlabEvent]) -> datetime | None:
    """When a slab was last resurfaced."""
    return max((event.at for event in events if event.event == "resurfaced"), default=None)


def may_be_same_face(one: str | None, other: str | None) -> bool:
    """Whether what is said of one face may be of another: it is, where either is not told."""
    return one is None or other is None or one == other


def faces_left(face: str | None, at: datetime, events: Iterable[SlabEvent], *words: str) -> frozenset[str]:
    """The faces on which something is still to be looked after.

    Begun are the face it was seen on, or both where none is told; each later event of one of these words takes its face
    away, or both where none is told. What is logged for the same minute is not later: which came first nobody knows.
    """
    left = set(FACES if face is None else (face,))
    for event in events:
        if event.event in words and event.at > at:
            left -= set(FACES if event.face is None else (event.face,))
    return frozenset(left)


def was_looked_after(face: str | None, at: datetime, events: Iterable[SlabEvent], *words: str) -> bool:
    """Whether no face is left on which something is still to be looked after."""
    return not faces_left(face, at, events, *words)


def face_named(left: frozenset[str]) -> str | None:
    """The one face that is meant; None where it may be either.

    >>> face_named(frozenset({"open"})), face_named(frozenset({"form", "open"}))
    ('open', None)
    """
    return next(iter(left)) if len(left) == 1 else None
