"""What is printed for the wet bench: sheets as PDF, A4 or Letter."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.paper import (
        bench_sheet as bench_sheet,
        beside as beside,
        body_report as body_report,
        comparison_report as comparison_report,
        day_strip as day_strip,
        fit as fit,
        label_words as label_words,
        labels as labels,
        letters as letters,
        page as page,
        parts as parts,
        passport as passport,
        plan_calendar as plan_calendar,
        said as said,
        scannable as scannable,
    )
else:
    __getattr__ = modules_of(__name__)
