"""What a face has become, run by run: its resistance at first, and how far it has moved since, known at each moment.

A hidden Markov chain over a grid: the resistance v at first and the slab's capacity do not move; the shift of v since
then stays, creeps a little from run to run, or jumps now and then. Each run's time weighs all of them at once, so that
a face is judged against what it was and forecast as it now is. Bodies come as the other slabs' runs know them, and are
learnt along the way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from statistics import NormalDist

from claybench.insight.drying.finished_runs import FinishedRun
from claybench.insight.drying.interval_likelihood import interval_statistics, log_likelihood, upper_tail
from claybench.insight.drying.resistance_fit import ResistanceFit
from claybench.insight.drying.resistance_priors import AIR_LOG_SD, prior_slab_resistance, slow_face_sd
from claybench.insight.drying.transfer_law import LayerArrays, log_minutes, log_minutes_and_gradient
from claybench.later import Bools, Floats, Ints, np

STEP = 0.25
"""Step of all grids of v = ln 1/S²."""
_FIRST_LEVELS = 7
"""Steps to each side of the lab's mean that a face may begin at."""
_SHIFTS_DOWN, _SHIFTS_UP = 3, 16
"""Steps that it may move: to a seventh of its sorptivity, and to 1.5 times it."""
_CAPACITY_STEPS = (-1.8, -0.9, 0.0, 0.9, 1.8)
"""Capacities, in standard deviations about the mean of the slab's prior."""
HAZARD = 0.003
"""Chance of a sudden change from one run to the next; from memory."""
_CREEP = 0.006
"""Chance of a step up, and of a step down, from one run to the next: 0.27 in a hundred runs; from memory."""
_SLIDE = 0.06
"""Chance of a step further from what it was on a face that has changed, since what goes on with it may go on; back it
goes a third as often. From memory."""
_SLOWER = 0.75
"""Share of sudden changes that slow a face down; from memory."""
_LEAST_JUMP = 2
"""Steps below which a change is creep."""
CHANGED_SHIFT = 0.5
"""Shift of v from which a face counts as slower than it was: 0.78 of the sorptivity that it had."""
_FASTER_SHIFT = -0.75
"""Shift from which it counts as faster, which no face becomes by itself."""
_DOUBTFUL = 0.05
"""Chance of a change from which a face is gone through again once the others' changes are known."""
_NORMAL = NormalDist()
_LEAST = 1e-9


@dataclass(slots=True)
class _BodyPosterior:
    """A body's log resistance beside what other slabs' runs say, and its variance."""

    shift: float
    variance: float


@dataclass(frozen=True, slots=True)
class RunOnFace:
    """One finished run against what its face was, and what the face was held to be after it."""

    run: str
    expected_log_min: float
    """ln minutes had the face been as it was at first."""
    score: float
    """How many standard deviations longer it took."""
    slow_chance: float
    """Chance, after it, that the face has become slower."""
    shift: float
    """Mean shift of v after it."""


@dataclass(frozen=True)
class FaceHistory:
    """All that the finished runs of one face say of it; arrays over the grid of shifts, or (runs, shifts)."""

    runs: tuple[RunOnFace, ...]
    shifts: Floats
    """Shifts of v since the first runs."""
    now: Floats
    """Weights of the shifts for a run poured next; they sum to 1."""
    levels: Floats
    """v itself, and the weights of each value for a run poured next."""
    level_weights: Floats
    _steps: _Steps = field(repr=False)

    @cached_property
    def smoothed(self) -> Floats:
        """Weights of the shifts at each run by all runs, earlier and later."""
        return self._steps.smooth()

    @cached_property
    def slow_by_all(self) -> Floats:
        """Chance that the face was slow at each run, by all runs; shape (runs,)."""
        chance: Floats = self.smoothed[:, self.shifts >= CHANGED_SHIFT].sum(axis=1)
        return chance

    @property
    def most_moved(self) -> float:
        """Greatest chance, after any run, that it was slower than at first, or as much faster."""
        return self._steps.most_moved

    @cached_property
    def has_changed(self) -> bool:
        """Whether it is likelier than not, by all runs, to have been slower or as much faster at some run."""
        return self.most_moved > 0.5 and float(self.smoothed[:, self._moved].sum(axis=1).max()) > 0.5

    @property
    def may_have_moved(self) -> bool:
        """Whether it has changed, or may have just now."""
        return self.has_changed or float(self.now[self._moved].sum()) > _DOUBTFUL

    @property
    def _moved(self) -> Bools:
        return moved(self.shifts)

    def shift_of_run(self, number: int) -> tuple[float, float]:
        """Mean shift at a run, by all runs, and its standard deviation."""
        weights = self.smoothed[number]
        mean = float(weights @ self.shifts)
        return mean, math.sqrt(float(weights @ (self.shifts - mean) ** 2))


