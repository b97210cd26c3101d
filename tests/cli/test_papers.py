"""What the command line prints: labels, passports, reports; each path on stdout, nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Command
from tests.paper.reading import PAPERS, sizes_of, text_of
from tests.sample import copy_lab

pytestmark = pytest.mark.slow


def test_labels_are_written_where_wanted(command: Command, sample_lab_file: Path, tmp_path: Path) -> None:
    answer = command("labels", "B-01-1", "P3", "--paper", "Letter", "--copies", "13", "--lab", sample_lab_file)
    assert (answer.code, answer.out, answer.err) == (0, "labels.pdf\n", "")
    assert sizes_of(tmp_path / "labels.pdf") == [pytest.approx(PAPERS["Letter"], abs=0.1)] * 2
    assert text_of(tmp_path / "labels.pdf").count("mixed 15 Mar 2026") == 13
    sheet = ("--grid", "3x7", "--top", "1.51 cm", "--side", "7,2 mm", "--gap-across", "2.5 mm", "--start", "21")
    answer = command("labels", "P3", "P1", *sheet, "--no-outline", "--to", "deep.pdf", "--lab", sample_lab_file)
    assert answer.out == "deep.pdf\n"
    assert len(sizes_of(tmp_path / "deep.pdf")) == 2


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (("labels", "B-99"), "no thing 'B-99'"),
        (("labels", "P1", "--grid", "9x99"), "labels"),
        (("labels", "P1", "--top", "1 kg"), "--top"),
        (("labels", "P1", "--paper", "A5"), "A4 or Letter"),
        (("passport", "P99"), "no slab"),
        (("report", "B-99"), "B-99"),
        (("report", "B-01", "B-02", "--property", "weight"), "not a property"),
    ],
)
def test_what_cannot_be_printed_is_said(
    command: Command, sample_lab_file: Path, tmp_path: Path, wrong: tuple[str, ...], words: str
) -> None:
    answer = command(*wrong, "--lab", sample_lab_file)
    assert answer.code > 0
    assert (answer.out, words in answer.err) == ("", True), answer.err
    assert not list(tmp_path.glob("*.pdf"))


@pytest.mark.parametrize("paper", PAPERS)
def test_passport_and_reports(command: Command, sample_lab_file: Path, tmp_path: Path, paper: str) -> None:
    for arguments, path, words in (
        (("passport", "p3"), "passport P3.pdf", "slab for the buff family"),
        (("report", "b-02", "B-02"), "report B-02.pdf", "first towards 12 %"),
        (("report", "B-02", "B-01", "--property", "loi_pct"), "comparison B-02 B-01.pdf", "2 bodies side by side"),
        (("report", "B-02", "--to", "own name.pdf", "--as-of", "2026-04-01"), "own name.pdf", "no piece measured yet"),
    ):
        answer = command(*arguments, "--paper", paper, "--lab", sample_lab_file)
        assert (answer.code, answer.out, answer.err) == (0, f"{path}\n", "")
        assert words in text_of(tmp_path / path)
        assert sizes_of(tmp_path / path)[0] == pytest.approx(PAPERS[paper], abs=0.1)


def test_a_passport_knows_nothing_of_later(command: Command, sample_lab_file: Path, tmp_path: Path) -> None:
    command("passport", "P8", "--as-of", "2026-05-01", "--to", "then.pdf", "--lab", sample_lab_file)
    text = text_of(tmp_path / "then.pdf")
    assert "as of 1 May 2026" in text
    assert "OUT OF USE" not in text and "May 2026 08" not in text


def test_the_lab_says_which_paper(command: Command, sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    assert command("settings", "paper", "Letter", "--lab", path).code == 0
    for arguments in (("sheet", "B-01-1"), ("labels", "P3"), ("passport", "P3"), ("report", "B-02")):
        command(*arguments, "--to", "x.pdf", "--replace", "--lab", path)
        assert sizes_of(tmp_path / "x.pdf")[0] == pytest.approx(PAPERS["Letter"], abs=0.1)


@pytest.mark.parametrize("name", ["pieces", "runs"])
def test_the_table_of_an_empty_lab_has_its_headings(
    command: Command, lab_path: Path, sample_lab_file: Path, name: str
) -> None:
    empty, full = (command("table", name, "--lab", path).out.splitlines() for path in (lab_path, sample_lab_file))
    assert empty[0].split(",")[0] == "body" and empty == full[:1] != full
