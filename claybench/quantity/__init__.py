"""Quantities as people type them, and as the screen shows them: the only place that knows pint.

`parse_quantity` understands a typed quantity by its own small grammar, `show` writes one, `convert_unit` goes between
units.
"""

from claybench.quantity.grammar import ParsedQuantity, parse_number, parse_quantity
from claybench.quantity.shown import show
from claybench.quantity.units import canonical_unit, convert_unit, units_for
