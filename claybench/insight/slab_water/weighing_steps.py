"""The step of the scale behind each weighing of a slab, and what it leaves open.

A weighing does not say which scale it was read on: the scales in use that day do, and its own digits. A setting of
today says nothing of old weighings.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, tzinfo

from claybench import clock
from claybench.insight.instruments import is_in_use, step_in_unit
from claybench.insight.slab_water.bare_weighings import bare_masses
from claybench.measure.reading_steps import fits_step, largest_step, rounding_variance, steps_along
from claybench.terms import Instrument, Run, SlabEvent

WEIGHING_SD_G = 3.0
"""Spread of one weighing of a slab, its step apart: how it stands, draught, a wet cloth; from memory."""
_COARSEST_USUAL_G = 100.0
"""Coarsest step believed on digits alone while a lab has weighed so little that chance cannot be ruled out: bathroom
and luggage scales; common practice, no source."""
_FINEST_G = 0.1
"""No slab is weighed finer; a choice of this program."""
_UNITS_G = (1.0, 453.59237, 28.349523125)
"""Gram, pound and ounce (NIST SP 811, appendix B.8): what a scale may be divided in."""


class WeighingSteps:
    """Steps of all weighings of bare slabs in a lab; without any, those asked about count as read on a fine scale."""

    def __init__(
        self,
        weighings: Iterable[tuple[datetime, float]] = (),
        instruments: Iterable[Instrument] = (),
        zone: tzinfo | None = None,
    ) -> None:
        self._weighings = sorted(weighings)
        self._zone = zone
        self._scales = [(each, step) for each in instruments if (step := _step_of_scale(each)) is not None]
        self._finest = _finest([mass for _, mass in self._weighings])
        finest = [self._finest_at(at, mass) for at, mass in self._weighings]
        told = steps_along([mass for _, mass in self._weighings], finest)
        self._steps = dict(zip(self._weighings, told, strict=True))

    @classmethod
    def from_rows(
        cls,
        events: Mapping[str, Sequence[SlabEvent]],
        runs: Mapping[str, Sequence[Run]],
        instruments: Iterable[Instrument],
        zone: tzinfo,
    ) -> WeighingSteps:
        """From logs and runs by slab."""
        masses = [each for slab in {*events, *runs} for each in bare_masses(events.get(slab, ()), runs.get(slab, ()))]
        return cls(masses, instruments, zone)

    def with_weighing(self, at: datetime, mass_g: float) -> WeighingSteps:
        """The same lab with one more weighing."""
        return WeighingSteps(
            [*self._weighings, (at, mass_g)], [instrument for instrument, _ in self._scales], self._zone
        )

    def step_of(self, at: datetime, mass_g: float) -> float:
        """Step of one of the weighings, g."""
        step = self._steps.get((at, mass_g))
        return self._finest_at(at, mass_g) if step is None else step

    def step_of_card(self, mass_g: float) -> float:
        """Step of a mass on a slab's card, of which nobody knows the day: the lab's finest, where its digits are."""
        return _finest([mass_g, *(mass for _, mass in self._weighings)]) if self._weighings else _FINEST_G

    def variance_of(self, at: datetime, mass_g: float) -> float:
        """Variance of one of the weighings by scale and step, g²."""
        return weighing_variance(self.step_of(at, mass_g))

    def _finest_at(self, at: datetime, mass_g: float) -> float:
        """The finest step that a weighing can have been read in: of the scales in use that day the coarsest that its
        digits fit, else what all the lab's weighings have in common."""
        day = (clock.in_zone(at, self._zone) if self._zone is not None else at).date()
        in_use = [step for scale, step in self._scales if is_in_use(scale, day)]
        return max((step for step in in_use if fits_step(mass_g, step)), default=self._finest)


def weighing_variance(step_g: float) -> float:
    """Variance of one weighing read in a step, g².

    >>> round(weighing_variance(1), 2), round(weighing_variance(100))
    (9.08, 842)
    """
    return WEIGHING_SD_G**2 + rounding_variance(step_g)


def weighing_sd(*steps_g: float) -> float:
    """Spread of the sum or the difference of weighings read in such steps, g."""
    return math.sqrt(sum(weighing_variance(step) for step in steps_g))


def _finest(masses: Sequence[float]) -> float:
    """What masses have in common, as far as digits alone are believed; a scale may show pounds or ounces."""
    for unit in _UNITS_G:
        step = largest_step([mass / unit for mass in masses])
        if step is not None and step * unit >= _FINEST_G:
            return min(step * unit, _COARSEST_USUAL_G)
    return _FINEST_G


def _step_of_scale(instrument: Instrument) -> float | None:
    """Step of a scale in g; None where it is no scale, or nothing says how it is divided."""
    known = instrument.kind == "scale" and instrument.unit is not None
    return step_in_unit(instrument, "g") if known else None
