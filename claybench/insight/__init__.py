"""What the record tells: wetness, time to workable, forecast, comparison, what is due.

Plain rows in, series and figures out; nothing here opens a lab."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight import (
        air as air,
        contradictions as contradictions,
        drying as drying,
        settings as settings,
        sizing as sizing,
        slab_condition as slab_condition,
        slab_water as slab_water,
        unusable_rows as unusable_rows,
    )
else:
    __getattr__ = modules_of(__name__)
