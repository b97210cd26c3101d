"""What a person wants to know: one function a question, each reading one snapshot."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.ask import (
        backtest as backtest,
        batches as batches,
        bench as bench,
        bodies as bodies,
        body_table as body_table,
        comparison as comparison,
        data_frames as data_frames,
        fault_trace as fault_trace,
        held_names as held_names,
        history as history,
        labels as labels,
        material_care as material_care,
        pieces as pieces,
        plan as plan,
        pour_steps as pour_steps,
        properties as properties,
        record_values as record_values,
        reports as reports,
        runs as runs,
        search as search,
        sizing_start as sizing_start,
        slabs as slabs,
        snapshot as snapshot,
        weighing_out as weighing_out,
        where_to_pour as where_to_pour,
    )
else:
    __getattr__ = modules_of(__name__)
