"""What is printed for the wet bench: sheets as PDF, A4 or Letter."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.paper import (
        bench_sheet as bench_sheet,
        body_report as body_report,
        comparison_report as comparison_report,
        labels as labels,
        page as page,
        passport as passport,
        plan_calendar as plan_calendar,
        trace_sheet as trace_sheet,
    )
else:
    __getattr__ = modules_of(__name__)
