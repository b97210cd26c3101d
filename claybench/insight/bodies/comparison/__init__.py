"""Bodies side by side, per firing: measures with their intervals, differences from one of them, usual ranges, and
where a body is tight without bloating.

Columns of readings in, frozen results out; one piece's values follow from its readings as `measure` says."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.bodies.comparison import property_columns as property_columns
else:
    __getattr__ = modules_of(__name__)
