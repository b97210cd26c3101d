"""What sizing shows: figures with their reason in JSON, a plain table for people, cautions on stderr."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from claybench.cli.common import emit, say, table

if TYPE_CHECKING:
    from claybench.facts.reason import Figure


def show_sizing(
    figures: dict[str, Figure],
    names: dict[str, tuple[str, str]],
    cautions: Iterable[Any],
    extra: dict[str, Any],
    as_json: bool,
) -> None:
    """Every figure with its range and reason, what else belongs to the answer, and the cautions."""
    if as_json:
        emit(
            {
                name: {"value": one.value, "unit": one.unit, "low": one.low, "high": one.high, "why": one.why.lines()}
                for name, one in figures.items()
            }
            | extra
            | {"cautions": [caution.line() for caution in cautions]}
        )
        return
    rows = []
    for name, one in figures.items():
        known = one.low is not None and one.high is not None
        rows.append(
            [
                name,
                short(one.value, 6),
                "" if one.unit == "1" else one.unit,
                f"{short(one.low)} to {short(one.high)}" if known else "",
                names.get(name, (name.replace(".", " ").replace("_", " "), ""))[0],
            ]
        )
    table(["figure", "value", "unit", "range", "what it is"], rows)
    for caution in cautions:
        say(f"! {caution.line()}")


def short(value: float | None, digits: int = 4) -> str:
    """A number to so many digits, never with an exponent.

    >>> short(12071.4), short(0.0123456), short(11830.6, 6), short(2e7)
    ('12070', '0.01235', '11830.6', '20000000')
    """
    if value is None:
        return ""
    text = f"{Decimal(f'{value:.{digits}g}'):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
