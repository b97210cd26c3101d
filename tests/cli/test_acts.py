"""Every act from the shell: what is recorded, what is asked about, what a pipe brings, corrections and deletions."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from claybench.acts.registry import ACTS
from claybench.errors import Unanswered
from claybench.record.opening import open_lab
from claybench.terms import Check, Fired, Photo, Piece, Run, SlabEvent
from tests.cli.conftest import Command

pytestmark = pytest.mark.slow


@pytest.fixture
def lab(lab_path: Path) -> str:
    return str(lab_path)


def acts_of(lab: str) -> int:
    opened = open_lab(lab)
    with opened.reading() as record:
        found = record.last_act()
    opened.close()
    return found


def begin(command: Command, lab: str) -> None:
    for words in (
        ("family", "white"),
        ("family", "red", "--stain-rank", "3"),
        ("material", "kaolin", "--kind", "clay"),
        ("body", "W-01", "kaolin 50, feldspar 50", "--family", "white"),
        ("body", "R-01", "kaolin 60, iron oxide 40", "--family", "red"),
        ("slab", "P1", "--length", "50 cm", "--width", "40 cm", "--thickness", "45 mm", "--family", "white",
         "--mix-ratio", "70", "--mass", "10 kg", "--dry-mass", "9.95 kg", "--in-service", "2 days ago"),
        ("batch", "W-01", "--dry", "1300", "--water", "1300", "--slip-sg", "1.44", "--at", "4 h ago"),
        ("batch", "R-01", "--dry", "1300", "--water", "1300", "--slip-sg", "1.44"),
    ):  # fmt: skip
        done = command(*words, "--lab", lab)
        assert done.code == 0, (words, done.err)


def test_a_test_from_recipe_to_fired_bar_by_commands_alone(command: Command, lab: str) -> None:
    begin(command, lab)
    for words in (
        ("pour", "W-01-1", "P1", "--layer", "10 mm", "--area", "1800", "--at", "-90 min"),
        ("touch", "R1", "sticky", "--at", "-30 min"),
        ("touch", "R1", "work"),
        ("lift", "R1", "--clay", "1500 g"),
        ("form", "R1", "2", "--codes", "K3, K7", "--length", "100 mm"),
        ("measure", "K3", "dry_mm", "94"),
        ("fire", "F1", "K3", "K7", "--cone", "6"),
        ("measure", "K3", "fired mm", "88.4", "--firing", "F1"),
        ("fault", "K3", "none", "--firing", "F1"),
        ("air", "19", "55 %"),
        ("event", "P1", "turned"),
    ):
        done = command(*words, "--lab", lab)
        assert done.code == 0, (words, done.err)
    opened = open_lab(lab)
    with opened.reading() as record:
        run = record.one(Run, "R1")
        assert (run.outcome, run.clay_off_g, run.layer_mm) == ("workable", 1500.0, 10.0)
        assert record.one(Piece, "K3").dry_mm == 94.0
    opened.close()
    assert command("compare", "W-01", "--json", "--lab", lab).json[0]["body"] == "W-01"


def test_what_is_asked_about_has_a_code_of_its_own_and_writes_nothing(command: Command, lab: str) -> None:
    begin(command, lab)
    before = acts_of(lab)
    red = ("pour", "R-01-1", "P1", "--layer", "10mm", "--area", "1800", "--lab", lab)
    asked = command(*red)
    assert asked.code == Unanswered.exit_code == 7
    assert "P1 is kept for white, this is red." in asked.err and "--anyway" in asked.err and not asked.out
    assert acts_of(lab) == before
    assert command(*red, "--anyway", "--json").json["code"] == "R1"
    # Answered once, it is not asked again for this slab and family.
    assert command("lift", "R1", "--outcome", "abandoned", "--lab", lab).code == 0
    assert command("batch", "R-01", "--dry", "1300", "--water", "1300", "--slip-sg", "1.44", "--lab", lab).code == 0
    again = command("pour", "R-01-2", "P1", "--layer", "10mm", "--area", "1800", "--lab", lab)
    assert "kept for white" not in again.err


def test_a_scale_may_be_at_the_other_end(command: Command, lab: str, monkeypatch: pytest.MonkeyPatch) -> None:
    begin(command, lab)
    monkeypatch.setattr("sys.stdin", io.StringIO("10 010 g\n"))
    assert command("weigh", "P1", "-", "--lab", lab).code == 0
    opened = open_lab(lab)
    with opened.reading() as record:
        assert [row.mass_g for row in record.rows(SlabEvent, event="weighed")] == [10_000.0, 10_010.0]
    opened.close()
    assert command("weigh", "P1", "-", "--lab", lab).code == 2


def test_a_name_with_an_equals_sign_is_corrected(command: Command, lab: str) -> None:
    begin(command, lab)
    for name in ("a=b.jpg", "note=c.jpg"):
        assert command("photo", name, "--slab", "P1", "--anyway", "--lab", lab).code == 0
        assert command("amend", "photo", name, "note=x=y", "--lab", lab).code == 0
    opened = open_lab(lab)
    with opened.reading() as record:
        assert [(row.file, row.note) for row in record.rows(Photo)] == [("a=b.jpg", "x=y"), ("note=c.jpg", "x=y")]
    opened.close()
    refused = command("amend", "photo", "a=b.jpg", "shine=1", "note=z", "--lab", lab)
    assert refused.code == 2 and "has no 'shine'" in refused.err
    assert command("amend", "photo", "note=c.jpg", "--lab", lab).code == 2


def test_any_row_is_corrected_and_deleted(command: Command, lab: str) -> None:
    begin(command, lab)
    layer = ("--layer", "10 mm", "--area", "1800", "--at", "-2 h", "--lab", lab)
    assert command("pour", "W-01-1", "P1", *layer).code == 0
    assert command("touch", "R1", "fluid", "--at", "-80 min", "--lab", lab).code == 0
    assert command("touch", "R1", "workable", "--lab", lab).code == 0
    at = _first_touch(lab)
    assert command("amend", "check", "R1", at, "feel=sticky", "--lab", lab).code == 0
    assert command("amend", "run", "R1", "layer_mm=80mm", "--lab", lab).code == 7
    assert command("amend", "run", "r1", "layer_mm=9 mm", "--lab", lab).code == 0
    assert command("delete", "run", "R1", "--lab", lab).code == 5
    assert command("delete", "check", "R1", at, "--lab", lab).code == 0
    opened = open_lab(lab)
    with opened.reading() as record:
        assert [row.feel for row in record.rows(Check)] == ["workable"]
        assert record.one(Run, "R1").layer_mm == 9.0
    opened.close()


def test_an_act_of_the_history_is_taken_back_and_that_again(command: Command, lab: str) -> None:
    begin(command, lab)
    white = next(each["act"] for each in command("history", "--json", "--lab", lab).json if "kaolin" in each["label"])
    assert command("undo", str(white), "--lab", lab).code != 0, "bodies still refer to it"
    slab = next(each["act"] for each in command("history", "--json", "--lab", lab).json if "slab P1" in each["label"])
    assert "Took back: Entered slab P1" in command("undo", str(slab), "--lab", lab).err
    assert command("slabs", "--json", "--lab", lab).json == []
    assert command("undo", "--lab", lab).code == 0
    assert [each["slab"] for each in command("slabs", "--json", "--lab", lab).json] == ["P1"]


def _first_touch(lab: str) -> str:
    opened = open_lab(lab)
    with opened.reading() as record:
        at = min(row.at for row in record.rows(Check))
    opened.close()
    return at.isoformat()


@pytest.mark.parametrize("act", ACTS)
def test_each_act_says_what_it_takes(command: Command, act: str) -> None:
    shown = command(act, "--help")
    assert shown.code == 0 and "--anyway" in shown.out and "--json" in shown.out


def test_an_option_that_says_nothing_of_an_event_is_refused(command: Command, lab: str) -> None:
    begin(command, lab)
    wrong = command("event", "P1", "chipped", "--mass", "3 g", "--lab", lab)
    assert wrong.code == 2 and "--mass says nothing here" in wrong.err
    assert command("event", "P1", "melted", "--lab", lab).code == 2


def test_codes_in_any_case_bring_what_is_known_of_them(command: Command, lab: str) -> None:
    begin(command, lab)
    assert command("pour", "w-01-1", "p1", "--mass", "2600g", "--anyway", "--lab", lab).code == 0
    opened = open_lab(lab)
    with opened.reading() as record:
        run = record.one(Run, "R1")
    opened.close()
    assert run.slip_sg == 1.44 and run.area_cm2


def test_a_reading_that_stands_is_asked_about_in_any_case_of_its_firing(command: Command, lab: str) -> None:
    begin(command, lab)
    for words in (
        ("form", "", "1", "--batch", "W-01-1", "--codes", "K3", "--length", "100 mm"),
        ("fire", "F1", "K3", "--cone", "6"),
        ("measure", "K3", "fired mm", "90", "--firing", "F1"),
    ):
        done = command(*words, "--lab", lab)
        assert done.code == 0, (words, done.err)
    again = command("measure", "K3", "fired mm", "88", "--firing", "f1", "--lab", lab)
    assert (
        again.code == Unanswered.exit_code
        and "stands there already" in again.err
        and "not written down" not in again.err
    )


def test_a_reading_without_its_way_keeps_the_one_that_the_piece_has(command: Command, lab: str) -> None:
    begin(command, lab)
    for words in (
        ("form", "", "1", "--batch", "W-01-1", "--codes", "K3", "--length", "100 mm"),
        ("measure", "K3", "dry_g", "80 g", "--how", "oven"),
        ("measure", "k3", "dry_mm", "94"),
        ("fire", "F1", "K3", "--cone", "6"),
        ("measure", "K3", "soaked_g", "78 g", "--firing", "F1", "--how", "vacuum"),
        ("measure", "k3", "suspended_g", "41 g", "--firing", "f1"),
    ):
        done = command(*words, "--lab", lab)
        assert done.code == 0, (words, done.err)
    opened = open_lab(lab)
    with opened.reading() as record:
        assert record.one(Piece, "K3").dry_how == "oven"
        assert [row.soak_method for row in record.rows(Fired, piece="K3")] == ["vacuum"]
    opened.close()


@pytest.mark.parametrize("event", ["demoulded", "resurfaced"])
def test_any_mass_of_the_bare_slab_is_a_weighing(command: Command, lab: str, event: str) -> None:
    begin(command, lab)
    asked = command("event", "P1", event, "--mass", "40 kg", "--lab", lab)
    assert asked.code == Unanswered.exit_code and " more" in asked.err
    assert command("pour", "W-01-1", "P1", "--mass", "1800g", "--anyway", "--lab", lab).code == 0
    covered = command("event", "P1", event, "--mass", "10 kg", "--anyway", "--lab", lab)
    assert covered.code != 0 and "lies on slab P1" in covered.err


def test_plaster_that_a_new_face_took_off_is_no_water_that_went(command: Command, lab: str) -> None:
    begin(command, lab)
    done = command("event", "P1", "resurfaced", "--mass", "9.2 kg", "--lab", lab)
    assert done.code == 0, done.err


def test_no_code_is_left_out_in_silence(command: Command, lab: str) -> None:
    begin(command, lab)
    words = ("form", "", "2", "--batch", "W-01-1", "--length", "100 mm", "--lab", lab)
    refused = command(*words, "--codes", "K3, K7, K9")
    assert refused.code == 2 and "3 codes for 2 pieces" in refused.err
    assert command(*words, "--codes", "K3").out.split() != []


def test_a_reading_after_a_firing_puts_a_piece_into_it_where_that_is_meant(command: Command, lab: str) -> None:
    begin(command, lab)
    for words in (
        ("form", "", "2", "--batch", "W-01-1", "--codes", "K3, K7"),
        ("fire", "F1", "K3", "--cone", "6"),
        (
            "property",
            "crush_mpa",
            "--unit",
            "MPa",
            "--inputs",
            "crush_n N, side_mm mm",
            "--formula",
            "crush_n/side_mm^2",
        ),
    ):
        assert command(*words, "--lab", lab, "--anyway").code == 0, words
    reading = ("measure", "K7", "crush_n", "4000 N", "--firing", "F1", "--lab", lab)
    asked = command(*reading)
    assert asked.code == Unanswered.exit_code and "K7 is not written down as one of firing F1" in asked.err
    assert command(*reading, "--anyway").code == 0
    assert command("measure", "K7", "side_mm", "20", "--firing", "F1", "--lab", lab).code == 0, "it is there by now"
    with open_lab(lab).reading() as record:
        assert [row.piece for row in record.rows(Fired, firing="F1")] == ["K3", "K7"]
