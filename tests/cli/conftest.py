"""Runs commands as the program does, in this process; and as a program of its own, where that matters."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from claybench.__main__ import main

ROOT = Path(__file__).parent.parent.parent


@dataclass(frozen=True, slots=True)
class Answer:
    """What a command left."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """What was written as JSON."""
        return json.loads(self.out)


Command = Callable[..., Answer]


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Command:
    """Runs one command in a folder of its own, with no lab named."""
    monkeypatch.delenv("CLAYBENCH_LAB", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.chdir(tmp_path)

    def run(*arguments: str | Path) -> Answer:
        code = main([str(each) for each in arguments])
        said = capsys.readouterr()
        return Answer(code, said.out, said.err)

    return run


@pytest.fixture
def program(tmp_path: Path) -> Command:
    """Runs claybench as a program of its own."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith("CLAYBENCH")}
    environment |= {"XDG_DATA_HOME": str(tmp_path / "data"), "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"}

    def run(*arguments: str | Path, code: str | None = None) -> Answer:
        start = ["-m", "claybench"] if code is None else ["-c", code]
        done = subprocess.run(
            [sys.executable, *start, *map(str, arguments)],
            cwd=tmp_path,
            env=environment,
            text=True,
            encoding="utf-8",
            capture_output=True,
            check=False,
        )
        return Answer(done.returncode, done.stdout, done.stderr)

    return run