@dataclass(slots=True)
class _Steps:
    """What the filter kept of each run, for the way back."""

    states: list[Floats]
    """Weights of (first level, capacity, shift) after each run."""
    predicted: list[Floats]
    """The same before it."""
    transition: Floats
    most_moved: float = 0.0

    def smooth(self) -> Floats:
        """Forward–backward: weights of the shifts at each run, given all."""
        after = self.states[-1]
        rows = [after.sum(axis=(0, 1))]
        for state, predicted in zip(self.states[-2::-1], self.predicted[:0:-1], strict=True):
            ratio = after / np.maximum(predicted, 1e-300)
            after = state * (ratio @ self.transition.T)
            rows.append(after.sum(axis=(0, 1)))
        smoothed: Floats = np.array(rows[::-1])
        smoothed /= smoothed.sum(axis=1, keepdims=True)
        return smoothed


def moved(shifts: Floats) -> Bools:
    """Which shifts count as a change."""
    return (shifts >= CHANGED_SHIFT) | (shifts <= _FASTER_SHIFT)


def face_history(fit: ResistanceFit, surface: str, runs: Sequence[FinishedRun]) -> FaceHistory:
    """The history of a face by its finished runs in order, `surface` being its name in the fit."""
    chain = _FaceChain(fit.without_slab(surface), fit.spreads.scatter, surface, runs)
    return chain.live()


