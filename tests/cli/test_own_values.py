"""What was read of bodies themselves and the words said of them, on the command line."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from claybench.record.opening import open_lab
from tests.cli.conftest import Command
from tests.tui.test_own_values import fill_with_readings


def test_what_was_read_of_bodies_and_the_words_said_are_compared(lab_path: Path, command: Command) -> None:
    path = lab_path
    with closing(open_lab(path)) as lab:
        fill_with_readings(lab)
    shown = command("compare", "B-1", "B-2", "--lab", path)
    assert "thixotropy" in shown.out and "satin ×2" in shown.out and "2 readings" in shown.out
    rows = command("compare", "B-1", "B-2", "--lab", path, "--json").json
    own = {(row["body"], row["firing"]): row["own"] for row in rows}
    assert own["B-1", None] == {
        "thixotropy": {"n": 2, "mean": 12.5, "least": 12.0, "most": 13.0},
        "handling": {"n": 1, "words": {"short": 1}},
    }
    assert own["B-1", "F1"] == {"gloss": {"n": 2, "words": {"satin": 2}}}
    assert own["B-2", None]["thixotropy"]["mean"] == 20.5 and own["B-2", "F1"]["gloss"]["words"] == {"matt": 2}
