"""Quantities as people type them, and as the screen shows them: the only place that knows pint.

`read` understands a typed quantity by its own small grammar, `show` writes one, `convert` goes between units.
"""

from claybench.quantity.grammar import Reading, read, read_number
from claybench.quantity.shown import show
from claybench.quantity.units import convert, unit, units_for

__all__ = ["Reading", "convert", "read", "read_number", "show", "unit", "units_for"]
