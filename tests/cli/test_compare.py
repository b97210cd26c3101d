"""Bodies side by side on the command line: tables, JSON, figures."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.comparison import side_by_side
from claybench.record.lab import Lab
from tests.cli.conftest import Command

pytestmark = pytest.mark.slow


def test_json_keeps_its_keys_and_says_the_differences(command: Command, sample_lab_file: Path, sample_lab: Lab) -> None:
    answer = command("compare", "B-07", "b-01", "--json", "--lab", sample_lab_file)
    assert (answer.code, answer.err) == (0, "")
    found = {(each["body"], each["firing"]): each for each in answer.json}
    control, body = found["B-01", "F-06"], found["B-07", "F-06"]
    assert {"n", "batches", "mean", "sd", "low", "high"} <= set(body["properties"]["total_shrinkage_pct"])
    assert set(body["relative_time"]) == {"median", "low", "high", "n"}
    assert (body["against"], control["differences"]) == ("B-01", [])
    asked = side_by_side(sample_lab, ["B-07", "B-01"])
    (one,) = [
        one
        for each in asked.results
        if (each.body, each.firing) == ("B-07", "F-06")
        for one in asked.differences_of(each)
        if one.name == "absorption_pct"
    ]
    (said,) = [each for each in body["differences"] if each["property"] == "absorption_pct"]
    assert (said["mean"], said["low"], said["high"], said["taken"]) == (one.mean, one.low, one.high, "boil")
    assert (
        said["mean"] == body["properties"]["absorption_pct"]["mean"] - control["properties"]["absorption_pct"]["mean"]
    )
    assert said["told"] == "less, by the lab's scatter"
    assert body["usual"]["absorption_pct"]["bodies"] >= 5
    assert (body["tile_group"], body["tight"]["below_pct"]) == ("BIb", 3.0)


def test_another_reference_and_an_earlier_day(command: Command, sample_lab_file: Path) -> None:
    answer = command("compare", "B-07", "B-05", "--against", "b-06", "--json", "--lab", sample_lab_file)
    assert {each["body"] for each in answer.json} == {"B-05", "B-06", "B-07"}
    assert {each["against"] for each in answer.json} == {"B-06"}
    usual = command("compare", "B-07", "B-05", "--json", "--lab", sample_lab_file)
    assert {each["body"] for each in usual.json} == {"B-05", "B-07"}
    assert {each["against"] for each in usual.json} == {"B-01"}
    assert any(each["differences"] for each in usual.json)
    earlier = command("compare", "B-07", "B-05", "--as-of", "2026-07-01", "--json", "--lab", sample_lab_file)
    assert "F-06" not in {each["firing"] for each in earlier.json}
    refused = command("compare", "B-07", "--against", "B-99", "--lab", sample_lab_file)
    assert (refused.code, "no body 'B-99' to compare with" in refused.err) == (4, True)


def test_tables_say_what_an_interval_holds(command: Command, sample_lab_file: Path) -> None:
    answer = command("compare", "B-01", "B-05", "W-07", "--tight-below", "1 %", "--lab", sample_lab_file)
    assert answer.code == 0
    assert "from the lab's other batches" in answer.err and "How far from B-01" in answer.err
    assert "by their own batches" in answer.out and "less, by the lab's scatter" in answer.out
    assert "like tile group BIIa" in answer.out
    assert "W-07  under 1 % from about" in answer.out


@pytest.mark.parametrize(
    ("what", "ending"), [("differences", "svg"), ("vitrification", "png"), ("vitrification", "pdf")]
)
def test_figures_are_saved(command: Command, sample_lab_file: Path, tmp_path: Path, what: str, ending: str) -> None:
    to = f"it.{ending}"
    answer = command("figure", what, "W-01", "W-07", "R-01", "--to", to, "--lab", sample_lab_file)
    assert (answer.code, answer.out, answer.err) == (0, f"{to}\n", "")
    assert (tmp_path / to).stat().st_size > 5000
    if ending == "svg":
        assert "total shrinkage less that of W-01, %" in (tmp_path / to).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (("pie", "B-01", "--to", "x.png"), "No such command 'pie'"),
        (("differences", "B-01", "--to", "x.png"), "No total shrinkage stands beside"),
        (("differences", "B-01", "B-02", "--property", "weight", "--to", "x.png"), "not a property"),
        (("vitrification", "B-01", "--tight-below", "90 %", "--to", "x.png"), "no limit of tight ware"),
        (("vitrification", "B-01", "--to", "x.gif"), ".png, .svg or .pdf"),
    ],
)
def test_what_cannot_be_drawn_is_said(
    command: Command, sample_lab_file: Path, tmp_path: Path, wrong: tuple[str, ...], words: str
) -> None:
    answer = command("figure", *wrong, "--lab", sample_lab_file)
    assert answer.code > 0
    assert (answer.out, words in answer.err) == ("", True), answer.err
    assert not list(tmp_path.glob("x.*"))
