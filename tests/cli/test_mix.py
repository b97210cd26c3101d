"""Sizing on the command line: typed quantities, the lab's own settings, figures with reasons, turned into records."""

from __future__ import annotations

import dataclasses
import inspect
import json
import re
from pathlib import Path

import pytest

from claybench.cli.mix import slab, slip
from claybench.mix.pour_list import read_pour_list
from claybench.mix.slab_request import SlabRequest
from claybench.mix.slip_request import PieceWanted, SlipRequest
from claybench.quantity.shown import short_number
from tests.cli.conftest import Command

SIZE = ("--length", "60 cm", "--width", "40 cm", "--depth", "5 cm")
PARTS = ("--part", "kaolin 50", "--part", "feldspar 50")


def test_plaster_in_hand_gives_the_depth(command: Command) -> None:
    # 25 lb of plaster with 7,938 g of water at ratio 70: common practice, no source; 25 lb by NIST SP 811.
    sized = command(
        "mix", "slab", "--length", "60 cm", "--width", "40 cm", "--plaster", "25 lb", "--waste", "0", "--json"
    ).json
    assert sized["plaster_g"]["value"] == pytest.approx(11339.80925)
    assert sized["water_g"]["value"] == pytest.approx(7937.87, abs=0.01)


def test_every_figure_has_value_unit_range_and_reason(command: Command) -> None:
    for asked in (("slab", *SIZE), ("slip", *PARTS, "--dry", "2 kg")):
        answer = command("mix", *asked, "--json")
        figures = [each for each in answer.json.values() if isinstance(each, dict) and "why" in each]
        assert len(figures) > 10 and not answer.err
        assert all(set(each) == {"value", "unit", "low", "high", "why"} and each["why"] for each in figures)


@pytest.mark.parametrize(
    "same",
    [
        ("--length", "600", "--width", "400", "--depth", "50.8"),
        ("--length", "60 cm", "--width", "0,4 m", "--depth", "2 in"),
        ("--length", "600 mm", "--width", "40cm", "--depth", '2"'),
    ],
)
def test_every_way_of_writing_the_form_is_the_same_form(command: Command, same: tuple[str, ...]) -> None:
    sized = command("mix", "slab", *same, "--json").json
    assert sized["volume_ml"]["value"] == pytest.approx(60 * 40 * 5.08)  # geometry


@pytest.mark.parametrize(("typed", "share"), [("half bag", 0.5), ("a bag", 1), ("1/2 bag", 0.5), ("1,5 bags", 1.5)])
def test_bags(command: Command, typed: str, share: float) -> None:
    sized = command("mix", "slab", *SIZE[:4], "--plaster", typed, "--bag", "25 kg", "--json").json
    assert sized["plaster_g"]["value"] == pytest.approx(25_000 * share)


def test_what_the_lab_has_counts_unless_said_otherwise(command: Command, lab_path: Path) -> None:
    lab = ("--lab", lab_path)
    command("settings", "bag_g", "50 lb", *lab)
    command("settings", "scale_step_g", "5 g", *lab)
    ask = ("mix", "slab", *SIZE, "--json")
    assert command(*ask, *lab).json["bags"]["value"] == pytest.approx(11830.6 / 22679.6185, rel=1e-4)
    assert command(*ask, *lab, "--bag", "25 kg").json["bags"]["value"] == pytest.approx(11830.6 / 25000, rel=1e-4)
    sized = command("mix", "slip", *PARTS, "--dry", "2001 g", "--json", *lab).json
    assert all(line["weigh_g"] % 5 == 0 for line in sized["lines"])


def test_a_bucket_is_given_by_volume_or_by_what_it_holds(command: Command) -> None:
    ask = ("mix", "slab", *SIZE, "--scale-largest", "30 kg", "--json", "--weighing-bucket")
    by_mass = command(*ask, "2 kg").json["portions"]
    assert max(each["mass_g"] for each in by_mass) == pytest.approx(2000)
    assert max(each["mass_g"] for each in command(*ask, "1 US gal").json["portions"]) > 2000
    answer = command(*ask, "1 gal")
    assert answer.code == 2 and "imp gal or US gal" in answer.err


def test_the_parts_of_a_slip(command: Command) -> None:
    ask = ("mix", "slip", "--dry", "1 kg", "--json")
    answer = command(
        *ask, "--part", "ball clay 2 50", "--part", "frit = 1 1/2", "--part", "quartz 48.5 %", "--parts-sum", "100",
        "--addition", "bentonite 1 %", "--deflocculant", "sodium silicate 0.3 %",
    )  # fmt: skip
    lines = {line["material"]: line["dry_g"] for line in answer.json["lines"]}
    assert lines["ball clay 2"] / lines["frit"] == pytest.approx(50 / 1.5)
    assert lines["sodium silicate"] == pytest.approx(3.0) and lines["bentonite"] == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--part", "kaolin 1 1/2", "--dry", "1 kg"), "1/2 of 'kaolin 1' or as 1 1/2 of 'kaolin'"),
        (("--part", "kaolin 8 750", "--dry", "1 kg"), "can be read as 750 of 'kaolin 8'"),
        (("--part", "kaolin", "--dry", "1 kg"), "'kaolin' has no parts"),
        (("--part", "kaolin many", "--dry", "1 kg"), "--part: 'many' does not begin with a number"),
        (("--dry", "1 kg"), "either --body or --part"),
        ((*PARTS, "--dry", "1 kg", "--record", "T-1"), "recorded of a body"),
        ((*PARTS, "--dry", "1 kg", "--slab-takes", "1 kg"), "--slab-area"),
        ((*PARTS, "--dry", "1 kg", "--parts-sum", "90"), "add up to 100, not 90"),
        ((*PARTS, "--dry", "1 kg", "--loss", "1,234 %"), "1.234 or as 1 234"),
    ],
)
def test_what_cannot_be_used_is_refused(command: Command, arguments: tuple[str, ...], said: str) -> None:
    answer = command("mix", "slip", *arguments)
    assert (answer.code, answer.out) == (2, "") and said in answer.err


