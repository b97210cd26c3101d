"""The fit of a lab's resistances together with what each face has become: each is worked out with the other's help.

A face that has changed would drag its own resistance, and those of the bodies dried on it, to somewhere between. So the
runs of every face are gone through against what other slabs say, and where one has changed, all is fitted once more
with the shift of each of its runs allowed for.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from claybench.insight.drying.face_history import CHANGED_SHIFT, FaceHistory, face_history
from claybench.insight.drying.finished_runs import FinishedRun
from claybench.insight.drying.forecast import FaceNow
from claybench.insight.drying.resistance_fit import ResistanceFit, fit_resistances
from claybench.later import Floats, np

NEWEST = 400
"""Runs of a face that are gone through, the newest."""
_NEGLIGIBLE = 2e-3

FaceKey = tuple[str, str | None]
"""A slab as the fit knows it, and one of its faces; None where its runs do not tell two faces apart."""


@dataclass(frozen=True, slots=True)
class LabFit:
    """Resistances of bodies and slabs, and the history of each face."""

    fit: ResistanceFit = field(default_factory=ResistanceFit)
    histories: Mapping[FaceKey, FaceHistory] = field(default_factory=dict)
    newest_face: Mapping[str, str | None] = field(default_factory=dict)
    """By slab, the face of its newest finished run."""

    def history(self, surface: str, face: str | None) -> FaceHistory | None:
        """What a face has become; of the one used last where nobody says which."""
        for key in ((surface, face), (surface, None), (surface, self.newest_face.get(surface))):
            if key in self.histories:
                return self.histories[key]
        return None

    def face_now(self, surface: str, face: str | None) -> FaceNow:
        """What a face has become for the layer poured next."""
        history = self.history(surface, face)
        if history is None:
            return FaceNow()
        if history.has_changed:
            fitted = self.fit.resistances(None, None, surface).slab
            pairs = _pairs(history.levels - fitted, history.level_weights)
            return FaceNow(pairs, float(history.now @ history.shifts), by_fit=False)
        changed = np.abs(history.shifts) >= CHANGED_SHIFT
        pairs = _pairs(history.shifts[changed], history.now[changed])
        return FaceNow(((0.0, 1.0 - sum(weight for _, weight in pairs)), *pairs))


def _pairs(shifts: Floats, weights: Floats) -> tuple[tuple[float, float], ...]:
    kept = weights > _NEGLIGIBLE
    return tuple(zip(shifts[kept].tolist(), weights[kept].tolist(), strict=True))


def fit_lab(runs: Sequence[FinishedRun]) -> LabFit:
    """Fit resistances to finished runs in order of their pour, and go through the history of each face."""
    newest = {run.slab: run.face for run in runs}
    by_face = _runs_by_face(runs)
    fit = fit_resistances(runs)
    histories = _histories(fit, by_face)
    if any(history.has_changed for history in histories.values()):
        fit = fit_resistances(_with_shifts(runs, by_face, histories))
        histories = _histories(fit, by_face)
    return LabFit(fit, histories, newest)


def _histories(fit: ResistanceFit, by_face: Mapping[FaceKey, Sequence[FinishedRun]]) -> dict[FaceKey, FaceHistory]:
    return {key: face_history(fit, key[0], runs) for key, runs in by_face.items()}


def _runs_by_face(runs: Iterable[FinishedRun]) -> dict[FaceKey, list[FinishedRun]]:
    """The newest runs of each face; one that nobody told the face of counts for both."""
    of_surface: dict[str, list[FinishedRun]] = defaultdict(list)
    for run in runs:
        if run.says_time:
            of_surface[run.slab].append(run)
    by_face: dict[FaceKey, list[FinishedRun]] = {}
    for surface, own in of_surface.items():
        told = sorted({run.face for run in own if run.face is not None})
        for face in told if len(told) > 1 else [None]:
            by_face[surface, face] = [run for run in own if face is None or run.face in (face, None)][-NEWEST:]
    return by_face


def _with_shifts(
    runs: Sequence[FinishedRun],
    by_face: Mapping[FaceKey, Sequence[FinishedRun]],
    histories: Mapping[FaceKey, FaceHistory],
) -> list[FinishedRun]:
    """The runs, those on a face that has changed with its shift at the time."""
    shifts: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for key, history in histories.items():
        if history.has_changed:
            for number, run in enumerate(by_face[key]):
                shifts[run.run].append(history.shift_of_run(number))
    return [_shifted(run, shifts[run.run]) if run.run in shifts else run for run in runs]


def _shifted(run: FinishedRun, shifts: Sequence[tuple[float, float]]) -> FinishedRun:
    """A run with the shift of its face; of either face where nobody told which."""
    mean = sum(shift for shift, _ in shifts) / len(shifts)
    return replace(run, shift=mean, shift_sd=max(max(sd, abs(shift - mean)) for shift, sd in shifts))
