"""What the record tells: wetness, time to workable, forecast, comparison, what is due.

Plain rows in, series and figures out; nothing here opens a lab."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight import (
        air as air,
        batch_notes as batch_notes,
        bodies as bodies,
        contradictions as contradictions,
        date_words as date_words,
        drying as drying,
        garbage_pause as garbage_pause,
        next_code as next_code,
        pieces as pieces,
        plan as plan,
        record_rows as record_rows,
        service_dates as service_dates,
        settings as settings,
        sizing as sizing,
        slab_condition as slab_condition,
        slab_water as slab_water,
        time_spans as time_spans,
        unusable_rows as unusable_rows,
        weighing_history as weighing_history,
        workable_interval as workable_interval,
    )
else:
    __getattr__ = modules_of(__name__)
