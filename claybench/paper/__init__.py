"""What is printed for the wet bench: sheets as PDF, A4 or Letter."""

from claybench.paper.bench_sheet import bench_sheet

__all__ = ["bench_sheet"]
