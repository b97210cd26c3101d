"""The kinds of reading a piece can have, as the grid asks for them. Knows no widget."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from claybench.acts.field import FieldReading
from claybench.acts.pieces import reading_field
from claybench.errors import ClaybenchError
from claybench.measure.warp import warp
from claybench.quantity import read
from claybench.terms import TABLE_OF, Fired, Piece
from claybench.tui.words import NOTHING, number

if TYPE_CHECKING:
    from claybench.ask.pieces import PieceLine

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
class TypedReading:
    """What was typed for one reading, understood."""

    value: float | str | None = None
    clears: bool = False
    echo: str = ""
    wrong: str = ""


def row_type_of(reading: str) -> type[Piece] | type[Fired]:
    """The table a reading belongs to."""
    return Piece if reading in TABLE_OF[Piece].names else Fired


def recorded_value(line: PieceLine, reading: str) -> float | str | None:
    """What a piece has there already."""
    source = line.piece if row_type_of(reading) is Piece else line.fired
    value: float | str | None = getattr(source, reading) if source is not None else None
    return value


def reading_cell(value: float | str | None) -> str:
    """A reading in the grid."""
    return value if isinstance(value, str) else number(value)


def column_head(reading: str) -> str:
    """Head of a column."""
    name, _, unit = reading.rpartition("_")
    if not name:
        return reading
    return f"{'hanging' if name == 'suspended' else name} {'%' if unit == 'pct' else unit}"


def measuring_guide(reading: str, method: str | None) -> str:
    """What the standard asks of this reading, in one line."""
    return _METHOD_GUIDES.get((reading, method or ""), _GUIDES.get(reading, ""))


def parse_reading(reading: str, text: str, now: datetime) -> TypedReading:
    """Read what was typed; a lone dash clears what stands there."""
    typed = text.strip()
    if typed in ("-", "–"):
        return TypedReading(clears=True, echo="clears what stands there")
    parts = _WARP.match(typed) if reading == "warp_pct" else None
    field = _parse_warp(*parts.groups()) if parts else reading_field(reading).understand(typed, now)
    if field.wrong:
        return TypedReading(wrong=field.wrong)
    return TypedReading(field.value, echo=field.echo)


def _parse_warp(gap: str, edge: str) -> FieldReading:
    try:
        value = warp(read(gap, "mm").value, read(edge, "mm").value)
    except ClaybenchError as error:
        return FieldReading(None, "", str(error))
    return FieldReading(round(value, 4), f"= {number(value)} %")


def reading_with_unit(value: float | str | None, reading: str) -> str:
    """A reading with its unit."""
    if value is None:
        return NOTHING
    unit = reading.rpartition("_")[2]
    return reading_cell(value) + {"mm": " mm", "g": " g", "pct": " %"}.get(unit, "")
