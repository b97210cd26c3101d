"""Which face of a slab its slowness belongs to: clogging is a face's, while water is the whole slab's."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from statistics import fmean
from typing import Protocol

from claybench.insight.slab_condition.verdict import Evidence
from claybench.terms import Run

_FEWEST = 2
"""Layers on the other face without which nothing can be said of it."""
_SLOW = 0.5
"""Mean score, in standard deviations, below which a face dries as forecast; the CUSUM's own allowance."""


class Scored(Protocol):
    """One finished run's score."""

    @property
    def run(self) -> str:
        """Its code."""

    @property
    def score(self) -> float:
        """Standardised ln(time over forecast)."""


def attribute_to_face(evidence: Evidence | None, scores: Sequence[Scored], runs: Sequence[Run]) -> Evidence | None:
    """Evidence of slowness, naming the one face it belongs to.

    That is the face all its layers lay on, or the slow one where the other face has dried layers as forecast.
    """
    if evidence is None or evidence.since is None:
        return evidence
    begun = {run.run: run for run in runs}
    by_face: dict[str | None, list[float]] = defaultdict(list)
    for each in scores:
        run = begun.get(each.run)
        if run is not None and run.started_at.date() >= evidence.since:
            by_face[run.face].append(each.score)
    return replace(evidence, face=_slow_one(by_face))


def _slow_one(by_face: dict[str | None, list[float]]) -> str | None:
    if None in by_face or not by_face:
        return None
    if len(by_face) == 1:
        return next(iter(by_face))
    slow = [face for face, scores in by_face.items() if fmean(scores) > _SLOW]
    sound = [face for face, scores in by_face.items() if fmean(scores) <= _SLOW and len(scores) >= _FEWEST]
    return slow[0] if len(slow) == 1 and sound else None
