"""The air a slab stands in at any moment, from its own log, the workshop's readings and the settings."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import pairwise
from operator import itemgetter

from claybench.insight.settings import Settings
from claybench.terms import Air, SlabEvent

FANNED = frozenset({"fan"})
_FIRST, _LAST = datetime.min.replace(tzinfo=UTC), datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class AirConditions:
    """Temperature, humidity and draught at one place and moment."""

    temp_c: float
    rh_pct: float
    speed_m_s: float
    place: str
    measured: bool
    """False where only the settings speak."""
    standing: str | None = None
    """How the slab stands in it: flat, on edge or on slats; None where nobody wrote it."""


@dataclass(slots=True)
class _Series:
    """Readings of one quantity in order of time; each holds until the next."""

    times: list[datetime]
    values: list[float]

    def value_at(self, moment: datetime) -> float | None:
        index = bisect_right(self.times, moment) - 1
        return self.values[index] if index >= 0 else None


class AirRecord:
    """Looks up the air of a place; of a slab, its own log speaks first."""

    def __init__(self, air: Iterable[Air], settings: Settings) -> None:
        self.settings = settings
        readings: dict[tuple[str, str], list[tuple[datetime, float]]] = defaultdict(list)
        moments: dict[str, list[datetime]] = defaultdict(list)
        for row in air:
            place = row.place or "shelf"
            moments[place].append(row.at)
            for name in ("air_temp_c", "air_rh_pct", "air_speed_m_s"):
                value = getattr(row, name)
                if value is not None:
                    readings[place, name].append((row.at, value))
        self._series = {key: _in_order(pairs) for key, pairs in readings.items()}
        self._moments = {place: sorted(times) for place, times in moments.items()}

    def air_at_place(self, place: str, moment: datetime) -> AirConditions:
        """The air at a place: its own readings, else the shelf's, else the settings."""
        temp = self._newest(place, "air_temp_c", moment)
        humidity = self._newest(place, "air_rh_pct", moment)
        own = self._series.get((place, "air_speed_m_s"))
        speed = own.value_at(moment) if own is not None else None
        usual = "fan_air_m_s" if place in FANNED else "room_air_m_s"
        return AirConditions(
            temp_c=temp if temp is not None else self.settings.number_of("room_temp_c"),
            rh_pct=humidity if humidity is not None else self.settings.number_of("room_rh_pct"),
            speed_m_s=speed if speed is not None else self.settings.number_of(usual),
            place=place,
            measured=temp is not None and humidity is not None,
        )

    def changes(self, place: str, since: datetime, until: datetime) -> list[datetime]:
        """Moments within a span at which the air of a place was read."""
        out: set[datetime] = set()
        for name in {place, "shelf"}:
            out.update(_times_between(self._moments.get(name, []), since, until))
        return sorted(out)

    def was_outside(self, low_c: float, high_c: float) -> bool:
        """Whether any place was ever colder or hotter than this, so that a slab may have been."""
        temps = [series for (_, name), series in self._series.items() if name == "air_temp_c"]
        return any(min(each.values) < low_c or max(each.values) > high_c for each in temps)

    def _newest(self, place: str, name: str, moment: datetime) -> float | None:
        for at in (place, "shelf"):
            series = self._series.get((at, name))
            value = series.value_at(moment) if series is not None else None
            if value is not None:
                return value
        return None


