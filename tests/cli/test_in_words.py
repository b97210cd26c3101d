"""What commands print for a person, without `--json`: headings, words, and a sentence where there is nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Command

_AT = ("--as-of", "2026-09-25T14:31:00+01:00")


def test_layers_that_lie_and_that_were_are_told_in_minutes(command: Command, sample_lab_file: Path) -> None:
    lab = ("--lab", sample_lab_file, *_AT)
    lines = command("forecast", "--open", *lab).out.splitlines()
    assert lines[0].split("  ")[0] == "run" and "next touch" in lines[0] and "90 % within" in lines[0]
    assert [line.split()[0] for line in lines[1:]] == ["D148", "D149", "D150"]
    assert all(" min " in line and "not yet workable at" in line for line in lines[1:])
    past = command("forecast", "--past", "--slab", "P2", "--body", "W-12", *lab).out.splitlines()
    assert past[0].split()[-1] == "came" and [line.split()[0] for line in past[1:]] == ["D114", "D143"]
    refused = command("forecast", "--past", "--slab", "P1", "--slab", "P2", *lab)
    assert refused.code == 2 and "Name no more." in refused.err
    thought = command("forecast", "--body", "B-01", "--layer", "8 mm", *lab).out.splitlines()
    assert "depth" in thought[0] and all("8 mm" in line for line in thought[1:]) and len(thought) == 3


@pytest.mark.parametrize(
    ("words", "nothing"),
    [
        (("sets",), "No body belongs to a set yet."),
        (("slabs",), "No slab yet."),
        (("faulty",), "Every row and every setting can be used as it stands."),
        (("forecast", "--open"), "No layer lies on a slab."),
        (("plasticity",), "No plasticity was measured yet."),
        (("whose-bar", "--length", "90"), "No piece of this lab is near to that."),
        (("bodies", "--list"), "No question is kept yet."),
    ],
)
def test_a_table_without_rows_says_so(command: Command, lab_path: Path, words: tuple[str, ...], nothing: str) -> None:
    answer = command(*words, "--lab", lab_path)
    assert answer.code == 0 and nothing in answer.err, answer.err
    assert len(answer.out.splitlines()) == 1, "the headings stand all the same"


def test_a_row_of_no_kind_and_a_key_that_names_none_or_several_are_refused(
    command: Command, sample_lab_file: Path
) -> None:
    lab = ("--lab", sample_lab_file)
    assert "There is no 'nonsense' in a lab." in command("amend", "nonsense", "X", "note=x", *lab).err
    assert "A run has one code." in command("amend", "run", "D148", "D149", "note=x", *lab).err
    assert "4 rows are meant by D148." in command("delete", "check", "D148", *lab).err
    none = command("amend", "check", "D148", "25 Sep 2026 3:00", "feel=stiff", *lab)
    assert none.code == 2 and "No row is meant by D148 25 Sep 2026 3:00." in none.err
