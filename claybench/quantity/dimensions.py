"""What kind of quantity a unit measures, as powers of base units: what the formulas of properties are checked by."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from claybench.quantity.units import base_units, canonical_unit

_POWERS = str.maketrans("0123456789-/", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻ᐟ")


@dataclass(frozen=True, slots=True)
class Dimension:
    """Powers of the base units, and how many of those one of this unit is."""

    powers: tuple[tuple[str, Fraction], ...] = ()
    """Base unit and power, by name; none with power nothing."""
    size: float | None = 1.0
    """In base units; None once a bare number took part, since it may stand for any conversion."""

    @property
    def is_number(self) -> bool:
        """Whether it is a plain number, a share or a percentage."""
        return not self.powers

    def __mul__(self, other: Dimension) -> Dimension:
        return self._joined(other, 1)

    def __truediv__(self, other: Dimension) -> Dimension:
        return self._joined(other, -1)

    def __pow__(self, power: Fraction) -> Dimension:
        """A power of it; `power` exact, so that a root of a square is the unit itself."""
        powers = tuple((name, each * power) for name, each in self.powers if power)
        return Dimension(powers, None if self.size is None else self.size ** float(power))

    def _joined(self, other: Dimension, sign: int) -> Dimension:
        powers = dict(self.powers)
        for name, power in other.powers:
            powers[name] = powers.get(name, Fraction(0)) + sign * power
        known = self.size is not None and other.size is not None
        size = float(self.size or 1.0) * float(other.size or 1.0) ** sign if known else None
        return Dimension(tuple(sorted((name, power) for name, power in powers.items() if power)), size)

    def words(self) -> str:
        """What it is in the unit that people use for such a quantity; in base units where there is none.

        >>> dimension("g/cm3").words(), dimension("%").words(), dimension("MPa").words(), dimension("g*mm").words()
        ('g/mL', 'a plain number', 'N/mm²', 'kg·m')
        """
        if self.powers in _usual_signs():
            return _usual_signs()[self.powers]
        parts = [name + (str(power).translate(_POWERS) if power != 1 else "") for name, power in self.powers]
        return "·".join(parts) or "a plain number"


NUMBER = Dimension((), None)
"""A number written in a formula: of no kind, and of a size that says nothing."""


_USUAL = {
    "g": "g",
    "mm": "mm",
    "mm**2": "mm²",
    "mL": "mL",
    "mm**4": "mm⁴",
    "min": "min",
    "degC": "°C",
    "N": "N",
    "N/mm": "N/mm",
    "N/mm**2": "N/mm²",
    "N*mm": "N·mm",
    "N/mm**3": "N/mm³",
    "g/mL": "g/mL",
    "g/mm**2": "g/mm²",
    "g/mm": "g/mm",
    "mL/g": "mL/g",
    "g/min": "g/min",
    "mm/min": "mm/min",
    "1/mm": "per mm",
    "1/min": "per min",
    "1/kg": "per kg",
    "1/degC": "per °C",
}
"""Units that people use at a bench and a kiln, one for each kind of quantity, and their signs."""


@lru_cache(maxsize=1)
def _usual_signs() -> dict[tuple[tuple[str, Fraction], ...], str]:
    return {dimension(name).powers: sign for name, sign in _USUAL.items()}


@lru_cache(maxsize=256)
def dimension(name: str) -> Dimension:
    """The dimension of a unit; a difference of temperatures for °C and °F.

    Raises
    ------
    BadInput
        Not a unit.
    """
    size, powers = base_units(canonical_unit(name))
    return Dimension(tuple(sorted(powers.items())), size)
