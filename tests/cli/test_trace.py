"""Tracing by command: the board belongs to the chain, and one thing is named at a time."""

from __future__ import annotations

from pathlib import Path

from claybench.record.opening import open_lab
from claybench.terms import Run
from tests.cli.conftest import Command
from tests.paper.reading import flat, text_of


def test_the_chain_names_the_board_and_what_it_puts_at_risk(command: Command, sample_lab_file: Path) -> None:
    with open_lab(sample_lab_file).reading() as record:
        run = next(row for row in record.rows(Run) if row.wedged_on == "wooden bench")
    found = command("trace", "--run", run.run, "--lab", sample_lab_file, "--json").json
    assert [each["kind"] for each in found["chain"][:3]] == ["batch", "run", "slab"]
    assert [each["code"] for each in found["chain"] if each["kind"] == "board"] == ["wooden bench"]
    assert any("wedged on wooden bench" in each["reason"] for each in found["at_risk"]["pieces"])
    forward = command("trace", "--board", "wooden bench", "--lab", sample_lab_file, "--json").json
    assert forward["chain"][0]["code"] == "wooden bench" and forward["at_risk"]["batches"]


def test_two_things_at_once_are_refused(command: Command, sample_lab_file: Path) -> None:
    answer = command("trace", "--run", "D1", "--slab", "P1", "--lab", sample_lab_file)
    assert answer.code == 2 and "one thing" in answer.err


def test_what_is_at_risk_is_a_list_and_a_paper(command: Command, sample_lab_file: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "trace.pdf"
    answer = command("trace", "--slab", "P4", "--lab", sample_lab_file, "--to", sheet, "--paper", "letter", "--json")
    pieces = {each["piece"]: each for each in answer.json["at_risk"]["pieces"]}
    assert str(sheet) in answer.err and sheet.read_bytes().startswith(b"%PDF")
    assert any("pop_out" in each["seen"] for each in pieces.values())
    assert all(set(each) == {"piece", "reason", "body", "batch", "run", "seen"} for each in pieces.values())
    assert any("chipped 6 Jul" in each["reason"] for each in pieces.values())
    text = flat(text_of(sheet))
    assert all(flat(code) in text for code in pieces)
    assert text.count("☐") == len(pieces)
    assert flat("Pieces at risk with it") in text and flat("The way back") in text
    again = command("trace", "--slab", "P4", "--lab", sample_lab_file, "--to", sheet)
    assert again.code != 0 and "--replace" in again.err
