"""The way in: what is loaded before it is needed, which lab is meant, how errors and interruptions end."""

from __future__ import annotations

import gc
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from claybench import __version__
from claybench.__main__ import main, take_lab
from claybench.errors import ClaybenchError, Fault, FaultyFolder, NotFound
from tests.cli.conftest import ROOT, Command

pytestmark = pytest.mark.slow

HEAVY = ("textual", "pandas", "numpy", "matplotlib", "scipy", "pint", "sqlmodel", "sqlalchemy", "alembic", "rich")
WATCHED = f"""
import sys
from claybench.__main__ import main
try:
    main(sys.argv[1:])
finally:
    print(*sorted(set({(*HEAVY, "typer")!r}) & set(sys.modules)), file=sys.stderr)
"""


@pytest.mark.parametrize(
    ("arguments", "loaded"),
    [
        (["--version"], ""),
        (["--help"], "typer"),
        (["mix", "slip", "--help"], "typer"),
        (["forecast", "--help"], "typer"),
        (["--lab", "x", "history", "--help"], "typer"),
    ],
)
def test_help_and_version_load_nothing_heavy(program: Command, arguments: list[str], loaded: str) -> None:
    answer = program(*arguments, code=WATCHED)
    assert answer.code == 0 and answer.out
    assert answer.err.strip() == loaded


def test_sizing_without_a_lab_needs_no_database(program: Command) -> None:
    answer = program("mix", "slab", "--length", "60 cm", "--width", "40 cm", "--depth", "2 in", "--json", code=WATCHED)
    assert answer.json["depth_mm"]["value"] == 50.8
    assert answer.err.strip() == "typer"


def test_the_first_data_waits_for_no_statistics_library(program: Command, sample_lab_file: Path) -> None:
    answer = program("--lab", sample_lab_file, "slabs", "--json", code=WATCHED)
    assert len(answer.json) > 3
    assert "scipy" not in answer.err and "matplotlib" not in answer.err and "numpy" in answer.err


def test_version(program: Command) -> None:
    assert program("--version").out == f"claybench {__version__}\n"


@pytest.mark.parametrize(
    ("arguments", "lab", "rest"),
    [
        (["--lab", "a", "history"], "a", ["history"]),
        (["history", "--lab", "a"], "a", ["history"]),
        (["history", "--count", "1", "--lab=a", "--json"], "a", ["history", "--count", "1", "--json"]),
        (["history"], "set", ["history"]),
        (["--lab"], "", []),
        (["--lab="], "", []),
        (["--lab", "a"], "a", []),
        (["compare", "--", "--lab", "b"], "set", ["compare", "--", "--lab", "b"]),
    ],
)
def test_which_lab_is_meant(monkeypatch: pytest.MonkeyPatch, arguments: list[str], lab: str, rest: list[str]) -> None:
    monkeypatch.setenv("CLAYBENCH_LAB", "set")
    assert take_lab(arguments) == (lab, rest)


@pytest.mark.parametrize("arguments", [["slabs", "--lab"], ["--lab", "", "slabs"], ["--lab="]])
def test_an_empty_lab_is_never_the_default_one(command: Command, tmp_path: Path, arguments: list[str]) -> None:
    answer = command(*arguments)
    assert answer.code == 2 and "needs the path" in answer.err and not answer.out
    assert not (tmp_path / "data").exists()


def test_without_a_command_the_screen_opens(monkeypatch: pytest.MonkeyPatch) -> None:
    import claybench.tui.main

    opened: list[str | None] = []
    monkeypatch.setattr(claybench.tui.main, "run_notebook", lambda lab: opened.append(lab) or 7)
    monkeypatch.delenv("CLAYBENCH_LAB", raising=False)
    assert main(["--lab", "some.claybench"]) == 7
    assert main([]) == 7
    monkeypatch.setenv("CLAYBENCH_LAB", "set.claybench")
    assert main([]) == 7
    assert opened == ["some.claybench", None, "set.claybench"]


def test_no_key_waits_for_a_look_through_all_that_is_loaded(lab_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from claybench.tui.main import NotebookApp, run_notebook

    searching: list[bool] = []

    def run(app: NotebookApp) -> None:
        searching.append(gc.isenabled())
        before = gc.get_freeze_count()
        app._opener().close()
        assert gc.get_freeze_count() > before + 1000
        searching.append(gc.isenabled())

    monkeypatch.setattr(NotebookApp, "run", run)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    monkeypatch.setenv("TERM", "xterm")
    assert run_notebook(str(lab_path)) == 0
    assert searching == [False, True] and gc.isenabled()


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["frobnicate"], 2, "No such command 'frobnicate'"),
        (["slabs", "--lab", "nowhere.claybench"], 3, "claybench new nowhere.claybench"),
        (["slabs", "--lab", "junk"], 3, "is not a lab"),
        (["compare", "--lab", "lab.claybench", "[/b]"], 4, "no body '[/b]'"),
        (["slabs", "--lab", "lab.claybench", "--as-of", "03/04"], 2, "can be 3 Apr or 4 Mar"),
        (["slabs", "--lab", "lab.claybench", "--as-of", "2026-02-30"], 2, "not a date of the calendar"),
        (["mix", "slab", "--length", "5 kg"], 2, "--length: '5 kg' is a mass"),
        (["table", "pieces", "--lab", "lab.claybench", "--to", "no/such/folder/x.csv"], 2, "no folder no/such/folder"),
    ],
)
def test_errors_go_to_stderr_with_their_code(
    command: Command, lab_path: Path, tmp_path: Path, arguments: list[str], code: int, said: str
) -> None:
    (tmp_path / "junk").write_text("not a lab", encoding="utf-8")
    answer = command(*arguments)
    assert (answer.code, answer.out) == (code, "")
    assert said in answer.err and "Traceback" not in answer.err


def test_title_reason_remedy_and_every_fault_are_told(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    import claybench.record.opening

    def fail(error: ClaybenchError) -> None:
        def create(*_: object, **__: object) -> None:
            raise error

        monkeypatch.setattr(claybench.record.opening, "create_lab", create)

    fail(NotFound("There is no [/b].", "Write another."))
    answer = command("new", "x")
    assert (answer.code, answer.err) == (4, "Not in this lab: There is no [/b].\nWrite another.\n")
    fail(FaultyFolder([Fault("runs.csv", 3, "slab", "no slab"), Fault("x.csv", 0, "", "no such table")]))
    answer = command("new", "x")
    assert answer.code == 6
    assert "  runs.csv:3: slab: no slab\n  x.csv: no such table\n" in answer.err


def test_interrupted_ends_with_130(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    import claybench.record.opening

    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(claybench.record.opening, "create_lab", stopped)
    assert command("new", "x").code == 130


def test_a_reader_that_leaves_is_no_error(sample_lab_file: Path, tmp_path: Path) -> None:
    for asked in (["table", "pieces"], ["history"]):  # more, and less, than a pipe holds
        started = subprocess.Popen(
            [sys.executable, "-m", "claybench", *asked, "--lab", str(sample_lab_file)],
            cwd=tmp_path,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            restore_signals=False,
        )
        assert started.stdout is not None and started.stderr is not None
        started.stdout.close()
        said = started.stderr.read()
        started.stderr.close()
        assert (started.wait(), said) == (0, b"")
    assert signal.getsignal(signal.SIGPIPE) == signal.SIG_IGN  # as Python itself has it, so the write did fail
