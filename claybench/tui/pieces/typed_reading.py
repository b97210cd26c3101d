"""The kinds of reading a piece can have, as the grid asks for them. Knows no widget."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

from claybench.acts.field import FieldReading
from claybench.acts.pieces import reading_field
from claybench.errors import ClaybenchError
from claybench.measure.properties.readings import Reading
from claybench.measure.warp import warp
from claybench.quantity import parse_quantity
from claybench.tui.display_text import NOTHING, number_text

_WARP = re.compile(r"^(.+?)\s+(?:of|in)\s+(.+)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class TypedReading:
    """What was typed for one reading, understood."""

    value: float | str | None = None
    clears: bool = False
    echo: str = ""
    wrong: str = ""


def reading_cell(value: float | str | None) -> str:
    """A reading in the grid."""
    return value if isinstance(value, str) else number_text(value)


def parse_reading(reading: Reading, text: str, now: datetime) -> TypedReading:
    """Read what was typed; a lone dash clears what stands there."""
    typed = text.strip()
    if typed in ("-", "–"):
        return TypedReading(clears=True, echo="clears what stands there")
    parts = _WARP.match(typed) if reading.is_ratio else None
    field = _parse_warp(*parts.groups()) if parts else reading_field(reading).understand(typed, now)
    if field.wrong:
        return TypedReading(wrong=field.wrong)
    return TypedReading(field.value, echo=field.echo)


def _parse_warp(gap: str, edge: str) -> FieldReading:
    try:
        value = warp(parse_quantity(gap, "mm").value, parse_quantity(edge, "mm").value)
    except ClaybenchError as error:
        return FieldReading(None, "", str(error))
    return FieldReading(round(value, 4), f"= {number_text(value)} %")


def reading_with_unit(value: float | str | None, reading: Reading) -> str:
    """A reading with its unit."""
    return NOTHING if value is None else f"{reading_cell(value)} {reading.unit}".rstrip()
