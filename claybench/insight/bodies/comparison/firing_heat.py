"""How hot a firing was: by its peak temperature, by what the lab's other firings of its cone peaked at, or by the order
of cones alone; and what a firing is called beside others. No table of cones and temperatures is kept, since what a
cone says depends on the kiln and its pace."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from claybench.quantity.shown import natural_key, show
from claybench.terms import Firing, FiringCone

_BEFORE = r"(?:cone|c/|c|△|Δ|∆|\^)"
"""What people put before a cone's number."""
_CONE = re.compile(rf"{_BEFORE}?\s*(0*)(\d{{1,2}})(?:(\.5|½| 1/2))?\Z", re.IGNORECASE)
_PUT_BEFORE = re.compile(rf"\A{_BEFORE}\s*(?=\d)", re.IGNORECASE)


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

    >>> [cone_place(text) for text in ("022", "06", "6", "cone 10", "^5 1/2", "hot")]
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
            seen[cone_text(row.cone)].append(row.peak_temp_c)
    heats = {}
    for row in every:
        like = seen.get(cone_text(row.cone or ""))
        known = row.peak_temp_c if row.peak_temp_c is not None else sum(like) / len(like) if like else None
        level = row.firing if known is None else show(known, "°C", digits=0)
        heats[row.firing] = Heat(
            firing=row.firing,
            level=f"cone {cone_text(row.cone)}" if row.cone else level,
            temp_c=known,
            of_cone=row.peak_temp_c is None and known is not None,
            cone=cone_place(row.cone),
        )
    return heats


def with_reached_cones(firings: Iterable[Firing], stood: Iterable[FiringCone]) -> list[Firing]:
    """Firings with their cone; where nobody wrote it, the one that the cones in the kiln say was reached."""
    by_firing: dict[str, list[FiringCone]] = defaultdict(list)
    for row in stood:
        by_firing[row.firing].append(row)
    return [row if row.cone else replace(row, cone=_reached(by_firing[row.firing])) for row in firings]


def _reached(stood: Iterable[FiringCone]) -> str | None:
    """The hottest cone that went down or was bending, else the hottest that melted, at most places in the kiln, and
    where these are as many, at the coolest (common practice, no source); None where none bent."""
    by_place: dict[str, list[tuple[bool, float, str]]] = defaultdict(list)
    for row in stood:
        number = cone_place(row.cone)
        if number is not None and row.bent in ("bending", "down", "melted"):
            by_place[row.place or ""].append((row.bent != "melted", number, row.cone.strip()))
    counted = Counter(max(own)[1:] for own in by_place.values())
    return min(counted.items(), key=lambda one: (-one[1], one[0]))[0][1] if counted else None


def firing_titles(firings: Iterable[Firing]) -> dict[str, str]:
    """What each firing is called among these, by its code, the coolest first: its cone, else its peak temperature, with
    the code where two are called alike; the code alone where neither is known.

    >>> rows = [Firing(firing="F1", cone="6"), Firing(firing="F2", cone="6"), Firing(firing="F3", cone="04")]
    >>> firing_titles([*rows, Firing(firing="F4")])
    {'F3': 'cone 04', 'F1': 'cone 6 F1', 'F2': 'cone 6 F2', 'F4': 'F4'}
    """
    every = list(firings)
    called = {row.firing: _title(row) for row in every}
    counts = Counter(called.values())
    known = heats(every)

    def heat_order(row: Firing) -> tuple[bool, float, tuple[object, ...]]:
        heat = known[row.firing]
        by_cone = all(one.cone is not None for one in known.values() if one.cone is not None or one.temp_c is not None)
        height = heat.cone if by_cone else heat.temp_c
        return height is None, height or 0.0, (natural_key(row.firing),)

    return {
        row.firing: called[row.firing] if counts[called[row.firing]] == 1 else f"{called[row.firing]} {row.firing}"
        for row in sorted(every, key=heat_order)
    }


def _title(row: Firing) -> str:
    if row.cone:
        return f"cone {cone_text(row.cone)}"
    return row.firing if row.peak_temp_c is None else show(row.peak_temp_c, "°C", digits=0)


def cone_text(text: str) -> str:
    """A cone as it is written most shortly, so that what is written otherwise is the same cone.

    >>> [cone_text(text) for text in ("6", " 06", "Cone 6", "^6", "c10", "c/6", "cool")]
    ['6', '06', '6', '6', '10', '6', 'cool']
    """
    return _PUT_BEFORE.sub("", text.strip())
