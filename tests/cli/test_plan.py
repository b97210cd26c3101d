"""`claybench plan` as people read it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.conftest import Command
from tests.sample import copy_lab

PLAN = Path(__file__).parents[2] / "docs" / "less-shrinkage.toml"


@pytest.mark.slow
def test_targets_stand_by_their_titles_with_the_digits_of_their_property(
    command: Command, sample_lab_file: Path, tmp_path: Path
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "sample.claybench")
    answer = command("plan", str(PLAN), "--lab", str(path), "--as-of", "2026-09-25 14:00")
    assert answer.code == 0
    first = answer.out.splitlines()[1]
    assert re.search(r"total shrinkage, % \d+\.\d \(\d+\.\d to \d+\.\d\)", first)
    assert re.search(r"cost per kg \d\.\d\d  ", first), "what follows exactly from the parts has no interval"
    told = command("plan", str(PLAN), "--lab", str(path), "--as-of", "2026-09-25 14:00", "--json").json["bodies"][0]
    assert re.search(r"and cost per kg 0\.\d+\.$", told["why"])


def test_days_are_written_as_people_do_and_notes_name_properties_by_their_titles(
    command: Command, sample_lab_file: Path
) -> None:
    answer = command("plan", PLAN, "--lab", sample_lab_file, "--as-of", "2026-09-25 14:00")
    assert re.search(r"^Thu 1 Oct \d\d:\d\d +weigh out ", answer.err, re.MULTILINE) and " 01 Oct" not in answer.err
    assert "! Total shrinkage: " in answer.err and "_pct" not in answer.out + answer.err


@pytest.mark.slow
def test_a_set_under_way_is_told_with_how_far_its_bodies_are(
    command: Command, sample_lab_file: Path, tmp_path: Path
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "sample.claybench")
    lab = ("--lab", path)
    title = "less shrinkage, same colour"
    assert command("body", "B-90", "fire clay 45, ball clay 20, feldspar 15, grog 20", "--set", title, *lab).code == 0
    answer = command("plan", PLAN, *lab)
    assert answer.code == 0 and "of this set: B-90 to be mixed\n" in answer.err
    assert "No slab yet for B-90: It belongs to no family" in answer.err
    as_pdf = command("plan", PLAN, "--to", "plan.pdf", *lab)
    assert (as_pdf.out, as_pdf.err) == ("plan.pdf\n", "") and (tmp_path / "plan.pdf").read_bytes()[:4] == b"%PDF"
    both = command("plan", PLAN, "--to", "plan.pdf", "--replace", "--json", *lab)
    assert both.json["set"][0]["body"] == "B-90" and both.err == "plan.pdf\n"
    rows = command("plan", PLAN, "--csv", "--first", "centroid", *lab).out.splitlines()
    assert rows[0].startswith("parts.fire clay,") and len(rows) == 7