def test_a_batch_of_a_body_is_sized_for_its_slabs_and_recorded(
    command: Command, sample_lab_file: Path, tmp_path: Path
) -> None:
    (tmp_path / "own.claybench").write_bytes(sample_lab_file.read_bytes())
    lab = ("--lab", "own.claybench")
    ask = ("mix", "slip", "--body", "W-01", "--pieces", "5", "--shape", "disc", "--length", "2 in")
    sized = command(*ask, "--thickness", "3/8 in", "--layer", "10mm", "--record", "T [/b]", "--json", *lab)
    assert sized.code == 0 and sized.json["slabs"] and "Recorded batch T [/b]." in sized.err
    assert "Mixed batch T [/b]" in command("history", "--count", "1", *lab).out
    exported = command("export", "out", *lab)
    assert exported.code == 0 and "T [/b],W-01,slip," in (tmp_path / "out" / "batches.csv").read_text("utf-8")
    again = command(*ask, "--thickness", "3/8 in", "--record", "t [/B]", *lab)
    assert again.code == 5 and "already a batch" in again.err
    one = command(*ask, "--thickness", "3/8 in", "--slab", "p2", "--json", *lab).json
    assert [each["slab"] for each in one["slabs"]] == ["P2"]


def test_the_table_is_data_and_the_cautions_are_not(command: Command) -> None:
    answer = command("mix", "slab", *SIZE)
    assert "plaster_g" in answer.out and "weigh in" in answer.out and "e+0" not in answer.out
    assert "Setting plaster burns" in answer.err and "Setting plaster burns" not in answer.out


RENAMED = {
    "max_lift": "heaviest",
    "mix_ratio": "ratio",
    "corner_radius": "corner",
    "mixing_fill": "fill",
    "slip_sg": "sg",
    "max_rounding": "rounding",
    "body": "parts",
    "count": "pieces",
    "slabs": "slab_area",
    "additions": "addition",
}


def test_every_input_of_the_requests_has_an_option() -> None:
    for function, requests in ((slab, [SlabRequest]), (slip, [SlipRequest, PieceWanted])):
        options = set(inspect.signature(function).parameters)
        stems = {_stem(field.name) for request in requests for field in dataclasses.fields(request)}
        assert {stem for stem in stems if stem not in options and RENAMED.get(stem) not in options} == set()


def _stem(field: str) -> str:
    """An input's name without its unit."""
    for unit in ("_g_m2_h", "_mm", "_pct", "_ml", "_kg", "_c", "_h", "_g"):
        field = field.removesuffix(unit)
    return field


def test_numbers_are_written_without_exponent() -> None:
    assert [short_number(value) for value in (12071.4, 1.2e-7, 3e9, 0.0, -2.5)] == [
        "12 070",
        "0",
        "3 000 000 000",
        "0",
        "-2.5",
    ]


def test_everything_beside_the_figures_can_be_asked_for_its_reason(capsys: pytest.CaptureFixture[str]) -> None:
    from claybench.__main__ import main

    assert main(["mix", "slab", "--length", "500", "--width", "400", "--depth", "45", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    for where in ("room", "fan"):
        days = found["dry_out"][where]
        assert days["low"] < days["days"] < days["high"]
        assert any("Coulson & Richardson" in line for line in days["why"])
    assert [row["mix_ratio"] for row in found["ratios"]] == [45, 50, 60, 65, 70, 75, 80, 90]
    assert all(any("result" in line for line in row["why"]) for row in found["ratios"])


def test_slip_is_corrected_from_the_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    """1750 g/L at G 2.5 holds 1250 g dry and 500 g water, 1500 holds 833.3 and 666.7 (Forming Techniques, GTZ 1991)."""
    from claybench.__main__ import main

    options = ["--sg", "1.75", "--target", "1.5", "--slip", "1750 g", "--solids-sg", "2.5"]
    assert main(["mix", "correct", *options, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["add_water_g"]["value"] == pytest.approx(500, abs=0.2) and found["nothing_to_do"] is False
    assert found["add_water_g"]["why"] and found["cautions"]


def test_bodies_are_blended_from_the_command_line(sample_lab_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from claybench.__main__ import main

    lab = ["--lab", str(sample_lab_file)]
    assert main([*lab, "mix", "blend", "W-01", "W-02", "W-03", "--steps", "3", "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["blends"]) == 10


def test_slabs_of_one_mix_are_recorded_together_with_what_was_weighed(command: Command, lab_path: Path) -> None:
    ask = ("mix", "slab", *SIZE, "--count", "2", "--lab", lab_path)
    short_of_one = command(*ask, "--record", "P1")
    assert short_of_one.code == 2 and "1 code for 2 slabs" in short_of_one.err
    sized = command(*ask, "--record", "P1, P2", "--json")
    assert "Recorded slabs P1, P2." in sized.err
    command("export", "out", "--lab", lab_path)
    (note,) = re.findall('to weigh, [^",\n]*', Path("out/slab_log.csv").read_text("utf-8"))
    weighed = [each["mass_g"] for each in sized.json["portions"]]
    water = [each["mass_g"] for each in sized.json["water_portions"]]
    assert sum(weighed) == sized.json["plaster_weighed_g"]["value"]
    fillings = read_pour_list([f"pour: {note}"])
    assert [mass for each in fillings for mass in each.plaster] == weighed
    assert [mass for each in fillings for mass in each.water] == water
