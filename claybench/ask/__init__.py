"""What a person wants to know: one function a question, each reading one snapshot."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.ask import (
        answers as answers,
        backtest as backtest,
        batches as batches,
        bench as bench,
        bodies as bodies,
        body_table as body_table,
        compare as compare,
        faulty as faulty,
        fitness as fitness,
        frames as frames,
        history as history,
        kept_questions as kept_questions,
        labels as labels,
        latest as latest,
        mixing as mixing,
        model as model,
        names as names,
        pieces as pieces,
        plan as plan,
        plasticity as plasticity,
        pours as pours,
        recipes as recipes,
        repeats as repeats,
        reports as reports,
        runs as runs,
        search as search,
        sets as sets,
        slabs as slabs,
        snapshot as snapshot,
        trace as trace,
        weighing as weighing,
        where as where,
    )
else:
    __getattr__ = modules_of(__name__)