class SlabAir:
    """The air of one slab: where its log says it stands, and what its log says of the air there."""

    def __init__(self, events: Iterable[SlabEvent], record: AirRecord) -> None:
        self.record = record
        ordered = sorted(events, key=lambda event: event.at)
        placed = [(event.at, event.place) for event in ordered if event.place is not None]
        self._times = [at for at, _ in placed]
        self._places = [place for _, place in placed]
        self._own = {
            name: _in_order([(event.at, value) for event in ordered if (value := getattr(event, name)) is not None])
            for name in ("air_temp_c", "air_rh_pct", "air_speed_m_s")
        }
        self._standing = [(event.at, event.standing) for event in ordered if event.standing is not None]
        self._edges = self._change_times()
        self._outside: dict[tuple[float, float, datetime | None], list[tuple[datetime, datetime, float]]] = {}
        """Spans outside a range, by what was asked."""
        self._looked_up: dict[int, AirConditions] = {}
        """The air after so many changes: asked for again and again, it is looked up once."""

    def place_at(self, moment: datetime) -> str:
        """Where the slab stands."""
        index = bisect_right(self._times, moment) - 1
        return self._places[index] if index >= 0 else "shelf"

    def standing_at(self, moment: datetime) -> str | None:
        """How the slab stands, as was last written; None before that."""
        index = bisect_right(self._standing, moment, key=itemgetter(0)) - 1
        return self._standing[index][1] if index >= 0 else None

    def air_at(self, moment: datetime) -> AirConditions:
        """The air around the slab; its own log's values hold until it is moved on."""
        return self._air_after(bisect_right(self._edges, moment), moment)

    def spans_outside(
        self, low_c: float, high_c: float, until: datetime | None = None
    ) -> list[tuple[datetime, datetime, float]]:
        """When the slab stood in air colder or hotter than this, by its own log or its place, and how cold or hot.

        From when to when: until the air was read again or the slab was moved. What nobody read since is as old as its
        reading.
        """
        if (low_c, high_c, until) not in self._outside:
            self._outside[low_c, high_c, until] = self._find_outside(low_c, high_c, until)
        return self._outside[low_c, high_c, until]

    def _find_outside(
        self, low_c: float, high_c: float, until: datetime | None
    ) -> list[tuple[datetime, datetime, float]]:
        own = self._own["air_temp_c"].values
        if not any(each < low_c or each > high_c for each in own) and not self.record.was_outside(low_c, high_c):
            return []
        begun = [edge for edge in self._edges if until is None or edge <= until]
        spans = [(edge, end, self.air_at(edge).temp_c) for edge, end in pairwise([*begun, *begun[-1:]])]
        return [each for each in spans if each[2] < low_c or each[2] > high_c]

    def spans(self, start: datetime, end: datetime) -> list[tuple[datetime, datetime, AirConditions]]:
        """From one moment to a later one, parted where the air around the slab changed."""
        edges, index, out = self._edges, bisect_right(self._edges, start), []
        while index < len(edges) and edges[index] < end:
            out.append((start, edges[index], self._air_after(index, start)))
            start, index = edges[index], index + 1
        out.append((start, end, self._air_after(index, start)))
        return out

    def _air_after(self, changes: int, moment: datetime) -> AirConditions:
        air = self._looked_up.get(changes)
        if air is None:
            air = self._looked_up[changes] = self._look_up(moment)
        return air

    def _look_up(self, moment: datetime) -> AirConditions:
        place = self.place_at(moment)
        around = self.record.air_at_place(place, moment)
        moved = bisect_right(self._times, moment) - 1
        since = self._times[moved] if moved >= 0 else None
        temp, humidity, speed = (self._own_value(name, moment, since) for name in self._own)
        return AirConditions(
            temp_c=around.temp_c if temp is None else temp,
            rh_pct=around.rh_pct if humidity is None else humidity,
            speed_m_s=around.speed_m_s if speed is None else speed,
            place=place,
            measured=around.measured or (temp is not None and humidity is not None),
            standing=self.standing_at(moment),
        )

    def _change_times(self) -> list[datetime]:
        edges = {at for times in (*(each.times for each in self._own.values()), self._times) for at in times}
        edges.update(at for at, _ in self._standing)
        for start, end in pairwise([_FIRST, *self._times, _LAST]):
            edges.update(self.record.changes(self.place_at(start), start, end))
        return sorted(edges)

    def _own_value(self, name: str, moment: datetime, since: datetime | None) -> float | None:
        series = self._own[name]
        index = bisect_right(series.times, moment) - 1
        if index < 0 or (since is not None and series.times[index] < since):
            return None
        return series.values[index]


def _times_between(times: list[datetime], since: datetime, until: datetime) -> list[datetime]:
    """Times, in order, after one moment and up to another."""
    return times[bisect_right(times, since) : bisect_right(times, until)]


def _in_order(pairs: list[tuple[datetime, float]]) -> _Series:
    ordered = sorted(pairs)
    return _Series([at for at, _ in ordered], [value for _, value in ordered])
