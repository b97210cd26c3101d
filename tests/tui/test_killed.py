"""The process killed in the middle of entering a run: every confirmed entry is there afterwards."""

from __future__ import annotations

import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
from collections.abc import Iterator
from contextlib import contextmanager
from fcntl import ioctl
from pathlib import Path

import pytest

from claybench.record.opening import create_lab, open_lab
from claybench.terms import Body, Check, Run, Slab
from claybench.tui.drafts import Drafts
from claybench.work.recipes import add_body
from claybench.work.runs import start_run
from claybench.work.slabs import enter_slab
from tests.sample import END

pytestmark = pytest.mark.slow

_PATIENCE_S = 60.0
"""How long a silent screen is waited for before the test gives up; nothing is timed."""
_READS = 2000
"""The screen repaints its clock for ever, so that silence never comes; so many reads are enough."""


class Terminal:
    """A real terminal of 80 × 24 with claybench in it."""

    def __init__(self, lab: Path, state: Path) -> None:
        self._ours, theirs = pty.openpty()
        ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        environment = os.environ | {"TERM": "xterm-256color", "CLAYBENCH_STATE": str(state), "CLAYBENCH_LAB": str(lab)}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "claybench"],
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            env=environment,
            close_fds=True,
        )
        os.close(theirs)
        self.seen = ""

    def wait_for(self, text: str) -> None:
        """Read until the text has been painted."""
        for _ in range(_READS):
            if text in self.seen:
                return
            ready, _, _ = select.select([self._ours], [], [], _PATIENCE_S)
            assert ready, f"'{text}' never came; last seen: {self.seen[-400:]!r}"
            self.seen += os.read(self._ours, 65536).decode("utf-8", errors="replace")
        raise AssertionError(f"'{text}' never came; last seen: {self.seen[-400:]!r}")

    def type(self, keys: str) -> None:
        """Send keys, forgetting what was painted before."""
        self.seen = ""
        os.write(self._ours, keys.encode())

    def kill(self) -> None:
        """No good-bye."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()
        os.close(self._ours)


@contextmanager
def terminal(lab: Path, state: Path) -> Iterator[Terminal]:
    found = Terminal(lab, state)
    try:
        yield found
    finally:
        if found.process.poll() is None:
            found.kill()


def lab_with_a_layer(path: Path) -> None:
    """A slab, a body, and one layer that lies there."""
    lab = create_lab(path, name="Killed", zone="UTC")
    enter_slab(lab, Slab(slab="P1", length_mm=500, width_mm=400, thickness_mm=45), at=END, mass_g=11_000)
    enter_slab(lab, Slab(slab="P2", length_mm=500, width_mm=400, thickness_mm=45), at=END, mass_g=11_000)
    add_body(lab, Body(body="W-01"), [("kaolin", 100.0)])
    start_run(lab, Run(run="R1", batch="W-01-1", slab="P1", started_at=lab.now(), layer_mm=9.0), body="W-01")
    lab.close()


def test_killed_in_the_middle_of_entering_a_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, state = tmp_path / "lab.claybench", tmp_path / "state"
    lab_with_a_layer(path)
    with terminal(path, state) as screen:
        screen.wait_for("R1")
        for key, felt in (("f", "felt fluid"), ("s", "felt sticky")):
            screen.type(key)
            screen.wait_for(felt)
        screen.type("jp")  # from the free slab's line, so that the first field is the slip poured
        screen.wait_for("Pour slip on a slab")
        screen.type("1234")
        screen.wait_for("1 234 g")
        screen.kill()
    lab = open_lab(path)
    with lab.reading() as record:
        assert [check.feel for check in record.rows(Check)] == ["fluid", "sticky"]
        assert [run.run for run in record.rows(Run)] == ["R1"]
    where = lab.where
    lab.close()
    monkeypatch.setenv("CLAYBENCH_STATE", str(state))
    assert "1234" in Drafts(where).load("pour").values()


def test_killed_again_and_again_every_confirmed_touch_stays(tmp_path: Path) -> None:
    path, state = tmp_path / "lab.claybench", tmp_path / "state"
    lab_with_a_layer(path)
    for number in range(1, 4):
        with terminal(path, state) as screen:
            screen.wait_for("R1")
            screen.type("f")
            screen.wait_for("felt fluid")
            screen.kill()
        lab = open_lab(path)
        with lab.reading() as record:
            assert record.count(Check) == number
        lab.close()
