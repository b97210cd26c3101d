"""Sets followed and triangles drawn by commands, for scripts and for who cannot see the screen."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

Command = Any
PLAN = """title = "towards 12 %"
family = "buff"
count = 2
cone = "6"
[materials]
a = [20, 80]
b = [20, 80]
c = [0, 60]
[targets]
total_shrinkage_pct = [11.5, 12.5]
"""


def test_sets_and_one_of_them_against_its_targets(command: Command, sample_lab_file: Path, tmp_path: Path) -> None:
    answer = command("sets", "--lab", sample_lab_file)
    assert answer.code == 0 and "towards 12 %" in answer.out and "6 measured" in answer.out
    (tmp_path / "it.toml").write_text(PLAN, encoding="utf-8")
    answer = command("sets", "--plan", "it.toml", "--lab", sample_lab_file, "--json")
    found = json.loads(answer.out)
    assert [each["body"] for each in found] == ["B-02", "B-03", "B-04", "B-05", "B-06", "B-07"]
    one = found[0]["results"]["total_shrinkage_pct"]
    assert one["target"] == [11.5, 12.5] and one["met"] is (11.5 <= one["mean"] <= 12.5)
    told = command("sets", "--plan", "it.toml", "--lab", sample_lab_file).out.splitlines()
    assert told[0].split() == ["body", "state", "batch", "property", "mean", "95", "%", "interval", "target"]
    shrinkage = [line for line in told if "total shrinkage, %" in line]
    assert len(shrinkage) == 6 and "misses 11.5-12.5" in shrinkage[0] and "meets 11.5-12.5" in shrinkage[2]
    assert "_pct" not in "".join(told), "properties stand by their titles"
    sets = command("sets", "--lab", sample_lab_file, "--json").json
    assert {"set": "towards 12 %", "family": "buff", "states": {"measured": 6}} in sets
    answer = command("sets", "none", "--lab", sample_lab_file)
    assert (answer.code, answer.out) == (4, "") and "No body belongs to a set 'none'" in answer.err


def test_a_triangle_is_drawn_with_letters_or_saved(command: Command, lab_path: Path, tmp_path: Path) -> None:
    (tmp_path / "it.toml").write_text(PLAN, encoding="utf-8")
    answer = command("figure", "triangle", "it.toml", "--materials", "c,a,b", "--width", "80", "--lab", lab_path)
    assert answer.code == 0 and "nothing measured yet" in answer.out
    lines = answer.out.splitlines()
    assert lines[0] == "towards 12 %" and lines[2].strip().startswith("c 76")
    answer = command("figure", "triangle", "it.toml", "--to", "it.svg", "--lab", lab_path)
    assert (answer.code, answer.out) == (0, "it.svg\n") and "bounds of the plan" in (tmp_path / "it.svg").read_text()
    answer = command("figure", "triangle", "it.toml", "--materials", "a,b", "--lab", lab_path)
    assert answer.code == 2 and "takes three materials" in answer.err


def test_a_set_of_which_nothing_is_measured_lists_its_bodies(command: Command, lab_path: Path) -> None:
    lab = ("--lab", lab_path)
    assert "No body belongs to a set yet." in command("sets", *lab).err
    assert command("body", "N-1", "clay 60, sand 40", "--set", "new", *lab).code == 0
    assert command("sets", "new", *lab).out.splitlines()[1].split() == ["N-1", "designed"]
