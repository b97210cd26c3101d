"""The step to which many readings of one kind were taken, day by day, as their digits tell it.

Nobody writes 94.0 where 94 will do, and a database keeps neither: only several readings together tell a step. The
coarsest that all of a day's readings fit is taken, so that few readings pass for coarse ones rather than for fine.
"""

from __future__ import annotations

from claybench.later import Bools, Floats, Ints, np
from claybench.measure.reading_steps import USUAL_STEPS

_DECIMAL = (0.0001, 0.0002, 0.0005, *(step for step in USUAL_STEPS if step <= 5))
_INCH = tuple(25.4 / parts for parts in (16, 20, 32, 50, 64, 100, 200, 1000))
"""Steps of rulers and calipers in inches; lengths are kept in mm."""
_MANY = 6
"""Different readings from which a decimal step above 1 is believed: bars of 90 and 100 mm are no ruler of 10 mm."""
ENOUGH = 3
"""Different readings that tell a step; a day with fewer is told together with the days before it."""
_FITS = 1e-6


def digit_steps(values: Floats, days: Ints, unit: str) -> Floats:
    """The step of each reading, in its unit, by the digits of its day; 0 where no usual step fits.

    Parameters
    ----------
    values
        Readings of one kind, shape (readings,); NaN where there is none.
    days
        Number of the day on which each was taken, rising with time; -1 where nobody knows.
    unit
        Their unit: lengths in mm may have been read in inches.

    A day with fewer different readings than `ENOUGH` is told with the latest days before it, never with later ones:
    what is bought later sharpens no earlier reading.

    >>> digit_steps(np.array([94.0, 93.5, 95.0, 94.2, 93.9, 95.1]), np.array([0, 0, 0, 1, 1, 1]), "mm").tolist()
    [0.5, 0.5, 0.5, 0.1, 0.1, 0.1]
    >>> digit_steps(np.array([100.0, 90.0]), np.array([0, 0]), "mm").tolist()
    [1.0, 1.0]
    """
    steps = np.zeros(len(values))
    there = np.flatnonzero(~np.isnan(values))
    if not len(there):
        return steps
    # each value of each day once; sorting all of both by numpy's unique along an axis takes five times as long
    every, place = np.unique(values[there], return_inverse=True)
    keys = np.unique((days[there] + 1) * len(every) + place)
    day, value = keys // len(every) - 1, keys % len(every)
    candidates = np.array(sorted((*_DECIMAL, *(_INCH if unit == "mm" else ())), reverse=True))
    fits = _fit(every, candidates)
    first = np.flatnonzero(np.diff(day, prepend=-2) != 0)
    ends = np.append(first[1:], len(day))
    known = []
    for start, end in zip(first.tolist(), ends.tolist(), strict=True):
        begin, different = start, set(value[start:end].tolist())
        while len(different) < ENOUGH and begin > 0 and day[begin - 1] >= 0:
            begin -= 1
            different.add(int(value[begin]))
        own = np.array(sorted(different))
        known.append(_coarsest(candidates, np.logical_and.reduce(fits[own]), len(own)))
    steps[there] = np.array(known)[np.searchsorted(day[first], days[there])]
    return steps


def _fit(values: Floats, candidates: Floats) -> Bools:
    """Whether each value is a whole number of each step; shape (values, candidates)."""
    count = values[:, None] / candidates
    fits: Bools = np.abs(count - np.round(count)) <= _FITS
    return fits


def _coarsest(candidates: Floats, fits: Bools, different: int) -> float:
    usual = fits & ((candidates <= 1) | (different >= _MANY) | ~np.isin(candidates, _DECIMAL))
    return float(candidates[usual.argmax()]) if usual.any() else 0.0
