"""The invented workshop: its dates, its true state, and the rows it has written so far."""

import random
from datetime import datetime
from zoneinfo import ZoneInfo

from physics import Plaster, Weather
from recipes import Truth
from tables import COLUMNS

SEED = 20260302
ZONE = ZoneInfo("Europe/Lisbon")
FIRST = datetime(2026, 3, 16, 8, 30)
END = datetime(2026, 9, 25, 14, 31)
RUNS = 150
PIECES = 300
DAMP = (datetime(2026, 6, 8), datetime(2026, 6, 14))
CLOGS_FROM = datetime(2026, 7, 13)
CROSSING = datetime(2026, 7, 20)
CHIPPED = datetime(2026, 7, 6, 9, 20)
FIRINGS = (
    ("F-01", "2026-04-20", "6", 1222), ("F-02", "2026-05-18", "6", 1224), ("F-03", "2026-06-15", "04", 1061),
    ("F-04", "2026-06-29", "6", 1221), ("F-05", "2026-07-27", "6", 1223), ("F-06", "2026-08-24", "6", 1220),
    ("F-07", "2026-09-14", "6", 1222), ("F-08", "2026-09-21", "9", 1279),
)  # fmt: skip


class Workshop:
    """Keeps the rows that were written, and the true state of every slab."""

    def __init__(self) -> None:
        self.dice = random.Random(SEED)
        self.rows: dict[str, list[dict[str, object]]] = {name: [] for name in COLUMNS}
        self.weather = Weather(SEED, *DAMP)
        self.slabs: dict[str, Plaster] = {}
        self.uses: dict[str, int] = {}
        self.batch_numbers: dict[str, int] = {}
        self.codes = iter(piece_codes())
        self.runs = 0
        self.pieces: list[tuple[dict[str, object], Truth, str]] = []
        self.specks_left = 3

    def add(self, table: str, **values: object) -> dict[str, object]:
        """Write one row."""
        self.rows[table].append(values)
        return values

    def log(self, slab: str, at: datetime, event: str, **values: object) -> None:
        """Write one line of a slab's log."""
        self.add("slab_log", slab=slab, at=at, event=event, **values)

    def weigh(self, slab: Plaster) -> int:
        """What the scale shows for a slab: steps of 5 g, and a gram or two of doubt."""
        return 5 * round((slab.dry_g + slab.water_g + self.dice.gauss(0, 1.5)) / 5)


def piece_codes() -> list[str]:
    """Short codes from symbols that cannot be taken for one another, whichever way up a bar lies."""
    symbols = "379ACKNPXY"
    found = [f"{turn}{first}{second}" for turn in "P9" for first in symbols for second in symbols]
    found += [f"{first}{turn}{second}" for turn in "P9" for first in "37ACKNXY" for second in symbols]
    return found
