"""The fit of a lab's resistances together with what each face has become: each is worked out with the other's help.

A face that has changed would drag its own resistance, and those of the bodies dried on it, to somewhere between. So the
runs of every face are gone through against what other slabs say, and where one has changed, all is fitted once more
with the shift of each of its runs allowed for.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from claybench.insight.drying.face_history import FaceHistory, face_history, moved
from claybench.insight.drying.finished_runs import FinishedRun
from claybench.insight.drying.forecast import FaceNow
from claybench.insight.drying.resistance_fit import ResistanceFit, fit_resistances
from claybench.later import Floats

NEWEST = 200
"""Runs of a face that are gone through, the newest."""
_NEGLIGIBLE = 2e-3

FaceKey = tuple[str, str | None]
"""A slab as the fit knows it, and one of its faces; None where its runs never told one."""


@dataclass(frozen=True, slots=True)
class LabFit:
    """Resistances of bodies and slabs, and the history of each face."""

    fit: ResistanceFit = field(default_factory=ResistanceFit)
    histories: Mapping[FaceKey, FaceHistory] = field(default_factory=dict)
    usual_face: Mapping[str, str | None] = field(default_factory=dict)
    """By slab, the face that layers lie on where nobody says which."""

    def history(self, surface: str, face: str | None) -> FaceHistory | None:
        """What a face has become."""
        return self.histories.get((surface, face or self.usual_face.get(surface)))

    def face_now(self, surface: str, face: str | None) -> FaceNow:
        """What a face has become for the layer poured next."""
        history = self.history(surface, face)
        if history is None:
            return FaceNow()
        if history.has_changed:
            fitted = self.fit.resistances(None, None, surface).slab
            pairs = _pairs(history.levels - fitted, history.level_weights)
            return FaceNow(pairs, float(history.now @ history.shifts), by_fit=False)
        changed = moved(history.shifts)
        pairs = _pairs(history.shifts[changed], history.now[changed])
        return FaceNow(((0.0, 1.0 - sum(weight for _, weight in pairs)), *pairs))


def _pairs(shifts: Floats, weights: Floats) -> tuple[tuple[float, float], ...]:
    kept = weights > _NEGLIGIBLE
    return tuple(zip(shifts[kept].tolist(), weights[kept].tolist(), strict=True))


def fit_lab(runs: Sequence[FinishedRun]) -> LabFit:
    """Fit resistances to finished runs in order of their pour, and go through the history of each face."""
    usual = usual_faces(runs)
    by_face: dict[FaceKey, list[FinishedRun]] = defaultdict(list)
    for run in runs:
        if run.says_time:
            by_face[run.slab, run.face or usual[run.slab]].append(run)
    newest = {key: own[-NEWEST:] for key, own in by_face.items()}
    fit = fit_resistances(runs)
    histories = _histories(fit, newest)
    if any(history.has_changed for history in histories.values()):
        fit = fit_resistances(_with_shifts(runs, newest, histories))
        doubtful = {key: newest[key] for key, history in histories.items() if history.may_have_moved}
        histories |= _histories(fit, doubtful)
    return LabFit(fit, histories, usual)


def usual_faces(runs: Iterable[FinishedRun]) -> dict[str, str | None]:
    """The face that most layers of each slab were said to lie on: who leaves it out goes on as usual."""
    told: dict[str, Counter[str]] = defaultdict(Counter)
    for run in runs:
        told[run.slab].update([run.face] if run.face else [])
    return {slab: faces.most_common(1)[0][0] if faces else None for slab, faces in told.items()}


def _histories(fit: ResistanceFit, by_face: Mapping[FaceKey, Sequence[FinishedRun]]) -> dict[FaceKey, FaceHistory]:
    return {key: face_history(fit, key[0], runs) for key, runs in by_face.items()}


def _with_shifts(
    runs: Sequence[FinishedRun],
    by_face: Mapping[FaceKey, Sequence[FinishedRun]],
    histories: Mapping[FaceKey, FaceHistory],
) -> list[FinishedRun]:
    """The runs, those on a face that has changed with its shift at the time."""
    shifts: dict[str, tuple[float, float]] = {}
    for key, history in histories.items():
        if history.has_changed:
            shifts |= {run.run: history.shift_of_run(number) for number, run in enumerate(by_face[key])}
    return [
        replace(run, shift=shifts[run.run][0], shift_sd=shifts[run.run][1]) if run.run in shifts else run
        for run in runs
    ]
