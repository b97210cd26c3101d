"""Spans of time put in order once, so that whether anything lay there is found without looking at all; days of service.

A slab dries tens of layers a year and is asked about each of them: looking through all for each is what makes a long
record slow.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable, Sequence
from datetime import UTC, datetime, timedelta

from claybench import clock
from claybench.terms import Run, Slab

_NEVER = datetime.max.replace(tzinfo=UTC)


class TimeSpans:
    """Spans that may overlap, as the time that any of them covers. An end of None is not yet come."""

    def __init__(self, spans: Iterable[tuple[datetime, datetime | None]]) -> None:
        self._starts: list[datetime] = []
        self._ends: list[datetime] = []
        for start, end in sorted((start, end or _NEVER) for start, end in spans):
            if self._ends and start < self._ends[-1]:
                self._ends[-1] = max(self._ends[-1], end)
            else:
                self._starts.append(start)
                self._ends.append(end)

    def covers(self, moment: datetime) -> bool:
        """Whether a span has begun by then and not yet ended."""
        index = bisect_right(self._starts, moment) - 1
        return index >= 0 and self._ends[index] > moment

    def overlap(self, start: datetime, end: datetime) -> bool:
        """Whether any span has time in common with this one."""
        index = bisect_right(self._ends, start)
        return index < len(self._starts) and self._starts[index] < end


def any_within(times: Sequence[datetime], start: datetime, end: datetime) -> bool:
    """Whether any of the times, in order, lies from the start on and before the end."""
    index = bisect_left(times, start)
    return index < len(times) and times[index] < end


def runs_beside_others(runs: Sequence[Run]) -> set[str]:
    """Runs of one slab, in order of their start, that lay on it beside another for a while."""
    codes: set[str] = set()
    last: Run | None = None
    until: datetime | None = None
    for run in runs:
        end = run.ended_at or _NEVER
        if last is not None and until is not None and run.started_at < until:
            codes.update((last.run, run.run))
        if until is None or end > until:
            last, until = run, end
    return codes


def free_moment(wanted: datetime, taken: Collection[datetime]) -> datetime:
    """A moment that no other line of a log has: the wanted one, or the next microsecond that is free.

    >>> noon = datetime(2026, 3, 12, 12)
    >>> f"{free_moment(noon, {noon}):%H:%M:%S.%f}"
    '12:00:00.000001'
    """
    while wanted in taken:
        wanted += timedelta(microseconds=1)
    return wanted


def is_retired(slab: Slab, at: datetime) -> bool:
    """Whether a slab is out of use at a moment of the lab's clock."""
    return slab.retired_on is not None and clock.has_come(slab.retired_on, at)


def is_in_service(slab: Slab, at: datetime) -> bool:
    """Whether a slab was taken into service by a moment of the lab's clock."""
    return slab.in_service_on is not None and clock.has_come(slab.in_service_on, at)
