"""`read-table`: suggested, looked at, read in, taken back; faults with their place and an exit code."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.exchange.reading.row_kinds import KINDS
from tests.cli.conftest import Command
from tests.docs.reference import DOCS
from tests.sample import copy_lab

BARS = "Neue Reihe;;;\nBar;Date;Wet length (cm);Shape\n801;25.09.2026;10,05;Stab\n802;25.09.2026;10;Stab\n"


@pytest.fixture
def lab(sample_lab_file: Path, tmp_path: Path) -> Path:
    """A copy of the sample."""
    return copy_lab(sample_lab_file, tmp_path / "sample.claybench")


def test_a_mapping_is_suggested_changed_and_used(command: Command, lab: Path, tmp_path: Path) -> None:
    file = tmp_path / "bars.csv"
    file.write_bytes(BARS.encode("cp1252"))
    suggested = command("read-table", file, "--as", "pieces", "--every", "batch=B-01-1", "--suggest")
    assert (suggested.code, suggested.err) == (0, "")
    assert '"Wet length (cm)" = "plastic_mm"' in suggested.out and 'batch = "B-01-1"' in suggested.out
    mapping = tmp_path / "bars.toml"
    mapping.write_text(suggested.out.replace('"shape"', '{ to = "shape", words = { Stab = "bar" } }'), encoding="utf-8")
    seen = command("read-table", file, "--map", mapping, "--preview", "--lab", lab)
    assert seen.code == 0 and "It would be: 2 added" in seen.err
    assert ["3", "801", "B-01-1", "bar", "2026-09-25", "100.5"] in [line.split() for line in seen.out.splitlines()]
    done = command("read-table", file, "--map", mapping, "--lab", lab)
    assert (done.code, done.out, done.err) == (0, "", "2 added\n")
    assert command("read-table", file, "--map", mapping, "--lab", lab).err == "2 as before\n"
    assert command("undo", "--lab", lab).err == "Took back: Read in bars.csv.\n"


def test_faults_are_listed_and_nothing_is_written(command: Command, lab: Path, tmp_path: Path) -> None:
    file = tmp_path / "bars.csv"
    file.write_text(BARS, encoding="utf-8")
    before = command("history", "--json", "--lab", lab).out
    refused = command("read-table", file, "--as", "pieces", "--every", "batch=B-99", "--lab", lab)
    assert refused.code == 6 and refused.out == ""
    assert "bars.csv:3: Shape: 'Stab': It is not one of bar" in refused.err
    assert "bars.csv:3: batch of every row: 'B-99': there is no batch 'B-99'" in refused.err
    assert command("history", "--json", "--lab", lab).out == before


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "--as pieces"),
        (("--as", "pots"), "Say one of bodies"),
        (("--map", "none.toml"), "cannot be read"),
        (("--as", "pieces", "--every", "batch"), "COLUMN=VALUE"),
        (("--as", "pieces", "--every", "bach=1"), "batch is meant"),
    ],
)
def test_what_cannot_be_asked_is_said(command: Command, tmp_path: Path, arguments: tuple[str, ...], said: str) -> None:
    file = tmp_path / "bars.csv"
    file.write_text(BARS, encoding="utf-8")
    answer = command("read-table", file, *arguments, "--suggest")
    assert answer.code > 0 and answer.out == "" and said in answer.err


def test_the_example_of_the_docs_is_read(command: Command, lab: Path) -> None:
    page = (DOCS / "reading-a-table.md").read_text(encoding="utf-8")
    mapping = (DOCS / "examples" / "kiln-book.toml").read_text(encoding="utf-8")
    assert page.split("```toml\n")[1].split("```")[0] in mapping
    example = (DOCS / "examples" / "kiln-book.csv", "--map", DOCS / "examples" / "kiln-book.toml")
    assert command("read-table", *example, "--lab", lab).err == "5 added\n"
    table = command("table", "pieces", "--lab", lab).out
    line = next(line for line in table.splitlines() if "LA2" in line)
    assert "B-01-1" in line and ",100.2," in line and ",88.4," in line
    for name in KINDS:
        assert name in page
