"""Commands on a whole lab: made, filled, taken back, written out and read in again."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from claybench.cli.labs import sample_folder
from tests.cli.conftest import ROOT, Command
from tests.sample import FOLDER

pytestmark = pytest.mark.slow


def test_new_makes_an_empty_lab_and_prints_its_path(command: Command, tmp_path: Path) -> None:
    answer = command("new", "deep/lab.claybench", "--name", "[/b] =1+1", "--zone", "Europe/Lisbon")
    assert (answer.code, answer.out, answer.err) == (0, "deep/lab.claybench\n", "")
    shown = command("settings", "name", "--lab", "deep/lab.claybench")
    assert "[/b] =1+1" in shown.out
    before = (tmp_path / "deep/lab.claybench").read_bytes()
    again = command("new", "deep/lab.claybench")
    assert again.code == 3 and "is there already" in again.err
    assert (tmp_path / "deep/lab.claybench").read_bytes() == before


def test_new_takes_an_address_and_not_only_a_path(command: Command, tmp_path: Path) -> None:
    answer = command("new", "postgresql+psycopg://nobody@127.0.0.1:1/none")
    assert answer.code == 3
    assert not [path for path in tmp_path.iterdir() if path.name.startswith("postgresql")]


def test_an_unknown_zone_makes_nothing(command: Command, tmp_path: Path) -> None:
    assert command("new", "lab.claybench", "--zone", "Mars/Olympus").code == 2
    assert not (tmp_path / "lab.claybench").exists()


def test_the_lab_may_be_named_by_the_environment(command: Command, monkeypatch: object, lab_path: Path) -> None:
    monkeypatch.setenv("CLAYBENCH_LAB", str(lab_path))  # type: ignore[attr-defined]
    assert "Test lab" in command("settings", "name").out


def test_demo_keeps_a_lab_of_the_sample(command: Command) -> None:
    answer = command("demo", "--keep", "kept.claybench", "--no-show")
    assert (answer.code, answer.out) == (0, "kept.claybench\n")
    assert len(command("slabs", "--lab", "kept.claybench", "--json").json) >= 5


def test_demo_opens_a_throw_away_lab_on_the_screen(command: Command, monkeypatch: object) -> None:
    import claybench.tui.main

    shown: list[Path] = []

    def run(lab: str, **_: object) -> int:
        shown.append(Path(lab))
        with sqlite3.connect(lab) as database:
            assert database.execute("select count(*) from runs").fetchone()[0] > 100
        return 0

    monkeypatch.setattr(claybench.tui.main, "run_notebook", run)  # type: ignore[attr-defined]
    assert command("demo").code == 0
    assert len(shown) == 1 and not shown[0].exists()


def test_the_sample_is_found_in_a_checkout() -> None:
    assert sample_folder() == ROOT / "sample_lab"


def test_export_import_export_gives_the_same_bytes(command: Command, sample_lab_file: Path, tmp_path: Path) -> None:
    first = command("export", "one", "--lab", sample_lab_file)
    assert (first.code, first.out) == (0, "one\n")
    assert command("new", "other.claybench", "--zone", "UTC").code == 0
    assert command("import", "one", "--update", "--lab", "other.claybench").code == 0
    assert command("export", "two", "--lab", "other.claybench").code == 0
    for path in (tmp_path / "one").iterdir():
        assert path.read_bytes() == (tmp_path / "two" / path.name).read_bytes(), path.name
    assert command("export", "one", "--lab", sample_lab_file).code == 2, "a folder that is not empty is refused"


def test_a_faulty_folder_lists_every_fault_and_writes_nothing(command: Command, lab_path: Path, tmp_path: Path) -> None:
    (tmp_path / "bad").mkdir()
    (tmp_path / "bad" / "slabs.csv").write_text("slab,length_mm,thickness_mm\nX,abc,5\n,100,50\nY,100,50\n", "utf-8")
    (tmp_path / "bad" / "foo.csv").write_text("a\n", "utf-8")
    answer = command("import", "bad", "--lab", lab_path)
    assert (answer.code, answer.out) == (6, "")
    assert all(place in answer.err for place in ("slabs.csv:2: length_mm", "slabs.csv:3: slab", "foo.csv"))
    assert command("slabs", "--lab", lab_path, "--json").json == []


def test_undo_redo_and_history(command: Command, lab_path: Path) -> None:
    lab = ("--lab", lab_path)
    size = ("--length", "60 cm", "--width", "40 cm", "--depth", "5 cm")
    assert command("mix", "slab", *size, "--record", "S [/b]", *lab).code == 0
    assert [each["slab"] for each in command("slabs", *lab, "--json").json] == ["S [/b]"]
    assert command("undo", *lab).err == "Took back: Cast slab S [/b].\n"
    assert command("slabs", *lab, "--json").json == []
    assert command("redo", *lab).err == "Did again: Cast slab S [/b].\n"
    assert len(command("slabs", *lab, "--json").json) == 1
    acts = command("history", *lab, "--json").json
    assert [each["act"] for each in acts] == sorted((each["act"] for each in acts), reverse=True)
    assert acts[0]["at"].endswith("+00:00")
    assert "Cast slab S [/b]" in command("history", "--count", "1", *lab).out
    assert "nothing to do again" in command("redo", *lab).err


def test_a_setting_is_read_as_typed_or_refused(command: Command, lab_path: Path) -> None:
    lab = ("--lab", lab_path)
    assert "11339.80925" in command("settings", "bag_g", "25 lb", *lab).out
    for name, value, said in (
        ("bag_g", "5 mm", "is a length"),
        ("name", "", "Name of the lab is needed"),
        ("colour", "red", "no setting 'colour'"),
    ):
        answer = command("settings", name, value, *lab)
        assert (answer.code, answer.out) == (2, "") and said in answer.err
    assert "bag_g" in command("settings", *lab).out


def test_copies_are_made_and_open(command: Command, lab_path: Path) -> None:
    assert command("backups", "--copy-to", "copy.claybench", "--lab", lab_path).code == 0
    assert "Test lab" in command("settings", "name", "--lab", "copy.claybench").out
    assert command("backups", "--copy-to", "copy.claybench", "--lab", lab_path).code == 3
    for words in (("backups", "--copy-to", "-"), ("demo", "--keep", "-", "--no-show"), ("new", "-"), ("export", "-")):
        lab = ("--lab", lab_path) if words[0] in ("backups", "export") else ()
        refused = command(*words, *lab)
        assert refused.code == 2 and "cannot go to stdout" in refused.err and not Path("-").exists(), words
    assert command("backups", "--lab", "postgresql+psycopg://host/lab").code == 2


def test_the_sample_folder_is_what_the_repository_holds(command: Command) -> None:
    assert sorted(path.name for path in FOLDER.glob("*.csv")) == sorted(
        path.name for path in sample_folder().glob("*.csv")
    )
