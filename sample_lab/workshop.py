"""The invented workshop: its calendar, its true state, and the rows it has written so far."""

import random
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from physics import Plaster, Weather
from tables import COLUMNS

SEED = 20260305
ZONE = ZoneInfo("Europe/Lisbon")
CAST = datetime(2026, 2, 16, 10, 0)
FIRST = datetime(2026, 3, 16, 8, 30)
END = datetime(2026, 9, 25, 14, 31)
RUNS = 150
PIECES = 300
DAMP = (datetime(2026, 6, 8), datetime(2026, 6, 14))
CHIPPED = datetime(2026, 7, 6, 9, 20)
CASTING_FROM = date(2026, 7, 9)
CROSSING = datetime(2026, 7, 20, 17, 50)
SHUT = ((date(2026, 4, 4), date(2026, 4, 12)), (date(2026, 8, 8), date(2026, 8, 23)))
OPENS, CLOSES = time(8, 30), time(18, 15)


class Workshop:
    """Keeps the rows that were written, and the true state of every slab."""

    def __init__(self) -> None:
        self.dice = random.Random(SEED)
        self.rows: dict[str, list[dict[str, object]]] = {name: [] for name in COLUMNS}
        self.weather = Weather(SEED, *DAMP)
        self.slabs: dict[str, Plaster] = {}
        self.batch_numbers: dict[str, int] = {}
        self.made: list[Any] = []
        """Pieces as they truly are."""
        self.codes = iter(piece_codes())

    def add(self, table: str, **values: object) -> dict[str, object]:
        """Write one row."""
        self.rows[table].append(values)
        return values

    def log(self, slab: str, at: datetime, event: str, **values: object) -> None:
        """Write one line of a slab's log."""
        self.add("slab_log", slab=slab, at=at, event=event, **values)

    def move(self, slab: Plaster, at: datetime, place: str, **values: object) -> None:
        """Carry a slab to another place."""
        slab.dry_until(at, self.weather)
        slab.place, slab.out = place, None
        if "air_temp_c" in values:
            slab.out = tuple(float(str(value)) for value in values.values())[:3]  # type: ignore[assignment]
        self.log(slab.code, at, "moved", place=place, **values)

    def weigh(self, slab: Plaster) -> int:
        """What the scale shows for a slab: steps of 5 g, and a gram or two of doubt."""
        return 5 * round((slab.dry_g + slab.water_g + self.dice.gauss(0, 1.5)) / 5)

    def whose(self) -> str:
        """Initials, where somebody wrote them."""
        return self.dice.choice(["k", "k", "k", "m", "m", "", ""])


def open_days() -> list[date]:
    """Days on which somebody is there, but for the last."""
    days = [FIRST.date() + timedelta(days=n) for n in range((END.date() - FIRST.date()).days)]
    return [day for day in days if day.weekday() < 5 and not is_shut(day)]


def is_shut(day: date) -> bool:
    """Whether the workshop is closed for a holiday."""
    return any(first <= day <= last for first, last in SHUT)


def next_morning(at: datetime) -> datetime:
    """When somebody is there again after the bench closed."""
    day = at.date() + timedelta(days=1)
    while day.weekday() > 4 or is_shut(day):
        day += timedelta(days=1)
    return datetime.combine(day, OPENS)


def piece_codes() -> list[str]:
    """Short codes from symbols that cannot be taken for one another, whichever way up a bar lies.

    P and 9 turn into signs that no code has, so each code holds one and tells which way up it is.
    """
    symbols = "379ACKNPXY"
    found = [f"{turn}{first}{second}" for turn in "P9" for first in symbols for second in symbols]
    found += [f"{first}{turn}{second}" for turn in "P9" for first in "37ACKNXY" for second in symbols]
    return found
