"""What is printed for the wet bench: sheets as PDF, A4 or Letter."""

from claybench.paper.bench_sheet import bench_sheet
from claybench.paper.body_report import body_report
from claybench.paper.comparison_report import comparison_report
from claybench.paper.labels import Grid, labels
from claybench.paper.page import file_name
from claybench.paper.passport import slab_passport
from claybench.paper.plan_calendar import plan_calendar

__all__ = [
    "Grid",
    "bench_sheet",
    "body_report",
    "comparison_report",
    "file_name",
    "labels",
    "plan_calendar",
    "slab_passport",
]