class _FaceChain:
    """The chain and what each run says of it. Arrays over (capacities, levels, runs) where not said otherwise."""

    def __init__(self, others: ResistanceFit, scatter: float, surface: str, runs: Sequence[FinishedRun]) -> None:
        self.runs = runs
        self.shifts: Floats = STEP * np.arange(-_SHIFTS_DOWN, _SHIFTS_UP + 1, dtype=float)
        first = np.arange(-_FIRST_LEVELS, _FIRST_LEVELS + 1)
        levels: Floats = STEP * np.arange(-_FIRST_LEVELS - _SHIFTS_DOWN, _FIRST_LEVELS + _SHIFTS_UP + 1, dtype=float)
        self.levels: Floats = prior_slab_resistance() + levels
        self.place: Ints = (np.arange(len(first))[:, None] + np.arange(len(self.shifts))[None, :]).astype(np.int64)
        """Place among the levels of each first level with each shift."""
        prior = others.unknown_slab_grid()
        log_capacity = (prior.mean + prior.sd * np.array(_CAPACITY_STEPS))[:, None, None]
        resistances = [others.resistances(run.body, run.family, surface, composition=run.composition) for run in runs]
        body = np.array([each.body for each in resistances])
        slab = np.broadcast_to(self.levels[None, :, None], (1, len(levels), len(runs)))
        layers = LayerArrays.from_conditions([run.conditions for run in runs])
        self.means, self.by_body, by_slab = log_minutes_and_gradient(
            body, slab, layers.perturbed(log_capacity=log_capacity)
        )
        middle = layers.perturbed(log_capacity=prior.mean)
        middle_means = self.means[len(_CAPACITY_STEPS) // 2]
        by_water = (log_minutes(body, slab[0], middle.perturbed(log_water=0.02)) - middle_means) / 0.02
        wetter = layers.perturbed(log_capacity=prior.mean, wetness=0.01)
        by_wetness = (log_minutes(body, slab[0], wetter) - middle_means) / 0.01
        self.noise = (
            scatter**2
            + (by_water * np.array([run.layer_log_sd for run in runs])) ** 2
            + (by_wetness * np.array([run.wetness_sd for run in runs])) ** 2
            + (by_slab * STEP) ** 2 / 12  # the truth lies between the points of the grid
            + (by_slab * slow_face_sd(self.levels)[None, :, None]) ** 2
            + (AIR_LOG_SD * (1 - self.by_body - by_slab)) ** 2
        )
        self.bodies = {
            run.body: _BodyPosterior(0.0, each.var_body) for run, each in zip(runs, resistances, strict=True)
        }
        self.low = np.array([math.log(run.low_min) if run.low_min > 0 else -math.inf for run in runs])
        high = [math.inf if run.high_min is None else math.log(max(run.high_min, 0.1)) for run in runs]
        self.high = np.maximum(np.array(high), self.low + 0.005)
        spread = max(others.spreads.slab_sd, STEP)
        weights = np.exp(-((STEP * first / spread) ** 2) / 2)[:, None] * np.exp(-(np.array(_CAPACITY_STEPS) ** 2) / 2)
        self.state: Floats = np.zeros((len(first), len(_CAPACITY_STEPS), len(self.shifts)))
        self.state[:, :, _SHIFTS_DOWN] = weights / weights.sum()
        self.transition = _transition(len(self.shifts))

    def live(self) -> FaceHistory:
        """Through all runs."""
        steps = _Steps([], [], self.transition)
        bodies = []
        for number, run in enumerate(self.runs):
            if number:
                self.state = self.state @ self.transition
            steps.predicted.append(self.state)
            bodies.append(replace(self.bodies[run.body]))
            self._weigh(number)
            steps.states.append(self.state)
        over_shifts = np.array([state.sum(axis=(0, 1)) for state in steps.states])
        steps.most_moved = float(over_shifts[:, moved(self.shifts)].sum(axis=1).max())
        slow = over_shifts[:, self.shifts >= CHANGED_SHIFT].sum(axis=1)
        expected, scores = self._against_first(steps.predicted, bodies)
        columns = (expected.tolist(), scores, slow.tolist(), (over_shifts @ self.shifts).tolist())
        self.state = self.state @ self.transition
        return FaceHistory(
            runs=tuple(RunOnFace(run.run, *values) for run, *values in zip(self.runs, *columns, strict=True)),
            shifts=self.shifts,
            now=self.state.sum(axis=(0, 1)),
            levels=self.levels,
            level_weights=self._level_weights().sum(axis=0),
            _steps=steps,
        )

    def _against_first(
        self, predicted: Sequence[Floats], bodies: Sequence[_BodyPosterior]
    ) -> tuple[Floats, list[float]]:
        """ln minutes expected of each run had the face not moved, and the runs' scores against that."""
        weights = np.array([state.sum(axis=2).T for state in predicted]).transpose(1, 2, 0)
        own = slice(_SHIFTS_DOWN, _SHIFTS_DOWN + weights.shape[1])
        by_body = self.by_body[:, own]
        means = self.means[:, own] + by_body * np.array([each.shift for each in bodies])
        sds = np.sqrt(self.noise[:, own] + by_body**2 * np.array([each.variance for each in bodies]))
        below, above = (
            1 - np.sum(upper_tail(np.clip((end - means) / sds, -38, 38)) * weights, axis=(0, 1))
            for end in (self.low, self.high)
        )
        scores = [_mean_between(*each) for each in zip(below.tolist(), above.tolist(), strict=True)]
        return np.sum(weights * means, axis=(0, 1)), scores

    def _weigh(self, number: int) -> None:
        """Weigh all states by one run, then learn its body."""
        means, variance = self._mean_and_variance(number)
        told = log_likelihood(self.low[number], self.high[number], means, np.sqrt(variance))
        weighed = self.state * np.exp(told - told.max())[:, self.place].transpose(1, 0, 2)
        self.state = weighed / weighed.sum()
        self._learn_body(number, means)

    def _learn_body(self, number: int, means: Floats) -> None:
        """What the run says of its body once the face is known as well as it now is."""
        levels = self._level_weights()
        mean = float(np.sum(levels * means))
        spread = float(np.sum(levels * (means - mean) ** 2))
        by_body = float(np.sum(levels * self.by_body[:, :, number]))
        noise = float(np.sum(levels * self.noise[:, :, number])) + spread
        seen = interval_statistics(self.low[number], self.high[number], np.array([mean]), np.array([math.sqrt(noise)]))
        body = self.bodies[self.runs[number].body]
        precision = 1 / body.variance + by_body**2 * float(seen.information[0])
        body.shift += by_body * float(seen.score[0]) / precision
        body.variance = 1 / precision

    def _level_weights(self) -> Floats:
        """Weights of each capacity and level, whatever the face was at first."""
        count = len(self.levels)
        each = [
            np.bincount(self.place.ravel(), self.state[:, capacity].ravel(), count)
            for capacity in range(len(_CAPACITY_STEPS))
        ]
        return np.array(each)

    def _mean_and_variance(self, number: int) -> tuple[Floats, Floats]:
        """ln minutes expected of a run at each capacity and level, and their variance."""
        body, by_body = self.bodies[self.runs[number].body], self.by_body[:, :, number]
        means = self.means[:, :, number] + by_body * body.shift
        return means, self.noise[:, :, number] + by_body**2 * body.variance


def _transition(count: int) -> Floats:
    """Chances of moving from one shift, the row, to another by the next run."""
    matrix = np.zeros((count, count))
    places = np.arange(count)
    for place in places:
        up, down = places >= place + _LEAST_JUMP, places <= place - _LEAST_JUMP
        slower = _SLOWER if up.any() and down.any() else float(up.any())
        if up.any():
            matrix[place, up] = HAZARD * slower / up.sum()
        if down.any():
            matrix[place, down] = HAZARD * (1 - slower) / down.sum()
        shift = STEP * (place - _SHIFTS_DOWN)
        for neighbour in (place - 1, place + 1):
            if 0 <= neighbour < count:
                away = (neighbour > place) == (shift > 0)
                unsettled = _SLIDE if away else _SLIDE / 3
                matrix[place, neighbour] = unsettled if abs(shift) >= CHANGED_SHIFT else _CREEP
        matrix[place, place] = 1 - matrix[place].sum()
    return matrix


def _mean_between(below: float, above: float) -> float:
    """Mean of a standard normal between two of its quantiles: what an interval says, drawn in where it is wide."""
    start, end = (_NORMAL.inv_cdf(min(max(each, _LEAST), 1 - _LEAST)) for each in (below, above))
    if end - start < 1e-6:
        return (start + end) / 2
    probability = max(_NORMAL.cdf(end) - _NORMAL.cdf(start), 1e-12)
    return min(max((_NORMAL.pdf(start) - _NORMAL.pdf(end)) / probability, start), end)
