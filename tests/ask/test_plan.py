"""Planning from a lab's record: known bodies are found, an empty lab gets a first set, what is missing is said."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from claybench.ask.plan import plan_next_set
from claybench.cli.plan import plan_json
from claybench.errors import BadInput
from claybench.insight.plan.design.plan_file import parse_plan
from claybench.record.lab import Lab
from claybench.terms import Body
from claybench.work.recipes import add_body
from tests.sample import END

WHITE = """
title = "less shrinkage, same colour"
family = "white"
count = 4
cone = "6"
[materials]
"kaolin" = [10, 40]
"ball clay" = [10, 50]
"feldspar" = [18, 28]
"quartz" = [10, 26]
[fixed]
"bentonite" = 1.0
[[groups]]
materials = ["kaolin", "ball clay"]
between = [50, 65]
[targets]
total_shrinkage_pct = [11, 12.5]
absorption_pct = [0, 2]
"""


def sound(found: dict[str, object], count: int) -> list[dict[str, object]]:
    """What the contract says of every answer."""
    bodies = json.loads(json.dumps(found["bodies"], default=str))
    assert len(bodies) == count and isinstance(found["notes"], list) and isinstance(found["repeats"], list)
    assert [body["chance"] for body in bodies] == sorted((body["chance"] for body in bodies), reverse=True)
    for body in bodies:
        assert sum(body["parts"].values()) == pytest.approx(100)
        assert set(body) == {"parts", "fixed", "why", "chance", "predicted", "slab", "start", "layers"}
    return list(bodies)


def test_the_sample_knows_its_white_bodies(sample_lab: Lab) -> None:
    found = plan_next_set(sample_lab, parse_plan(WHITE), as_of=END)
    assert {"W-01", "W-02", "W-03", "W-04"} <= set(found.measured_bodies) and "B-01" not in found.measured_bodies
    for body in sound(plan_json(found), 4):
        parts = body["parts"]
        assert isinstance(parts, dict)
        assert 10 <= parts["kaolin"] <= 40 and 18 <= parts["feldspar"] <= 28
        assert 50 - 1e-9 <= parts["kaolin"] + parts["ball clay"] <= 65 + 1e-9
        assert all(round(part * 10) == pytest.approx(part * 10) for part in parts.values())
        assert body["fixed"] == {"bentonite": 1.0}
        predicted = body["predicted"]
        assert isinstance(predicted, dict) and set(predicted) == {"total_shrinkage_pct", "absorption_pct"}
        for one in predicted.values():
            assert one["low"] <= one["median"] <= one["high"]
    assert found.repeats[0].body == "W-01"
    unknown = plan_next_set(sample_lab, parse_plan(WHITE.replace("bentonite", "moon dust")), as_of=END)
    assert any("Not on the shelf: moon dust" in note for note in unknown.notes)


def test_slabs_that_cannot_be_used_are_named_with_the_reason(sample_lab: Lab) -> None:
    notes = plan_next_set(sample_lab, parse_plan(WHITE), as_of=END).notes
    assert any("P2: suspect" in note and "P7: still drying" in note for note in notes)


def test_buff_bodies_find_slab_and_hour(sample_lab: Lab) -> None:
    text = WHITE.replace('"white"', '"buff"').replace('[fixed]\n"bentonite" = 1.0\n', "")
    found = plan_next_set(sample_lab, parse_plan(text), as_of=END)
    placed = [body for body in found.bodies if body.slab is not None]
    assert placed
    for body in placed:
        assert body.start is not None and body.start >= END and 8 <= body.start.hour < 19
    assert found.calendar


def test_an_empty_lab_gets_a_first_set(lab: Lab) -> None:
    found = plan_next_set(lab, parse_plan(WHITE))
    for body in sound(plan_json(found), 4):
        assert body["slab"] is None and body["predicted"] == {}
    said = " ".join(found.notes)
    assert "No slab is kept for white" in said and "Nothing has been measured yet" in said


def test_a_base_gives_bounds_and_family(lab: Lab) -> None:
    add_body(lab, Body(body="W-01", family="white"), [("kaolin", 60.0), ("quartz", 40.0)])
    found = plan_next_set(lab, parse_plan('count = 2\nbase = "w-01"\n[targets]\nabsorption_pct = [0, 2]\n'))
    assert found.family == "white" and all(50 <= body.parts["kaolin"] <= 70 for body in found.bodies)
    assert any("10 parts either way of W-01" in note for note in found.notes)
    with pytest.raises(BadInput, match="no body 'X' to start from"):
        plan_next_set(lab, parse_plan('count = 2\nbase = "X"\n[targets]\nabsorption_pct = [0, 2]\n'))


def test_a_plan_without_targets_spreads_bodies(lab: Lab) -> None:
    found = plan_next_set(
        lab, parse_plan('count = 3\nfamily = "white"\n[materials]\n"kaolin" = [20, 80]\n"quartz" = [20, 80]\n')
    )
    assert len({body.parts["kaolin"] for body in found.bodies}) == 3
    assert any("no targets" in note for note in found.notes)


def test_the_command_writes_the_contract(
    sample_lab_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from claybench.__main__ import main

    file = tmp_path / "plan.toml"
    file.write_text(WHITE, encoding="utf-8")
    arguments = ["plan", str(file), "--lab", str(sample_lab_file), "--as-of", END.isoformat(), "--json"]
    assert main(arguments) == 0
    sound(json.loads(capsys.readouterr().out), 4)
