"""Every speed figure: what is measured, against what, and the most that is wanted."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from pathlib import Path

from claybench.record.opening import create_lab
from tests.bench import compare, refit, search
from tests.bench.made_folder import ROWS_A_RUN, write_folder
from tests.bench.processes import CLAYBENCH, PYTHON, Cost, least, python, run, until_shown

ONE_LABEL = """
from textual.app import App
from textual.widgets import Label
class OneLabel(App):
    def compose(self):
        yield Label("one label")
OneLabel().run()
"""
_BENCH_RUNS = 100
_WORD = r"[A-Za-z]{4}"


@dataclass(frozen=True, slots=True)
class Figure:
    """One ratio (or exponent, or size), and what it was made of."""

    value: float
    said: str = ""


class Bench:
    """Labs of the sizes asked for, in a folder of their own, made when they are first needed."""

    def __init__(self, folder: Path, *, runs: int, pieces: int, rounds: int) -> None:
        self.folder, self.runs, self.pieces, self.rounds = folder, runs, pieces, rounds
        self._made = 0

    def fresh(self, name: str) -> Path:
        """A path at which nothing is yet."""
        self._made += 1
        return self.folder / f"{self._made}-{name}"

    def empty_lab(self) -> Path:
        """A new lab without rows."""
        path = self.fresh("empty.claybench")
        create_lab(path, name="Bench lab (made up)", zone="UTC").close()
        return path

    def lab_folder(self, runs: int) -> Path:
        """The made-up folder of a lab of so many runs."""
        path = self.folder / f"folder-{runs}"
        if not path.exists():
            write_folder(path, runs)
        return path

    def imported(self, runs: int) -> Path:
        """A lab of so many runs."""
        path = self.folder / f"{runs}.claybench"
        if not path.exists():
            create_lab(path, name="Bench lab (made up)", zone="UTC").close()
            run(_import(path, self.lab_folder(runs)))
        return path

    @cached_property
    def piece_lab(self) -> Path:
        """A lab of 200 bodies with so many pieces."""
        return compare.made_up(self.folder / "pieces.claybench", batches=self.pieces // 10)

    def sizes(self) -> list[int]:
        """Runs of labs of a thousand rows, ten thousand and so on, up to the largest."""
        sizes = [round(1000 / ROWS_A_RUN)]
        while sizes[-1] * 10 <= self.runs * 1.05:
            sizes.append(sizes[-1] * 10)
        return sizes


def _import(lab: Path, folder: Path) -> Sequence[str | Path]:
    return (*CLAYBENCH, "--lab", lab, "import", folder)


def _export(bench: Bench, runs: int) -> Cost:
    return run((*CLAYBENCH, "--lab", bench.imported(runs), "export", bench.fresh("out")))


def _import_anew(bench: Bench, runs: int) -> Cost:
    return run(_import(bench.empty_lab(), bench.lab_folder(runs)))


def _seconds(command: Sequence[str | Path]) -> Callable[[], float]:
    return lambda: run(command).seconds


def _ratio(bench: Bench, ours: Callable[[], float], bare: Callable[[], float], *, few: bool = False) -> Figure:
    """Our seconds over the bare ones; `few` rounds where one takes long."""
    own, other = least(max(1, bench.rounds // 3) if few else bench.rounds, ours, bare)
    return Figure(own / other, f"{own:.3f} s over {other:.3f} s")


def _growth(bench: Bench, seconds: Callable[[int], float]) -> Figure:
    """The steepest exponent between neighbouring sizes."""
    sizes = bench.sizes()
    took = [min(seconds(runs) for _ in range(max(1, bench.rounds // 3))) for runs in sizes]
    steps = [math.log(took[at + 1] / took[at]) / math.log(sizes[at + 1] / sizes[at]) for at in range(len(sizes) - 1)]
    listed = ", ".join(f"{runs * ROWS_A_RUN:,} rows {each:.2f} s" for runs, each in zip(sizes, took, strict=True))
    return Figure(max(steps, default=0.0), listed)


def _help(bench: Bench) -> Figure:
    return _ratio(bench, _seconds((*CLAYBENCH, "--help")), _seconds(python("import typer")))


def _version(bench: Bench) -> Figure:
    return _ratio(bench, _seconds((*CLAYBENCH, "--version")), _seconds(python("pass")))


def _notebook(shown: str, bench: Bench) -> Figure:
    lab = bench.imported(_BENCH_RUNS)
    ours = partial(until_shown, (*CLAYBENCH, "--lab", lab), shown)
    return _ratio(bench, ours, partial(until_shown, python(ONE_LABEL), "one label"))


def _two_bodies(bench: Bench) -> Figure:
    ours = (*CLAYBENCH, "--lab", bench.imported(_BENCH_RUNS), "compare", "B-00000", "B-00001", "--json")
    return _ratio(bench, _seconds(ours), _seconds(python("import numpy, sqlmodel")))


def _many_bodies(bench: Bench) -> Figure:
    bare, ours = ((PYTHON, "-m", "tests.bench.compare", what, bench.piece_lab) for what in ("bare", "side-by-side"))
    return _ratio(bench, _seconds(ours), _seconds(bare), few=True)


def _bare(bench: Bench, name: str, *arguments: Path) -> float:
    """Seconds that a function of `tests.bench.bare` tells of its work, in a process of its own."""
    out = bench.fresh("seconds")
    told = f"import sys; from tests.bench.bare import {name}; open(sys.argv[1], 'w').write(str({name}(*sys.argv[2:])))"
    run(python(told, out, *arguments))
    return float(out.read_text())


def _importing(bench: Bench) -> Figure:
    full = bench.imported(bench.runs)

    def prepared() -> float:
        return _bare(bench, "insert_prepared", full, bench.empty_lab())

    return _ratio(bench, lambda: _import_anew(bench, bench.runs).seconds, prepared, few=True)


def _import_memory(bench: Bench) -> Figure:
    cost = _import_anew(bench, bench.runs)
    return Figure(cost.peak_mb, f"{bench.runs} runs")


def _exporting(bench: Bench) -> Figure:
    full = bench.imported(bench.runs)

    def bare() -> float:
        return _bare(bench, "select_and_write", full, bench.fresh("bare"))

    return _ratio(bench, lambda: _export(bench, bench.runs).seconds, bare, few=True)


def _searching(bench: Bench) -> Figure:
    return _ratio(bench, *search.each_key(bench.imported(bench.runs), bench.fresh("fts")))


@dataclass(frozen=True, slots=True)
class Measure:
    """One row of the table."""

    name: str
    what: str
    against: str
    most: float
    take: Callable[[Bench], Figure]
    unit: str = ""


MEASURES = (
    Measure("help", "`--help`", "importing the command-line library", 1.3, _help),
    Measure("version", "`--version`", "the bare interpreter", 2, _version),
    Measure("paint", "notebook to first paint", "a Textual app of one label", 1.25, partial(_notebook, _WORD)),
    Measure("data", "notebook to data, 100 runs", "a Textual app of one label", 2.2, partial(_notebook, r"\bP0\d")),
    Measure("compare-two", "`compare` two bodies", "importing numpy and sqlmodel", 3, _two_bodies),
    Measure("compare-all", "comparing 200 bodies", "pandas reading and grouping the same rows", 2, _many_bodies),
    Measure("import", "`import`", "the rows, prepared, by `executemany` alone", 3, _importing),
    Measure("import-memory", "peak memory of that import", "", 500, _import_memory, "MB"),
    Measure("export", "`export`", "`SELECT` and `csv`", 3, _exporting),
    Measure("search", "search box, each key", "SQLite's full-text query", 3, _searching),
    Measure(
        "import-growth", "`import` with rows", "", 1.1,
        lambda bench: _growth(bench, lambda runs: _import_anew(bench, runs).seconds), "exponent",
    ),
    Measure(
        "export-growth", "`export` with rows", "", 1.1,
        lambda bench: _growth(bench, lambda runs: _export(bench, runs).seconds), "exponent",
    ),
    Measure(
        "search-growth", "search box with rows", "", 1.1,
        lambda bench: _growth(bench, lambda runs: search.seconds_of_a_key(bench.imported(runs))), "exponent",
    ),
    Measure(
        "refit-growth", "refit with runs", "", 1.1, lambda bench: _growth(bench, refit.seconds_of_a_refit), "exponent",
    ),
)  # fmt: skip
