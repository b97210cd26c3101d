"""Every speed figure as a ratio, measured in one run: `python -m tests.bench [NAME…] [--runs N] [--pieces N]`.

Without sizes a lab of a hundred thousand rows, which takes a few minutes; `--full` takes 1.3 million rows and 800,000
pieces, as `docs/speed.md` does. Times are processor seconds of whole processes, the least of several rounds.
"""

from __future__ import annotations

import argparse
import platform
import tempfile
from pathlib import Path

from tests.bench.made_folder import ROWS_A_RUN
from tests.bench.measures import MEASURES, Bench, Figure, Measure


def main() -> None:
    """Measure and print."""
    names = [measure.name for measure in MEASURES]
    asked = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    asked.add_argument("names", nargs="*", metavar="NAME", help=f"one of {', '.join(names)}; all where none is named")
    asked.add_argument("--runs", type=int, default=8_000, help=f"runs of the large lab, {ROWS_A_RUN} rows each")
    asked.add_argument("--pieces", type=int, default=100_000, help="pieces of the 200 bodies that are compared")
    asked.add_argument("--full", action="store_true", help="100,000 runs and 800,000 pieces")
    asked.add_argument("--rounds", type=int, default=5, help="rounds of which the least counts")
    given = asked.parse_args()
    if unknown := [name for name in given.names if name not in names]:
        asked.error(f"there is no {', '.join(unknown)}; the figures are {', '.join(names)}")
    runs, pieces = (100_000, 800_000) if given.full else (given.runs, given.pieces)
    print(f"{platform.machine()}, {platform.system()}, Python {platform.python_version()}; {runs:,} runs", end="")
    print(f" ({runs * ROWS_A_RUN:,} rows), {pieces:,} pieces; the least of {given.rounds} rounds\n")
    print("| figure | what | against | measured | at most | |\n|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory(prefix="claybench-bench-") as folder:
        bench = Bench(Path(folder), runs=runs, pieces=pieces, rounds=given.rounds)
        for measure in MEASURES:
            if given.names and measure.name not in given.names:
                continue
            figure = measure.take(bench)
            print(_line(measure, figure), flush=True)


def _line(measure: Measure, figure: Figure) -> str:
    shown = f"{figure.value:.0f}" if figure.value >= 100 else f"{figure.value:.2f}"
    told = f"{'' if figure.value <= measure.most else 'missed; '}{figure.said}"
    cells = (measure.name, measure.what, measure.against, f"{shown} {measure.unit}".strip(), f"{measure.most:g}", told)
    return f"| {' | '.join(cells)} |"


if __name__ == "__main__":
    main()
