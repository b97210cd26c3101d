"""`read-table`: suggested, looked at, read in, taken back; faults with their place and an exit code."""

from __future__ import annotations

import subprocess
import sys
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
    assert (done.code, done.out) == (0, "") and done.err.endswith("2 added\n")
    assert command("read-table", file, "--map", mapping, "--lab", lab).err.endswith("2 as before\n")
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
        (("--as", "pieces", "--decimal", "dot"), "point or comma"),
        (("--as", "pieces", "--unit", "ell"), "no unit"),
        (("--as", "pieces", "--leave-out", "Bra"), "There is no heading 'Bra'"),
        (("--as", "pieces", "--skip", "x"), "not the number of a row"),
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
    assert command("read-table", *example, "--lab", lab).err.endswith("5 added\n")
    table = command("table", "pieces", "--lab", lab).out
    line = next(line for line in table.splitlines() if "LA2" in line)
    assert "B-01-1" in line and ",100.2," in line and ",88.4," in line
    for name in KINDS:
        assert name in page


MIXED = (
    "Bar,Batch,Wet length,Dry length,Material\n"
    "901,B-01-1,100,94.1,\n"
    "902,B-01-1,94.2,100,\n"
    "mean,,97.1,97,\n"
    "903,B-99,100,94,\n"
    "904,B-01-1,100,94.3,\n"
)


def test_the_sound_rows_are_taken_and_the_others_mended_and_read_again(
    command: Command, lab: Path, tmp_path: Path
) -> None:
    file = tmp_path / "bars.csv"
    file.write_text(MIXED, encoding="utf-8")
    refused = command("read-table", file, "--as", "pieces", "--lab", lab)
    assert refused.code == 6 and "--take-good" in refused.err and "grew" in refused.err
    done = command("read-table", file, "--as", "pieces", "--take-good", "--lab", lab)
    left = tmp_path / "bars left.csv"
    assert done.code == 0 and done.out == "" and str(left) in done.err and done.err.endswith("2 added\n")
    rows = left.read_text(encoding="utf-8-sig").splitlines()
    assert [row.split(",")[0] for row in rows] == ["Bar", "902", "mean", "903"]
    assert "It grew in drying" in rows[1] and "sums up" in rows[2] and "no batch 'B-99'" in rows[3]
    # mended, it is read as any other table, and a row that is no bar stays out
    left.write_text(left.read_text(encoding="utf-8-sig").replace("94.2,100", "100,94.2").replace("B-99", "B-01-1"))
    again = command("read-table", left, "--as", "pieces", "--take-good", "--left", tmp_path / "rest.csv", "--lab", lab)
    assert again.code == 0 and again.err.endswith("2 added\n")
    assert (tmp_path / "rest.csv").read_text(encoding="utf-8-sig").count("\n") == 2
    assert command("undo", "--lab", lab).err == "Took back: Read in the sound rows of bars left.csv.\n"
    # what is doubted is taken where somebody says it is meant
    anyway = command("read-table", file, "--as", "pieces", "--anyway", "--skip", "5", "--lab", lab)
    assert anyway.code == 0 and anyway.err.endswith("1 added, 2 as before\n")


def test_a_table_comes_through_a_pipe_and_what_is_new_is_named_first(lab: Path, tmp_path: Path) -> None:
    table = b"Body,Recipe\nZ-1,kaolin 60; marl 40\n"
    arguments = [sys.executable, "-m", "claybench", "--lab", str(lab), "read-table", "-", "--as", "bodies"]
    done = subprocess.run(arguments, input=table, capture_output=True, check=True, cwd=tmp_path)
    told = done.stderr.decode().splitlines()
    assert told.index("New materials: marl.") < told.index("4 added") and "New bodies: Z-1." in told
