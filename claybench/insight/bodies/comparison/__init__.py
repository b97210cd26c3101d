"""Bodies side by side, per firing: measures with their intervals, differences from one of them, usual ranges, and
where a body is tight without bloating.

Columns of readings in, frozen results out; one piece's values follow from its readings as `measure` says.
"""

from claybench.insight.bodies.comparison.body_means import Sides, compare, sides
from claybench.insight.bodies.comparison.differences import Difference, Differences, differences
from claybench.insight.bodies.comparison.property_columns import Columns, columns_of, measures_of, raw_of
from claybench.insight.bodies.comparison.relative_time import relative_times
from claybench.insight.bodies.comparison.results import (
    BEFORE_FIRING,
    PROPERTIES,
    BodyResult,
    Measured,
    RelativeTime,
    kind_words,
    shown_in,
)

__all__ = [
    "BEFORE_FIRING",
    "PROPERTIES",
    "BodyResult",
    "Columns",
    "Difference",
    "Differences",
    "Measured",
    "RelativeTime",
    "Sides",
    "columns_of",
    "compare",
    "differences",
    "kind_words",
    "measures_of",
    "raw_of",
    "relative_times",
    "shown_in",
    "sides",
]
