"""`claybench bodies`: one line or options, sorted, kept by name."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Command
from tests.sample import copy_lab


@pytest.fixture
def lab(sample_lab_file: Path, tmp_path: Path) -> Path:
    return copy_lab(sample_lab_file, tmp_path / "lab.claybench")


def test_a_line_and_options_ask_the_same(command: Command, lab: Path) -> None:
    line = command("bodies", "--lab", lab, "family buff, cone 6, absorption under 3, sort by absorption")
    said = command(
        "bodies", "--lab", lab, "--family", "buff", "--cone", "6", "--number", "absorption under 3",
        "--sort", "absorption",
    )  # fmt: skip
    assert line.out == said.out and line.code == 0
    heads, *rows = line.out.splitlines()
    assert heads.split()[:4] == ["body", "family", "firing", "absorbs"]
    assert [float(row.split()[5]) for row in rows] == sorted(float(row.split()[5]) for row in rows)
    assert "buff family; cone 6; absorption under 3 %; by absorption, rising" in line.err


def test_json_has_means_with_their_batches(command: Command, lab: Path) -> None:
    found = command("bodies", "--lab", lab, "cone 6, absorption under 2", "--json").json
    assert found and all(each["properties"]["absorption_pct"]["mean"] < 2 for each in found)
    assert set(found[0]) == {
        "body", "title", "family", "firing", "cone", "batches", "last_made", "cost_per_kg", "properties",
    }  # fmt: skip
    assert set(found[0]["properties"]["absorption_pct"]) == {"mean", "n", "batches"}


def test_a_question_is_kept_asked_renamed_and_deleted(command: Command, lab: Path) -> None:
    command("bodies", "--lab", lab, "absorption under 3", "--keep", "tight")
    narrow = command("bodies", "--lab", lab, "family buff", "--kept", "Tight")
    assert narrow.out == command("bodies", "--lab", lab, "family buff, absorption under 3").out
    command("bodies", "--lab", lab, "--kept", "tight", "--rename", "very tight")
    assert command("bodies", "--lab", lab, "--list").out.splitlines()[1:] == ["very tight  absorption under 3"]
    command("bodies", "--lab", lab, "--forget", "very tight")
    assert command("bodies", "--lab", lab, "--list", "--json").json == []
    command("undo", "--lab", lab)
    assert len(command("bodies", "--lab", lab, "--list", "--json").json) == 1
    gone = command("bodies", "--lab", lab, "--kept", "loose")
    assert gone.code == 4 and "Kept are: very tight" in gone.err


def test_what_is_wrong_is_said(command: Command, lab: Path) -> None:
    wrong = command("bodies", "--lab", lab, "absorption")
    assert wrong.code == 2 and "how much" in wrong.err and wrong.out == ""
    assert command("bodies", "--lab", lab, "--rename", "x").code == 2
