"""How unsure the water of each point of plasticity is by the step of the scale alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from claybench.insight.bodies.comparison.reading_steps import numbered_days, stated_step
from claybench.later import np
from claybench.measure.daily_steps import digit_steps
from claybench.measure.water_content import rounding_of_water
from claybench.terms import Instrument, Measurement


def weighing_steps(rows: Sequence[Measurement], instruments: Iterable[Instrument]) -> list[float]:
    """The step of the scale that each point was weighed in, in g: its own, else its instrument's, else by the digits of
    that day's weighings; 0 where none is seen.

    A cone's own step is that of its depth, and says nothing of the scale.
    """
    known = {each.instrument: each for each in instruments if each.kind == "scale" or each.unit}
    weighed = [row.wet_g for row in rows] + [row.dry_g for row in rows]
    values = np.array([np.nan if each is None else each for each in weighed], dtype=float)
    days = numbered_days([row.at for row in rows])
    by_digits = digit_steps(values, np.concatenate([days, days]), "g").reshape(2, len(rows)).max(axis=0)
    steps = []
    for row, by_digit in zip(rows, by_digits.tolist(), strict=True):
        of_scale = row.step is None or row.value is None
        stated = stated_step(row, known, "g") if of_scale else None
        steps.append(by_digit if stated is None else stated)
    return steps


def rounding_of_points(rows: Sequence[Measurement], instruments: Iterable[Instrument]) -> list[float]:
    """Standard uncertainty of each point's water by rounding both weighings, in % of dry mass; 0 where not weighed."""
    return [
        rounding_of_water(row.wet_g, row.dry_g, step) if row.wet_g and row.dry_g and row.wet_g >= row.dry_g else 0.0
        for row, step in zip(rows, weighing_steps(rows, instruments), strict=True)
    ]
