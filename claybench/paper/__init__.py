"""What is printed for the wet bench: sheets as PDF, A4 or Letter."""

from claybench.paper.bench_sheet import bench_sheet
from claybench.paper.labels import Grid, labels

__all__ = ["Grid", "bench_sheet", "labels"]
