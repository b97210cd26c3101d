"""What the command line prints: labels, passports, reports; each path on stdout, nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Command
from tests.paper.reading import PAPERS, sizes_of, text_of


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
    ],
)
def test_what_cannot_be_printed_is_said(
    command: Command, sample_lab_file: Path, tmp_path: Path, wrong: tuple[str, ...], words: str
) -> None:
    answer = command(*wrong, "--lab", sample_lab_file)
    assert answer.code > 0
    assert (answer.out, words in answer.err) == ("", True), answer.err
    assert not list(tmp_path.glob("*.pdf"))
