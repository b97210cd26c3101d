"""Processor time of whole processes and their peak memory; the least of several runs, so that a busy machine weighs
little."""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

PYTHON = sys.executable
CLAYBENCH = (PYTHON, "-m", "claybench")
_ESCAPES = re.compile(rb"\x1b(\[[0-9;?<>=]*[ -/]*[@-~]|[PX^_\]].*?(\x1b\\|\x07)|[@-_])", re.DOTALL)
_LONGEST_S = 120.0
"""Wall seconds after which a screen that shows nothing is given up."""
_TICKS = os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True, slots=True)
class Cost:
    """What one process took."""

    seconds: float
    """Processor time, its children included."""
    peak_mb: float


def run(command: Sequence[str | Path]) -> Cost:
    """Run a command to its end, which has to be a good one; what it writes is thrown away."""
    process = subprocess.Popen([str(part) for part in command], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    assert process.stderr is not None
    said = process.stderr.read()
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    process.stderr.close()
    if process.returncode:
        raise RuntimeError(f"{command} ended with {process.returncode}: {said.decode(errors='replace')[-500:]}")
    return Cost(usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024)


def python(code: str, *arguments: object) -> tuple[str, ...]:
    """The command that runs some lines of Python."""
    return PYTHON, "-c", code, *map(str, arguments)


def least(rounds: int, *calls: Callable[[], float]) -> list[float]:
    """The least of several turns of each call; they take turns, so that a busy moment meets all of them."""
    found = [[call() for call in calls] for _ in range(rounds)]
    return [min(each) for each in zip(*found, strict=True)]


def until_shown(command: Sequence[str | Path], shown: str) -> float:
    """Processor seconds of a program on a terminal of 100 × 30 until a text matches what it has drawn; then it ends."""
    pid, terminal = pty.fork()
    if pid == 0:
        os.environ |= {"TERM": "xterm-256color", "COLUMNS": "100", "LINES": "30", "COLORTERM": "truecolor"}
        os.execvp(str(command[0]), [str(part) for part in command])
    wanted, drawn, end = re.compile(shown.encode()), b"", time.monotonic() + _LONGEST_S
    try:
        while time.monotonic() < end:
            if not select.select([terminal], [], [], 1.0)[0]:
                continue
            drawn += os.read(terminal, 65536)
            if wanted.search(_ESCAPES.sub(b"", drawn)):
                return _worked(pid)
        raise RuntimeError(f"{command} never showed {shown!r}")
    finally:
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        os.close(terminal)


def _worked(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / _TICKS
