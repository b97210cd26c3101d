"""What comparing gives of one body in one firing: each property with how it was taken, and the time to workable."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from claybench.later import Floats, Ints
from claybench.measure.properties.declaration import Property
from claybench.measure.sample_statistics import SampleSummary
from claybench.quantity.shown import join_words, show

_ONE_BATCH = {
    "lab": ("*", "of one batch: its interval takes the scatter from batch to batch from the lab's other batches"),
    "pieces": ("+", "of one batch: its interval holds no scatter from batch to batch, and the lab knows none yet"),
}
"""Mark and sentence by what the interval of a single batch rests on."""


@dataclass(frozen=True, slots=True)
class RelativeTime:
    """Time to workable over the control body's (or the family's median), same layer, slab dry."""

    median: float
    low: float
    high: float
    n: int
    """Runs of the body it rests on."""


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """One property of one body in one firing, taken one way."""

    declared: Property
    kind: str | None
    """One of the property's ways or `not noted`; None where it can be taken one way only."""
    summary: SampleSummary
    numbers: Floats
    """Single pieces, batch after batch."""
    starts: Ints
    """Where each batch begins in `numbers`."""
    batches: tuple[str, ...]
    rounding: float = 0.0
    """Variance that the steps of the readings leave in one piece's value; 0 where no step is known."""
    shared: float = 0.0
    """How much of that the mean still has."""

    @property
    def name(self) -> str:
        """Name of the property."""
        return self.declared.name

    def way(self, *, short: bool = False) -> str:
        """How it was taken, in words; nothing where there is one way only."""
        return self.declared.way_words(self.kind, short=short)

    @property
    def step(self) -> float | None:
        """By how much a value moves with one step of its readings; None where no step is known."""
        return math.sqrt(12 * self.rounding) if self.rounding else None

    @property
    def group(self) -> str | None:
        """The group of a standard that its mean falls in; None where none holds for it."""
        return self.declared.class_of(self.summary.mean, self.kind)

    @property
    def mark(self) -> str:
        """What stands beside the interval of a single batch."""
        return _ONE_BATCH[self.summary.basis][0] if self.summary.basis in _ONE_BATCH else ""

    def by_batch(self) -> dict[str, list[float]]:
        """Single pieces' values by batch."""
        ends = [*self.starts[1:].tolist(), len(self.numbers)]
        return {
            batch: self.numbers[start:end].tolist()
            for batch, start, end in zip(self.batches, self.starts.tolist(), ends, strict=True)
        }


def notes_on_intervals(measured: Iterable[Measured], *, marked: bool = True) -> list[str]:
    """What the intervals of single batches rest on, each sentence once, after its mark; and what is finer than the
    steps of the readings can tell."""
    shown = list(measured)
    bases = {each.summary.basis for each in shown}
    notes = [
        f"{mark} {sentence}" if marked else sentence for basis, (mark, sentence) in _ONE_BATCH.items() if basis in bases
    ]
    coarse: dict[str, Measured] = {}
    for each in shown:
        known = coarse.get(each.name)
        low, high, step = each.summary.low, each.summary.high, each.step or 0.0
        if low is None or high is None or (high - low) / 2 >= step:
            continue  # what it scatters by is more than the step
        if known is None or each.rounding > known.rounding:
            coarse[each.name] = each
    if coarse:
        steps = join_words([f"{step_text(each.declared, each.step)} {each.declared.title}" for each in coarse.values()])
        notes.append(f"one step of the readings is {steps}: what is finer stays open, however many bars read alike")
    return notes


def step_text(declared: Property, step: float | None) -> str:
    """One step of a property's readings as it is written.

    >>> from claybench.measure.properties.built_in import BUILT_IN
    >>> step_text(BUILT_IN["drying_shrinkage_pct"], 1.0000001)
    '1 %'
    """
    return show(step, declared.sign, figures=2)
