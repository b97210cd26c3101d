"""`claybench plan` as people read it."""

from __future__ import annotations

import re
from pathlib import Path

from tests.cli.conftest import Command
from tests.sample import copy_lab

PLAN = Path(__file__).parents[2] / "docs" / "less-shrinkage.toml"


def test_targets_stand_by_their_titles_with_the_digits_of_their_property(
    command: Command, sample_lab_file: Path, tmp_path: Path
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "sample.claybench")
    answer = command("plan", str(PLAN), "--lab", str(path), "--as-of", "2026-09-25 14:00")
    assert answer.code == 0
    first = answer.out.splitlines()[1]
    assert re.search(r"total shrinkage, % \d+\.\d \(\d+\.\d to \d+\.\d\)", first)
    assert re.search(r"cost per kg \d\.\d\d \(\d\.\d\d to \d\.\d\d\)", first)
