"""The program killed in the middle of entering: whatever was confirmed is there, and the file is sound."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from claybench.record.history import list_acts
from claybench.record.opening import open_lab
from claybench.terms import Body, BodyLine, Family

pytestmark = pytest.mark.slow

CHILD = """
import sys
from claybench.record.opening import open_lab
from claybench.terms import Body, BodyLine, Family, Material

lab = open_lab(sys.argv[1])
with lab.acting("Begin") as act:
    act.add(Material(material="clay"))
for number in range(100_000):
    code = f"{sys.argv[2]}-{number}"
    with lab.acting(f"Entered {code}") as act:
        act.add(Family(family=code))
        act.add(Body(body=code, family=code))
        act.add_many([BodyLine(body=code, position=at, material="clay", parts=1.0) for at in range(20)])
    print(code, flush=True)  # as the screen says it once the act is kept
"""


def kill_after(path: Path, name: str, confirmations: int) -> list[str]:
    """Let a program enter bodies, kill it without warning, and give what it had confirmed by then."""
    child = subprocess.Popen(
        [sys.executable, "-c", CHILD, str(path), name], stdout=subprocess.PIPE, text=True, encoding="utf-8"
    )
    assert child.stdout is not None
    confirmed = [child.stdout.readline().strip() for _ in range(confirmations)]
    os.kill(child.pid, signal.SIGKILL)
    confirmed += child.stdout.read().split()
    child.stdout.close()
    assert child.wait() == -signal.SIGKILL
    return confirmed


@pytest.mark.parametrize("confirmations", [1, 14, 33])
def test_every_confirmed_entry_is_there_after_a_kill(lab_path: Path, confirmations: int) -> None:
    confirmed = kill_after(lab_path, "kill", confirmations)
    assert len(confirmed) >= confirmations
    with closing(sqlite3.connect(lab_path)) as connection:
        assert connection.execute("PRAGMA quick_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    lab = open_lab(lab_path)
    with lab.reading() as record:
        bodies = record.codes(Body)
        entered = [entry.label for entry in list_acts(record, limit=1000) if entry.label.startswith("Entered")]
        lines = record.rows(BodyLine)
        families = record.codes(Family)
    lab.close()
    assert set(confirmed) <= set(bodies)
    assert len(bodies) <= len(confirmed) + 1, "at most the one act that was kept but not yet confirmed"
    assert families == bodies
    assert len(lines) == 20 * len(bodies), "no act is there by half"
    assert sorted(entered) == sorted(f"Entered {code}" for code in bodies)
