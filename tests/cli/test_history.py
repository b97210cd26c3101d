"""What an act changed, as a command and in the book."""

from __future__ import annotations

from pathlib import Path

from claybench.record.history import list_acts
from claybench.record.opening import open_lab
from claybench.terms import Family
from claybench.work.any_row import correct_row
from claybench.work.recipes import add_family
from tests.cli.conftest import Command


def test_an_act_says_each_value_it_changed(command: Command, lab_path: Path) -> None:
    lab = open_lab(lab_path)
    add_family(lab, Family(family="buff", note="kept apart"))
    correct_row(lab, Family, "buff", {"stain_rank": 2, "note": None})
    with lab.reading() as record:
        corrected, entered = (entry.id for entry in list_acts(record, limit=2))
    lab.close()
    answer = command("history", str(corrected), "--lab", lab_path)
    assert (answer.code, answer.out) == (0, "changed family buff: stain rank – → 2, note kept apart → –\n")
    assert command("history", str(entered), "--lab", lab_path).out == "entered family buff: note kept apart\n"
    (found,) = command("history", str(corrected), "--lab", lab_path, "--json").json
    assert (found["kind"], found["table"], found["key"]) == ("changed", "families", {"family": "buff"})
    assert found["values"]["stain_rank"] == {"before": None, "after": 2}
    answer = command("history", "999", "--lab", lab_path)
    assert (answer.code, answer.out) == (4, "") and "no act 999" in answer.err
