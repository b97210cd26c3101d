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
    pairs = np.unique(np.stack([days[there].astype(float), values[there]]), axis=1)
    candidates = np.array(sorted((*_DECIMAL, *(_INCH if unit == "mm" else ())), reverse=True))
    fits = _fit(pairs[1], candidates)
    first = np.flatnonzero(np.diff(pairs[0], prepend=np.nan) != 0)
    ends = np.append(first[1:], pairs.shape[1])
    known = []
    for start, end in zip(first.tolist(), ends.tolist(), strict=True):
        begin = start
        while pairs[0, start] >= 0 and len(set(pairs[1, begin:end].tolist())) < ENOUGH and begin > 0:
            if pairs[0, begin - 1] < 0:
                break
            begin -= 1
        known.append(
            _coarsest(candidates, np.logical_and.reduce(fits[begin:end]), len(set(pairs[1, begin:end].tolist())))
        )
    steps[there] = np.array(known)[np.searchsorted(pairs[0, first], days[there].astype(float))]
    return steps


def _fit(values: Floats, candidates: Floats) -> Bools:
    """Whether each value is a whole number of each step; shape (values, candidates)."""
    count = values[:, None] / candidates
    fits: Bools = np.abs(count - np.round(count)) <= _FITS
    return fits


def _coarsest(candidates: Floats, fits: Bools, different: int) -> float:
    usual = fits & ((candidates <= 1) | (different >= _MANY) | ~np.isin(candidates, _DECIMAL))
    return float(candidates[usual.argmax()]) if usual.any() else 0.0
