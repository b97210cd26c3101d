"""Questions about runs: one run's page, forecasts, what can be poured now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench.ask.bench import LayerNow
from claybench.ask.model import TABLES, lab_model, model_of
from claybench.ask.slabs import retired
from claybench.ask.snapshot import take, unknown
from claybench.insight.lab_model import LabModel, Poured
from claybench.insight.looking_back import Step, course
from claybench.insight.wetness import Wetness
from claybench.record import Lab
from claybench.terms import Batch, Piece, Slab


@dataclass(frozen=True, slots=True)
class RunPage:
    """One run with its checks, its forecast and the pieces formed from it."""

    layer: LayerNow
    course: tuple[Step, ...]
    """Its forecast at the pour and after each touch."""
    slab: Slab
    wetness: Wetness
    pieces: tuple[Piece, ...]
    at: datetime


def run_page(lab: Lab, code: str, *, as_of: datetime | None = None) -> RunPage:
    """One run."""
    snapshot = take(lab, *TABLES, Piece, as_of=as_of)
    model = model_of(snapshot)
    poured = _poured(model, code)
    slab = next(slab for slab in snapshot.rows(Slab) if slab.slab == poured.run.slab)
    return RunPage(
        layer=LayerNow.of(model, poured),
        course=tuple(course(model, poured.run.run)),
        slab=slab,
        wetness=model.wetnesses[slab.slab],
        pieces=tuple(piece for piece in snapshot.rows(Piece) if piece.run == poured.run.run),
        at=snapshot.at,
    )


def _poured(model: LabModel, code: str) -> Poured:
    found = model.poured.get(code)
    if found is None:
        found = next((each for name, each in model.poured.items() if name.casefold() == code.casefold()), None)
    if found is None:
        raise unknown("run", code, model.poured)
    return found


def run_list(lab: Lab) -> list[Poured]:
    """Every run, newest first."""
    _, model = lab_model(lab)
    return sorted(model.poured.values(), key=lambda each: each.run.started_at, reverse=True)


def forecasts(lab: Lab, runs: Sequence[str] | None, *, as_of: datetime | None = None) -> list[LayerNow]:
    """The runs named, or all open ones, each with its forecast and its next touch."""
    _, model = lab_model(lab, as_of=as_of)
    if runs is None:
        chosen = [each for each in model.poured.values() if each.run.outcome is None]
    else:
        chosen = [_poured(model, code) for code in runs]
    return [LayerNow.of(model, each) for each in chosen]


@dataclass(frozen=True, slots=True)
class PourChoice:
    """What the form for a pour starts with."""

    next_run: str
    batches: tuple[tuple[str, str], ...]
    """Batches newest first, each with its body."""
    slabs: tuple[tuple[str, str], ...]
    """Slabs with what is to be said of each: family and wetness, driest first."""
    usable_cm2: dict[str, float]
    layer_cm2: dict[str, float]
    """What a layer usually covers: the usable face, or the face within a margin."""
    doubtful: dict[str, str]
    """Why a slab is hardly meant: it is not in service yet, or saturated."""
    last_mass: dict[str, float]
    """Last weighing of the bare slab."""
    slip_sg: dict[str, float]
    """By batch, where it was weighed."""


def pour_choice(lab: Lab) -> PourChoice:
    """Slabs and batches a run could be begun with, and the next run's code."""
    snapshot, model = lab_model(lab)
    slabs = [slab for slab in snapshot.rows(Slab) if not retired(slab, snapshot)]
    wet = {slab.slab: model.wetnesses[slab.slab].now for slab in slabs}
    slabs.sort(key=lambda slab: (wet[slab.slab] if wet[slab.slab] is not None else 2.0, slab.slab))
    # One planned for later is not there to be poured yet: it comes after those that are.
    batches = sorted(snapshot.rows(Batch), key=lambda row: (row.mixed_at <= snapshot.at, row.mixed_at), reverse=True)
    return PourChoice(
        next_run=next_code([run.run for run in model.runs], "R1"),
        batches=tuple((batch.batch, batch.body) for batch in batches),
        slabs=tuple((slab.slab, _slab_words(slab, wet[slab.slab])) for slab in slabs),
        usable_cm2={slab.slab: model.waters[slab.slab].body.usable_cm2 for slab in slabs},
        layer_cm2={slab.slab: model.waters[slab.slab].body.layer_cm2 for slab in slabs},
        doubtful={
            slab.slab: words
            for slab in slabs
            if (words := _doubtful(slab, wet[slab.slab], snapshot.settings.number("saturated_from")))
        },
        last_mass={slab.slab: mass for slab in slabs if (mass := model.waters[slab.slab].last_mass)},
        slip_sg={batch.batch: batch.slip_sg for batch in batches if batch.slip_sg is not None},
    )


def _doubtful(slab: Slab, wet: float | None, saturated: float) -> str:
    if slab.in_service_on is None and slab.cast_at is not None:
        return "it is not in service yet"
    return f"{100 * wet:.0f} % wet: it takes up little" if wet is not None and wet >= saturated else ""


def _slab_words(slab: Slab, wet: float | None) -> str:
    return f"{slab.family or 'any family'}, {'wetness unknown' if wet is None else f'{100 * wet:.0f} % wet'}"


def next_code(taken: Sequence[str], first: str) -> str:
    """The code after the newest one, its last number raised by one.

    >>> next_code(["W-08", "W-09"], "R1"), next_code([], "R1")
    ('W-10', 'R1')
    """
    if not taken:
        return first
    used = {code.casefold() for code in taken}
    stem = taken[-1].rstrip("0123456789")
    digits = taken[-1][len(stem) :]
    number = int(digits) if digits else 0
    while True:
        number += 1
        found = f"{stem}{str(number).zfill(len(digits))}" if digits else f"{taken[-1]}-{number + 1}"
        if found.casefold() not in used:
            return found
