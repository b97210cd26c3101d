"""Outliers: a reading far from those of pieces like it, where a digit slipped or the piece is really odd.

Pieces of one body are sized before they are compared: a dry length is held against its own plastic length times
what the others shrank to. Grubbs' test where there are enough of them, the distance from their median otherwise.
A reading far off is asked about, never refused.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from claybench.facts.piece_testing import FAR_LENGTH, FAR_MASS, FAR_SIZED, NEAR_ENOUGH
from claybench.measure.piece import PieceRaw
from claybench.measure.properties.readings import READINGS, Reading
from claybench.measure.sample_statistics import grubbs_critical, mean_sd
from claybench.quantity.shown import format_interval, plain, short_number

GRUBBS_FROM = 4
"""Pieces from which on Grubbs' test has something to say."""
_SIGNIFICANCE = 0.05


@dataclass(frozen=True, slots=True)
class Outlier:
    """A reading far from those of pieces like it."""

    value: float
    low: float
    high: float
    """Range of the others' readings, sized to this piece."""
    peers: int
    unit: str
    likely_meant: float | None
    """What it would be with two digits swapped or the point moved, where that fits."""

    def text(self) -> str:
        """One sentence.

        >>> Outlier(91.2, 19.1, 19.4, 5, "mm", 19.2).text()
        '91.2 is far from 5 pieces like it, 19.1–19.4 mm. Was 19.2 meant?'
        """
        span = (
            short_number(self.low, 4)
            if short_number(self.low, 4) == short_number(self.high, 4)
            else format_interval(self.low, self.high, figures=4, tight=True)
        )
        others = "the one piece like it" if self.peers == 1 else f"{self.peers} pieces like it"
        meant = f" Was {plain(self.likely_meant)} meant?" if self.likely_meant is not None else ""
        return f"{plain(self.value)} is far from {others}, {span} {self.unit}.{meant}"


def find_outlier(reading: str, value: float, own: PieceRaw, peers: Sequence[PieceRaw]) -> Outlier | None:
    """The reading as an outlier among those of pieces like it; None where it is none.

    `reading` is a length or mass of `PieceRaw`, in mm or g; `own` is the piece's other readings.
    """
    read = READINGS.get(reading)
    if read is None or not read.is_size:
        return None
    is_length = read.column.unit == "mm"
    expected, sized = _expected(read, own, peers)
    if not expected or not value > 0:
        return None
    middle = median(expected)
    loose = (FAR_SIZED if sized else FAR_LENGTH if is_length else FAR_MASS).value / 100
    # An outlier that was kept must not widen the range for others.
    sound = [each for each in expected if abs(each / middle - 1) <= loose] or expected
    far = abs(value / middle - 1) > loose
    if not far and len(sound) >= GRUBBS_FROM and (sized or is_length):
        far = abs(value / middle - 1) > NEAR_ENOUGH.value / 100 and _fails_grubbs(value, sound)
    if not far:
        return None
    low, high = min(sound), max(sound)
    return Outlier(value, low, high, len(expected), read.column.unit, _likely_meant(value, low, high))


def _expected(reading: Reading, own: PieceRaw, peers: Sequence[PieceRaw]) -> tuple[list[float], bool]:
    """The reading as each of the others would have it, and whether that is sized to the piece."""
    for basis in reading.sized_by:
        scale = getattr(own, basis)
        if not scale or scale <= 0:
            continue
        pairs = [(getattr(each, reading.name), getattr(each, basis)) for each in peers]
        sized = [after / before * scale for after, before in pairs if after and before and after > 0 and before > 0]
        if sized:
            return sized, True
    return [value for each in peers if (value := getattr(each, reading.name)) and value > 0], False


def _fails_grubbs(value: float, peers: Sequence[float]) -> bool:
    everyone = [*peers, value]
    mean, sd = mean_sd(everyone)
    return bool(sd) and abs(value - mean) > grubbs_critical(len(everyone), _SIGNIFICANCE) * (sd or 0.0)


def _likely_meant(value: float, low: float, high: float) -> float | None:
    """The value with the point moved or two neighbouring digits swapped, where one such lies among the others."""
    pad = max(NEAR_ENOUGH.value / 100 * high, (high - low) / 2)
    text = f"{value:g}"
    swapped = []
    digits = [at for at, mark in enumerate(text) if mark.isdigit()]
    for first, second in itertools.pairwise(digits):
        marks = list(text)
        marks[first], marks[second] = marks[second], marks[first]
        swapped.append(float("".join(marks)))
    tried = [*swapped, *(value * 10.0**power for power in (-1, 1, -2, 2))]
    return next((round(each, 6) for each in tried if low - pad <= each <= high + pad), None)
