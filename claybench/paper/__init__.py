"""What is printed for the wet bench: sheets as PDF, A4 or Letter."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.paper import (
        bench_sheet as bench_sheet,
        body_report as body_report,
        comparison_parts as comparison_parts,
        comparison_report as comparison_report,
        day_strip as day_strip,
        font_runs as font_runs,
        label_words as label_words,
        labels as labels,
        page as page,
        passport as passport,
        plan_calendar as plan_calendar,
        report_parts as report_parts,
        scannable as scannable,
        text_fit as text_fit,
        wording as wording,
    )
else:
    __getattr__ = modules_of(__name__)
