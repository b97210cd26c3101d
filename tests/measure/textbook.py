"""Formulas of test pieces as the standards write them, beside the declared properties that are held against them."""

from __future__ import annotations

from claybench.errors import OutOfRange


def linear_shrinkage(before: float, after: float) -> float:
    """ASTM C326 (from memory): per cent of the length before."""
    _more_than_nothing(before, after)
    return 100 * (before - after) / before


def volume_shrinkage(linear_pct: float) -> float:
    """ASTM C326 (from memory), of a piece that shrinks alike in all directions."""
    _more_than_nothing(100 - linear_pct)
    return 100 * (1 - (1 - linear_pct / 100) ** 3)


def apparent_porosity(dry: float, soaked: float, suspended: float) -> float:
    """ASTM C373 / C20: open pores, per cent of the outer volume."""
    _more_than_nothing(dry, soaked, soaked - suspended)
    return 100 * (soaked - dry) / (soaked - suspended)


def apparent_density(dry: float, suspended: float) -> float:
    """ASTM C373 / C20: dry mass by the volume that water does not enter, g/mL."""
    _more_than_nothing(dry, dry - suspended)
    return dry / (dry - suspended)


def _more_than_nothing(*sizes: float) -> None:
    if not all(size > 0 for size in sizes):
        raise OutOfRange("Such a piece cannot be.", "Check which reading is which.", field="piece")
