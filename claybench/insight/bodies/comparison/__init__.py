"""Bodies side by side, per firing: measures with their intervals, differences from one of them, usual ranges, and
where a body is tight without bloating.

Columns of readings in, frozen results out; one piece's values follow from its readings as `measure` says."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.bodies.comparison import (
        body_means as body_means,
        differences as differences,
        firing_heat as firing_heat,
        property_columns as property_columns,
        property_values as property_values,
        reading_groups as reading_groups,
        record_columns as record_columns,
        relative_time as relative_time,
        results as results,
        usual_ranges as usual_ranges,
        value_cells as value_cells,
        vitrification as vitrification,
    )
else:
    __getattr__ = modules_of(__name__)
