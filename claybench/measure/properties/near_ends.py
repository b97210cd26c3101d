"""Values that lie beyond what is possible by no more than the steps of their readings: they count as the end.

A tight bar that weighs 0.1 g less soaked than dry, on a scale that shows tenths, took up nothing; one that weighs 2 g
less was mistaken for another, or chipped, and has no absorption.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from claybench.later import Floats, np
from claybench.measure.properties.declaration import Input
from claybench.measure.properties.expression.tree import Node
from claybench.measure.properties.expression.values import array_of_values

STEPS = (0.1, 0.01, 0.001)
"""Steps that readings in g and mm are taken to have, by their own digits; common practice. Whole numbers count as
tenths: what was read to whole grams tells nothing of a tight bar, and the larger step would excuse any slip."""
_FITS = 1e-6
_ROOM = 1e-6
"""What the rounding of arithmetic may add to a step, as a share of it."""


def settle_at_ends(
    values: Floats,
    tree: Node,
    given: Mapping[str, Floats],
    inputs: Iterable[Input],
    ends: tuple[float | None, float | None],
) -> Floats:
    """Values, those that pass an end by no more than the steps of their readings put on it.

    Parameters
    ----------
    values : what the formula comes to, shape (rows,)
    tree : the formula
    given : its readings by name, of the same shape or of one entry
    inputs : what these are
    ends : lowest and highest that is possible; None where there is no end
    """
    low, high = ends
    below = np.zeros(len(values), dtype=bool) if low is None else values < low
    above = np.zeros(len(values), dtype=bool) if high is None else values > high
    at = np.flatnonzero(below | above)
    if not len(at):
        return values
    rows = {name: np.broadcast_to(column, values.shape)[at] for name, column in given.items()}
    halves = _half_steps(rows, [each for each in inputs if each.constant is None and each.unit in ("g", "mm")])
    settled = values.copy()
    for beyond, end, sign in ((below[at], low, 1.0), (above[at], high, -1.0)):
        if end is not None:
            reached = sign * (_moved(tree, rows, halves, sign) - end) >= -_ROOM * np.abs(values[at] - end)
            settled[at[beyond & reached]] = end
    return settled


def _moved(tree: Node, rows: Mapping[str, Floats], halves: Mapping[str, Floats], sign: float) -> Floats:
    """Values with every reading moved by half its step, each the way that raises (sign 1) or lowers them (-1)."""
    as_read, moved = array_of_values(tree, rows), dict(rows)
    for name, half in halves.items():
        step = array_of_values(tree, {**rows, name: rows[name] + half}) - as_read
        moved[name] = rows[name] + sign * np.sign(np.nan_to_num(step)) * half
    return array_of_values(tree, moved)


def _half_steps(rows: Mapping[str, Floats], read: list[Input]) -> dict[str, Floats]:
    """Half the step of each reading; readings of one unit were taken with one instrument."""
    halves: dict[str, Floats] = {}
    for unit in {each.unit for each in read}:
        own = [each.name for each in read if each.unit == unit]
        halves |= dict.fromkeys(own, _finest_step(np.stack([rows[name] for name in own])) / 2)
    return halves


def _finest_step(readings: Floats) -> Floats:
    """The coarsest of `STEPS` that all readings of each row fit; readings of shape (readings, rows)."""
    steps = np.full(readings.shape[1], STEPS[-1])
    for step in reversed(STEPS):
        counts = readings / step
        fits = np.all(np.abs(counts - np.round(counts)) <= _FITS * np.maximum(np.abs(counts), 1), axis=0)
        steps = np.where(fits, step, steps)
    return steps
