"""Slip by mass or by volume: what was typed, as a mass."""

from __future__ import annotations

from claybench.errors import BadInput
from claybench.quantity.grammar import ParsedQuantity, parse_quantity
from claybench.quantity.shown import show


def parse_slip_mass(text: str, g_per_ml: float | None, *, default: str | None = None) -> ParsedQuantity:
    """A mass of slip in g, typed as a mass, or as a volume that is taken times what the slip weighs.

    >>> parse_slip_mass("2.8 kg", 1.4).value, parse_slip_mass("2 L", 1.4).value
    (2800.0, 2800.0)
    """
    try:
        return parse_quantity(text, "g", default=default)
    except BadInput as error:
        try:
            volume = parse_quantity(text, "mL")
        except BadInput:
            raise error from None
    if g_per_ml is None:
        raise BadInput(
            f"{show(volume.value, 'mL')} of slip: what it weighs is not known.",
            "Type its mass, or what the slip weighs (g/mL).",
        )
    mass = float(f"{volume.value * g_per_ml:.12g}")
    return ParsedQuantity(mass, "g", text, volume.typed_unit)


def echo_slip(text: str, g_per_ml: float | None, *, default: str | None = None) -> str:
    """What was understood, with the reckoning where a volume was typed.

    >>> echo_slip("2 L", 1.4), echo_slip("2.8 kg", None)
    ('= 2 000 mL at 1.4 g/mL = 2 800 g', '= 2 800 g')
    """
    mass = parse_slip_mass(text, g_per_ml, default=default)
    if g_per_ml is None or mass.value == 0 or _is_mass(text, default):
        return f"= {show(mass.value, 'g')}"
    return f"= {show(mass.value / g_per_ml, 'mL')} at {show(g_per_ml, 'g/mL')} = {show(mass.value, 'g')}"


def _is_mass(text: str, default: str | None) -> bool:
    try:
        parse_quantity(text, "g", default=default)
    except BadInput:
        return False
    return True
