"""The kinds of reading a piece can have, as the grid asks for them. Knows no widget."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from claybench.acts.field import Ask, Understood
from claybench.errors import BadInput, ClaybenchError
from claybench.measure.piece import questions
from claybench.terms import TABLE_OF, Fired, Piece
from claybench.tui.words import NOTHING, number

READINGS = (
    "plastic_mm", "plastic_g", "dry_mm", "dry_g", "fired_mm", "fired_g", "soaked_g", "suspended_g", "warp_pct", "colour",
)  # fmt: skip
METHODS: dict[str, tuple[str, ...]] = {
    "dry_mm": ("air", "oven"),
    "dry_g": ("oven", "air"),
    "soaked_g": ("boil", "vacuum", "soak"),
    "suspended_g": ("boil", "vacuum", "soak"),
}
"""How a reading may have come about; the first is what is usual."""
_GUIDES = {
    "plastic_mm": "ASTM C326: between the marks, at once; ten bars or more.",
    "dry_mm": "ASTM C326: between the marks, in the order of the plastic lengths.",
    "fired_mm": "ASTM C326: between the same marks.",
    "warp_pct": "ASTM C485: the gap at mid-length, % of the edge. '0.4 of 130 mm' is worked out.",
    "colour": "in your own words",
}
_METHOD_GUIDES = {
    ("dry_g", "oven"): "110 °C to constant mass: water and loss are of this mass.",
    ("dry_g", "air"): "air dry: some moisture stays, so water comes out low and loss high.",
    ("soaked_g", "boil"): "ASTM C373: boiled 5 h, left in the water 24 h, wiped; five pieces or more of 50 g.",
    ("soaked_g", "vacuum"): "ISO 10545-3: under vacuum. Not interchangeable with boiling.",
    ("soaked_g", "soak"): "cold water alone, no standard: less gets in than by boiling or vacuum.",
    ("suspended_g", "boil"): "ASTM C373: hanging in water, after the soak.",
    ("suspended_g", "vacuum"): "ISO 10545-3: hanging in water, after the vacuum.",
    ("suspended_g", "soak"): "hanging in water, after a cold soak; no standard.",
}
_WARP = re.compile(r"^(.+?)\s+(?:of|in)\s+(.+)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Entered:
    """What was typed for one reading, understood."""

    value: float | str | None = None
    clears: bool = False
    echo: str = ""
    wrong: str = ""


def kind_of(reading: str) -> type[Any]:
    """The table a reading belongs to."""
    return Piece if reading in TABLE_OF[Piece].names else Fired


def ask_for(reading: str) -> Ask:
    """The field of a reading."""
    return Ask.of(kind_of(reading), reading)


def held(line: Any, reading: str) -> Any:
    """What a piece has there already."""
    source = line.piece if kind_of(reading) is Piece else line.fired
    return getattr(source, reading) if source is not None else None


def cell(value: Any) -> str:
    """A reading in the grid."""
    return value if isinstance(value, str) else number(value)


def short(reading: str) -> str:
    """Head of a column."""
    name, _, unit = reading.rpartition("_")
    if not name:
        return reading
    return f"{'hanging' if name == 'suspended' else name} {'%' if unit == 'pct' else unit}"


def guide(reading: str, method: str | None) -> str:
    """What the standard asks of this reading, in one line."""
    return _METHOD_GUIDES.get((reading, method or ""), _GUIDES.get(reading, ""))


def understand(reading: str, text: str, now: datetime) -> Entered:
    """Read what was typed; a lone dash clears what stands there."""
    typed = text.strip()
    if typed in ("-", "–"):
        return Entered(clears=True, echo="clears what stands there")
    found: Understood
    if reading == "warp_pct" and (parts := _WARP.match(typed)):
        found = _warp(*parts.groups())
    else:
        found = ask_for(reading).understand(typed, now)
    if found.wrong:
        return Entered(wrong=found.wrong)
    return Entered(found.value, echo=found.echo)


def _warp(gap: str, edge: str) -> Understood:
    from claybench.measure.warp import warp
    from claybench.quantity import read

    try:
        value = warp(read(gap, "mm").value, read(edge, "mm").value)
    except (BadInput, ClaybenchError) as error:
        return Understood(None, "", str(error))
    return Understood(round(value, 4), f"= {number(value)} %")


def doubt(lines: Sequence[Any], line: Any, reading: str, value: Any) -> str:
    """Why a reading may be mistaken: a slip that its fellows name, what can hardly be, or how far off it is."""
    from claybench.ask.pieces import fellows_of
    from claybench.insight.comparison import raw_of
    from claybench.insight.fellows import far_off

    if not isinstance(value, float) or reading == "warp_pct":
        return ""
    own = raw_of(line.piece, line.fired)
    found = far_off(reading, value, own, fellows_of(lines, line, reading))
    if found is not None and found.instead is not None:
        return found.text()
    raw = replace(own, **{reading: value})  # type: ignore[arg-type]
    hardly = next((asked.text for asked in questions(raw) if asked.field == reading), "")
    return hardly or (found.text() if found is not None else "")


def why_ask(lines: Sequence[Any], line: Any, reading: str, value: Any, *, firing: str, again: bool) -> str:
    """What to ask before a reading is saved: one thing, the plainest first; empty where nothing is to be asked."""
    if value is not None and (why := doubt(lines, line, reading, value)):
        return why
    if again:
        return ""
    there = held(line, reading)
    if there is not None and there != value:
        act = "cleared" if value is None else "corrected"
        both = ", Ctrl+r keeps both as two readings" if isinstance(value, float) else ""
        return f"{words_of(there, reading)} stands there already and would be {act}{both}."
    if kind_of(reading) is Fired and line.fired is None:
        return f"{line.piece.piece} is not written down as one of firing {firing or NOTHING}; this would put it there."
    return ""


def words_of(value: Any, reading: str) -> str:
    """A reading with its unit."""
    if value is None:
        return NOTHING
    unit = reading.rpartition("_")[2]
    return cell(value) + {"mm": " mm", "g": " g", "pct": " %"}.get(unit, "")
