"""`--csv`: what `--json` says, one line each, for a spreadsheet; nothing in it runs."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from claybench.record.opening import open_lab
from claybench.terms import Slab
from claybench.work.slabs import enter_slab
from tests.cli.conftest import Command
from tests.sample import END, copy_lab


def lines(text: str) -> list[dict[str, str]]:
    """Rows by heading."""
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize(
    ("arguments", "name", "inner"),
    [
        (("slabs",), "slab", "evidence"),
        (("forecast", "--open"), "run", "median_min"),
        (("history",), "label", "at"),
        (("compare", "B-01", "B-02"), "body", "properties.total_shrinkage_pct.mean"),
        (("bodies", "family buff"), "body", "family"),
    ],
)
def test_a_table_of_the_same_answers(
    command: Command, sample_lab_file: Path, arguments: tuple[str, ...], name: str, inner: str
) -> None:
    as_of = () if arguments[0] == "history" else ("--as-of", END.isoformat())
    said = command(*arguments, *as_of, "--csv", "--lab", sample_lab_file)
    wanted = command(*arguments, *as_of, "--json", "--lab", sample_lab_file).json
    assert said.code == 0
    found = lines(said.out)
    assert [row[name] for row in found] == [str(each[name]) for each in wanted] and found
    assert inner in found[0]


def test_nothing_in_it_runs(command: Command, sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    lab = open_lab(path)
    enter_slab(lab, Slab(slab="=1+1", length_mm=500, width_mm=400, thickness_mm=45), at=END, mass_g=12_000)
    lab.close()
    found = lines(command("slabs", "--csv", "--lab", path).out)
    assert "'=1+1" in [row["slab"] for row in found]
