"""What an instrument's row says: whether it was in use on a day, and its step in a unit."""

from __future__ import annotations

from datetime import UTC, date, datetime

from claybench.errors import BadInput
from claybench.quantity.units import convert_unit
from claybench.terms import Instrument


def is_in_use(instrument: Instrument, day: date) -> bool:
    """Whether it was there on a day: from `since` to `until`, both counted; where either is empty, without end."""
    begun = instrument.since is None or _day_of(instrument.since) <= day
    return begun and (instrument.until is None or day <= _day_of(instrument.until))


def _day_of(moment: date) -> date:
    """The day itself, or that of a moment, in UTC as the days of readings are."""
    return moment.astimezone(UTC).date() if isinstance(moment, datetime) else moment


def step_in_unit(instrument: Instrument, unit: str) -> float | None:
    """Its step in a unit, as it stands where either has none; None where it has no step, or reads another kind."""
    if instrument.step is None:
        return None
    if not instrument.unit or not unit:
        return instrument.step
    try:
        return convert_unit(instrument.step, instrument.unit, unit)
    except BadInput:
        return None  # a scale reads no length, and an ounce may mean two things
