"""How hot a firing was: by its peak temperature, by what the lab's other firings of its cone peaked at, or by the order
of cones alone. No table of cones and temperatures is kept, since what a cone says depends on the kiln and its pace."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from claybench.quantity.shown import show
from claybench.terms import Firing

_CONE = re.compile(r"(?:cone|c|△|Δ)?\s*(0*)(\d{1,2})(?:(\.5|½| 1/2))?\Z", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Heat:
    """How hot one firing was."""

    firing: str
    level: str
    """What firings alike share: the cone, else the temperature, else nothing but the firing itself."""
    temp_c: float | None
    of_cone: bool
    """Whether the temperature is that of the lab's other firings to the same cone."""
    cone: float | None
    """Place in the order of cones."""


def cone_place(text: str | None) -> float | None:
    """Where a cone stands among the others: a nought before it counts downwards, so that 06 is cooler than 04, and
    both are than 1 (common practice, no source). None for what is no cone.

    >>> [cone_place(text) for text in ("022", "06", "6", "cone 10", "5 1/2", "hot")]
    [-22.0, -6.0, 6.0, 10.0, 5.5, None]
    """
    parts = _CONE.fullmatch((text or "").strip())
    if parts is None or int(parts.group(2)) == 0:
        return None
    number = int(parts.group(2)) + (0.5 if parts.group(3) else 0.0)
    return -number if parts.group(1) else number


def heats(firings: Iterable[Firing]) -> dict[str, Heat]:
    """Every firing's heat by its code."""
    every = list(firings)
    seen: dict[str, list[float]] = defaultdict(list)
    for row in every:
        if row.cone and row.peak_temp_c is not None:
            seen[_cone(row.cone)].append(row.peak_temp_c)
    heats = {}
    for row in every:
        like = seen.get(_cone(row.cone or ""))
        known = row.peak_temp_c if row.peak_temp_c is not None else sum(like) / len(like) if like else None
        level = row.firing if known is None else show(known, "°C", digits=0)
        heats[row.firing] = Heat(
            firing=row.firing,
            level=f"cone {_cone(row.cone)}" if row.cone else level,
            temp_c=known,
            of_cone=row.peak_temp_c is None and known is not None,
            cone=cone_place(row.cone),
        )
    return heats


def _cone(text: str) -> str:
    """A cone as it is written most shortly."""
    return re.sub(r"\A(?:cone|c|△|Δ)\s*", "", text.strip(), flags=re.IGNORECASE)
