"""`--as-of` takes times as people say them, by the lab's clock, and says what it understood."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench import clock
from claybench.cli.lab_context import read_moment
from claybench.errors import BadInput
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from tests.cli.conftest import Command
from tests.typed_times import NOW, READ, REFUSED

pytestmark = pytest.mark.slow


@pytest.fixture
def lab(lab_path: Path) -> Lab:
    """A lab in Lisbon whose clock stands still."""
    lab = open_lab(lab_path)
    lab.now = lambda: NOW
    return lab


def test_all_that_a_field_takes_is_taken(lab: Lab, capsys: pytest.CaptureFixture[str]) -> None:
    for typed, wanted, _ in READ:
        found = read_moment(lab, typed)
        assert found is not None and clock.format_stamp(found) == wanted, typed
        said = capsys.readouterr()
        assert said.out == ""
        assert said.err in ("", f"As of {clock.understand_as_of(typed, NOW).describe(NOW)}.\n")
        assert bool(said.err) is not typed[:4].isdigit(), typed
    for typed, why in REFUSED:
        with pytest.raises(BadInput, match="(?s).") as told:
            read_moment(lab, typed)
        assert why in str(told.value), typed
    assert read_moment(lab, None) is None
    lab.close()


def test_a_command_says_what_it_understood_on_stderr(command: Command, sample_lab_file: Path) -> None:
    said = command("slabs", "--as-of", "25 Sep 2026 2:31 pm", "--json", "--lab", sample_lab_file)
    assert said.code == 0 and said.err.startswith("As of Fri 25 Sep") and said.err.endswith("14:31.\n")
    plain = command("slabs", "--as-of", "2026-09-25 14:31", "--json", "--lab", sample_lab_file)
    assert plain.json == said.json and plain.err == ""
    stamp = command("slabs", "--as-of", "2026-09-25T14:31:00+01:00", "--json", "--lab", sample_lab_file)
    assert stamp.json == plain.json, "the lab's own clock is an hour ahead of UTC in September"
    for typed in ("yesterday", "Sun 9am", "2 days ago", "noon", "1900-01-01", "2199-12-31"):
        assert command("slabs", "--as-of", typed, "--json", "--lab", sample_lab_file).code == 0, typed


@pytest.mark.parametrize("typed", ["", "03/04", "0001-01-01", "9999-12-31", "-99999 d", "14:05:61", "x" * 100_000])
def test_what_cannot_be_meant_ends_with_a_sentence(command: Command, sample_lab_file: Path, typed: str) -> None:
    said = command("slabs", "--as-of", typed, "--lab", sample_lab_file)
    assert (said.code, said.out) == (2, "")
    assert "Traceback" not in said.err and len(said.err) < 250


def test_sizing_a_batch_asks_about_then_in_the_same_words(command: Command, sample_lab_file: Path) -> None:
    said = command(
        "mix", "slip", "--body", "R-02", "--dry", "2 kg", "--as-of", "1 Sep 2026 9am", "--lab", sample_lab_file
    )
    assert said.code == 0 and "As of Tue 1 Sep" in said.err


def test_a_kept_demonstration_says_which_clock_it_goes_by(command: Command) -> None:
    said = command("demo", "--keep", "kept.claybench", "--no-show")
    assert (said.code, said.out) == (0, "kept.claybench\n")
    then = said.err.partition("--as-of '")[2].partition("'")[0]
    assert "goes by the real clock" in said.err and then.startswith("2026-09-25 14:")
    assert command("slabs", "--as-of", then, "--lab", "kept.claybench").code == 0


@pytest.mark.parametrize("keep", [(), ("--keep", "kept.claybench")])
def test_the_demonstrations_clock_starts_at_its_newest_entry_kept_or_not(
    command: Command, monkeypatch: pytest.MonkeyPatch, keep: tuple[str, ...]
) -> None:
    import claybench.tui.main

    clocks = []

    class Screen:
        """Opens the lab as the notebook does, and looks at its clock."""

        failed, return_code = None, 0

        def __init__(self, _lab: str, opener) -> None:  # type: ignore[no-untyped-def]
            self.opener = opener

        def run(self) -> None:
            lab = self.opener()
            clocks.append(clock.in_zone(lab.now(), lab.zone))
            lab.close()

    monkeypatch.setattr(claybench.tui.main, "NotebookApp", Screen)
    monkeypatch.setattr("sys.stdout.isatty", lambda: True)
    monkeypatch.delenv("TERM", raising=False)
    assert command("demo", *keep).code == 0
    assert [f"{at:%Y-%m-%d %H}" for at in clocks] == ["2026-09-25 14"]
