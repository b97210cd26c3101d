"""When a slab stood in air that harms plaster: too hot to keep its bound water, or below freezing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from claybench import clock
from claybench.facts.safety import HOTTEST_AIR_C
from claybench.insight.air import SlabAir
from claybench.terms import Slab, SlabEvent

FREEZING_C = 0.0


@dataclass(frozen=True, slots=True)
class HarmfulSpan:
    """From when to when a slab stood in heat or frost."""

    begin: datetime
    end: datetime
    """Until the air was read again or the slab was moved; the last reading where neither came."""
    temp_c: float | None
    """As it was read; None where somebody only logged that it happened."""

    @property
    def last_moment(self) -> datetime:
        """The last moment that is surely not after it: a slab that was moved out may be weighed in the same minute."""
        return self.end - timedelta.resolution if self.end > self.begin else self.end


def hot_spans(
    slab: Slab, events: Sequence[SlabEvent], air: SlabAir, until: datetime | None = None
) -> list[HarmfulSpan]:
    """Spells above the hottest safe air since a slab was cast, by the air where it stood and by its log, in order.

    One spell for a time without a break, with the hottest that was read.
    """
    return _joined([each for each in _harmful_spans(slab, events, air, "overheated", until) if _is_hot(each)], max)


def cold_spans(
    slab: Slab, events: Sequence[SlabEvent], air: SlabAir, until: datetime | None = None
) -> list[HarmfulSpan]:
    """Spells below freezing since a slab was cast, likewise, with the coldest that was read."""
    return _joined([each for each in _harmful_spans(slab, events, air, "frozen", until) if _is_cold(each)], min)


def _is_hot(span: HarmfulSpan) -> bool:
    return span.temp_c is None or span.temp_c > HOTTEST_AIR_C.value


def _is_cold(span: HarmfulSpan) -> bool:
    return span.temp_c is None or span.temp_c < FREEZING_C


def _harmful_spans(
    slab: Slab, events: Sequence[SlabEvent], air: SlabAir, word: str, until: datetime | None
) -> list[HarmfulSpan]:
    """In order of time, those logged by a word among those read off the air."""
    spans = [HarmfulSpan(*each) for each in air.spans_outside(FREEZING_C, HOTTEST_AIR_C.value, until)]
    spans += [
        HarmfulSpan(event.at, event.until if event.until is not None and event.until > event.at else event.at, None)
        for event in events
        if event.event == word and (until is None or event.at <= until)
    ]
    spans = [each for each in spans if slab.cast_at is None or clock.has_come(slab.cast_at, each.begin)]
    return sorted(spans, key=lambda span: (span.begin, span.end))


def _joined(spans: Iterable[HarmfulSpan], worst: Callable[[Iterable[float]], float]) -> list[HarmfulSpan]:
    out: list[HarmfulSpan] = []
    for span in spans:
        if out and span.begin <= out[-1].end:
            temps = [each.temp_c for each in (out[-1], span) if each.temp_c is not None]
            temp = worst(temps) if temps else None
            out[-1] = HarmfulSpan(out[-1].begin, max(out[-1].end, span.end), temp)
        else:
            out.append(span)
    return out
