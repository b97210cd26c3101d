"""Forecasts by command: several layers in one process, each with what stands in the way."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Command

_AT = ("--as-of", "2026-09-25T14:31:00+01:00", "--json")


def test_several_bodies_and_depths_in_one_list(command: Command, sample_lab_file: Path) -> None:
    layers = ("--layer", "8mm", "--layer", "1.2 cm")
    found = command("forecast", "--body", "B-01", "--body", "W-12", *layers, "--lab", sample_lab_file, *_AT).json
    assert [(each["body"], each["layer_mm"], each["slab"]) for each in found[:4]] == [
        ("B-01", 8, "P3"), ("B-01", 8, "P4"), ("B-01", 12, "P3"), ("B-01", 12, "P4"),
    ]  # fmt: skip
    assert {each["body"] for each in found[4:]} == {"W-12"}
    assert [each["not_now"] for each in found[:2]] == [None, "busy: D148 lies on it"]
    assert all(each["low_min"] < each["median_min"] < each["high_min"] and "run" not in each for each in found)


def test_several_runs_in_one_list(command: Command, sample_lab_file: Path) -> None:
    found = command("forecast", "--run", "D150", "--run", "d148", "--lab", sample_lab_file, *_AT).json
    assert [each["run"] for each in found] == ["D150", "D148"]
    assert "layer_mm" not in found[0]


def test_two_ways_of_asking_at_once_are_refused(command: Command, sample_lab_file: Path) -> None:
    answer = command("forecast", "--open", "--body", "B-01", "--lab", sample_lab_file)
    assert answer.code == 2 and "One of the four" in answer.err
    answer = command("forecast", "--body", "B-01", "--layer", "1 kg", "--lab", sample_lab_file)
    assert answer.code == 2 and "--layer" in answer.err


def test_looking_back_says_what_came_beside_what_was_forecast(command: Command, sample_lab_file: Path) -> None:
    answer = command("forecast", "--past", "--slab", "P2", "--body", "W-12", "--lab", sample_lab_file, *_AT)
    assert [each["run"] for each in answer.json] == ["D114", "D143"]
    for each in answer.json:
        assert each["within"] == (each["low_min"] <= each["came_min"] <= each["high_min"])
        assert each["came_low_min"] <= each["came_min"] <= each["came_high_min"]
    assert "of 2 runs came within" in answer.err
    assert command("forecast", "--past", "--open", "--lab", sample_lab_file).code == 2


def test_figures_of_slabs_and_forecasts_are_saved(command: Command, sample_lab_file: Path, tmp_path: Path) -> None:
    lab = ("--lab", sample_lab_file, "--as-of", "2026-09-25T14:31:00+01:00")
    for what in (("slowness", "P2"), ("forecasts", "--slab", "P2")):
        answer = command("figure", *what, "--to", "f.svg", "--replace", *lab)
        assert (answer.code, answer.out) == (0, "f.svg\n"), answer.err
    assert "slab P2" in (tmp_path / "f.svg").read_text(encoding="utf-8")
    told = command("figure", "dry-out", "P2", *lab).out.splitlines()
    assert told[0].startswith("Slab P2: drying out") and "by days since it last got wet" in told[0]
    assert any(line.startswith("  weighed 0: 1") for line in told) and not any("e+" in line for line in told)
    told = command("figure", "slab", "P2", *lab).out
    assert "  salts 2026-08-24 " in told and "time over forecast" in told
    assert "no slab 'ZZ'" in command("figure", "slab", "ZZ", "--to", "g.svg", *lab).err
    assert "no body 'ZZ'" in command("figure", "forecasts", "--body", "ZZ", "--to", "g.svg", *lab).err
