"""How forecasts came out: for the whole lab, for one slab, for one body."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from claybench.ask.model import lab_model
from claybench.ask.snapshot import Snapshot
from claybench.insight.drying.backtest import Came, looking_back
from claybench.measure.intervals import median_within, turnbull
from claybench.quantity.shown import plain
from claybench.record.lab import Lab
from claybench.terms import Body, Slab


@dataclass(frozen=True, slots=True)
class Lookback:
    """Finished runs with what was forecast at their pour."""

    of: str
    """In words: the lab, a slab, a body."""
    runs: tuple[Came, ...]
    """Touched both before they were workable and when they were; in order of their pour."""
    at: datetime
    over: tuple[float, float] | None = None
    """Between which the median of all times over their forecasts lies; those seen too late or too early count."""

    @property
    def within(self) -> int:
        """Runs that came within their 90 % interval."""
        return sum(each.within for each in self.runs)

    @property
    def words(self) -> str:
        """How many came as forecast, in one sentence."""
        if not self.runs:
            return f"No run of {self.of} was touched before and after it became workable yet."
        said = f"{self.of}: {self.within} of {len(self.runs)} runs came within their 90 % interval"
        if self.over is None:
            return said
        low, high = (plain(each, 2) for each in self.over)
        return f"{said}; in the median {low if low == high else f'{low}–{high}'} times as forecast"


def lookback(lab: Lab, *, slab: str | None = None, body: str | None = None, as_of: datetime | None = None) -> Lookback:
    """Of one slab, of one body, or of the whole lab."""
    snapshot, model = lab_model(lab, as_of=as_of)
    code, name = _code(snapshot, Slab, slab), _code(snapshot, Body, body)
    words = " on ".join(filter(None, (name and f"body {name}", code and f"slab {code}"))) or "the lab"
    found = looking_back(model, slab=code, body=name)
    complete = tuple(each for each in found if each.complete)
    return Lookback(words, complete, snapshot.at, median_within(turnbull([each.over for each in found])))


def _code(snapshot: Snapshot, kind: type[Any], wanted: str | None) -> str | None:
    if wanted is None:
        return None
    found = next((code for code in snapshot.by_code(kind) if code.casefold() == wanted.casefold()), None)
    if found is None:
        raise snapshot.missing(kind, wanted)
    return found
