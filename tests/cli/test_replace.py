"""A command that writes a file leaves alone the one that is there, unless it is told to write over it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Command

PLAN = """family = "buff"
[materials]
a = [20, 80]
b = [20, 80]
c = [0, 30]
[targets]
total_shrinkage_pct = [10, 12]
"""
WRITERS = (
    ("sheet", "B-01-1", "--to", "there.pdf"),
    ("labels", "P3", "--to", "there.pdf"),
    ("passport", "P3", "--to", "there.pdf"),
    ("report", "B-01", "--to", "there.pdf"),
    ("report", "B-01", "B-02", "--to", "there.pdf"),
    ("table", "pieces", "--to", "there.csv"),
    ("plan", "plan.toml", "--to", "there.pdf"),
    ("compare", "B-01", "B-02", "--figure", "there.png"),
    ("figure", "differences", "B-01", "B-02", "--to", "there.png"),
    ("figure", "vitrification", "B-01", "--to", "there.png"),
    ("figure", "triangle", "plan.toml", "--to", "there.png"),
    ("figure", "slab", "P3", "--to", "there.png"),
    ("figure", "slowness", "P3", "--to", "there.png"),
    ("figure", "dry-out", "P3", "--to", "there.png"),
    ("figure", "forecasts", "--to", "there.png"),
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "plan.toml").write_text(PLAN, encoding="utf-8")
    for ending in ("pdf", "csv", "png"):
        (tmp_path / f"there.{ending}").write_text("mine", encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("arguments", WRITERS, ids=lambda words: " ".join(words[:3]))
def test_a_file_that_is_there_is_left_alone(
    command: Command, sample_lab_file: Path, folder: Path, arguments: tuple[str, ...]
) -> None:
    answer = command(*arguments, "--lab", sample_lab_file)
    assert (answer.code, answer.out) == (5, "")
    assert f"{arguments[-1]} is there already" in answer.err and "--replace" in answer.err
    assert (folder / arguments[-1]).read_text(encoding="utf-8") == "mine"
    answer = command(*arguments[:-1], "no/folder/it.pdf", "--lab", sample_lab_file)
    assert (answer.code, answer.out) == (2, "") and "no folder no/folder" in answer.err


@pytest.mark.slow
@pytest.mark.parametrize("arguments", [WRITERS[0], WRITERS[5], WRITERS[11]], ids=lambda words: words[0])
def test_it_is_written_over_where_that_was_said(
    command: Command, sample_lab_file: Path, folder: Path, arguments: tuple[str, ...]
) -> None:
    answer = command(*arguments, "--replace", "--lab", sample_lab_file)
    assert (answer.code, answer.out, answer.err) == (0, f"{arguments[-1]}\n", "")
    assert b"mine" not in (folder / arguments[-1]).read_bytes()


def test_a_name_that_was_not_given_is_no_leave_either(command: Command, sample_lab_file: Path, folder: Path) -> None:
    for code in (0, 5):
        assert command("passport", "P3", "--lab", sample_lab_file).code == code


@pytest.mark.slow
@pytest.mark.parametrize("arguments", [*WRITERS[:9], WRITERS[11]], ids=lambda words: " ".join(words[:3]))
def test_a_dash_is_stdout_for_text_and_refused_for_pictures(
    command: Command, sample_lab_file: Path, folder: Path, arguments: tuple[str, ...]
) -> None:
    lab = ("--lab", sample_lab_file)
    answer = command(*arguments[:-1], "-", *lab)
    if arguments[0] in ("figure", "table"):
        assert answer.code == 0 and answer.out and answer.out == command(*arguments[:-2], *lab).out
    else:
        assert (answer.code, answer.out) == (2, "")
        assert "A picture or PDF cannot go to stdout.\nName a file for it." in answer.err
    assert not (folder / "-").exists()
