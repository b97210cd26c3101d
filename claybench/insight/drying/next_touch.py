"""When a layer is to be touched next: one rule for the bench, a run's page, commands, and the calendar of a plan.

A layer is left alone until the window of its forecast opens, since before that a finger only marks it; from then on it
is touched at the interval that the lab has set.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from claybench.insight.drying.forecast import Forecast
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.settings import Settings
from claybench.insight.workable_interval import WORKABLE_OR_STIFF
from claybench.terms import Check

LONGEST_UNTOUCHED_MIN = 24 * 60.0
"""However slow a layer is foretold to be, it is looked at once a day; common practice, no source."""


def first_workable_check(poured: PouredLayer) -> Check | None:
    """The first touch at which a layer felt workable or stiff; None where there is none yet."""
    return next((check for check in poured.checks if check.feel in WORKABLE_OR_STIFF), None)


def next_touch(poured: PouredLayer, forecast: Forecast, settings: Settings) -> datetime | None:
    """When a layer on a slab wants a finger; None where it is lifted, or felt workable and has to come off."""
    run = poured.run
    if run.outcome is not None or first_workable_check(poured) is not None:
        return None
    touched = poured.checks[-1].at if poured.checks else None
    return touch_due(run.started_at, touched, forecast.low_min, settings.number_of("touch_every_min"))


def touch_due(poured_at: datetime, touched_at: datetime | None, low_min: float, every_min: float) -> datetime:
    """The next touch of a layer: when its window opens, but no sooner than the interval after the last one.

    `low_min` is the early end of its forecast, in minutes from the pour.

    >>> pour = datetime(2026, 3, 12, 9, 0)
    >>> f"{touch_due(pour, None, 80, 15):%H:%M}", f"{touch_due(pour, pour + timedelta(minutes=85), 86, 15):%H:%M}"
    ('10:20', '10:40')
    """
    looked = poured_at if touched_at is None else touched_at
    opens = min(poured_at + timedelta(minutes=low_min), looked + timedelta(minutes=LONGEST_UNTOUCHED_MIN))
    return opens if touched_at is None else max(touched_at + timedelta(minutes=every_min), opens)
