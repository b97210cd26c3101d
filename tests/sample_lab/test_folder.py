"""The sample lab is a lab folder: canonical, within every limit of the dictionary, the same bytes every time."""

from __future__ import annotations

import csv
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from claybench import clock
from claybench.exchange.folder_in import import_folder
from claybench.exchange.folder_out import export_folder
from claybench.measure.piece import PieceRaw, questions
from claybench.mix.scratched_codes import fold_look_alikes, is_legible
from claybench.record.lab import Lab
from claybench.terms import FORMAT, SETTINGS, TABLES, Column, Table
from claybench.work.settings import check_setting
from tests.sample_lab.reading import FOLDER, rows


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder made anew, by Python without any installed package."""
    folder = tmp_path_factory.mktemp("made") / "sample"
    subprocess.run([sys.executable, "-I", "-S", "-B", FOLDER / "make.py", folder], check=True, cwd=folder.parent)
    return folder


def test_made_anew_it_has_the_same_bytes(made: Path) -> None:
    assert sorted(path.name for path in made.iterdir()) == sorted(f"{name}.csv" for name in TABLES)
    for name in TABLES:
        assert (made / f"{name}.csv").read_bytes() == (FOLDER / f"{name}.csv").read_bytes(), name


def test_it_goes_in_without_a_fault_and_comes_out_byte_for_byte(lab: Lab, tmp_path: Path) -> None:
    import_folder(lab, FOLDER)
    for path in export_folder(lab, tmp_path / "out"):
        assert path.read_bytes() == (FOLDER / path.name).read_bytes(), path.name


@pytest.mark.parametrize("table", TABLES.values(), ids=lambda table: table.name)
def test_every_cell_keeps_to_the_dictionary(table: Table) -> None:
    raw = (FOLDER / f"{table.name}.csv").read_bytes()
    assert raw.endswith(b"\n") and b"\r" not in raw and not raw.startswith(b"\xef\xbb\xbf")
    lines = list(csv.reader(raw.decode("utf-8").splitlines()))
    assert tuple(lines[0]) == table.names
    found = rows(table.name)
    keys = [tuple(row[name] for name in table.key) for row in found]
    assert keys == sorted(set(keys)), "by key in code-point order, each once"
    codes = {name: {row[other.code] for row in rows(name)} for name, other in TABLES.items() if other.code}
    for row in found:
        assert not table.one_of or sum(bool(row[name]) for name in table.one_of) == 1
        for first, second in table.order:
            assert not row[first] or not row[second] or row[first] <= row[second]
        for column in table.columns:
            if row[column.name] or column.required:
                _check(column, row[column.name], codes)


def _check(column: Column, text: str, codes: dict[str, set[str]]) -> None:
    assert text == text.strip() != ""
    if column.refers:
        assert text in codes[column.refers]
    elif column.kind == "word":
        assert text in column.words
    elif column.kind == "yesno":
        assert text in ("yes", "no")
    elif column.kind in ("number", "whole"):
        value = float(text)
        assert column.within(value)
        assert text == (repr(value).removesuffix(".0")), "shortest decimals"
    elif column.kind == "time":
        assert clock.format_stamp(clock.parse_stamp(text)) == text
    elif column.kind == "day":
        assert clock.format_stamp(clock.parse_day(text)) == text
        assert len(text) == len("2026-03-16") or not column.name.endswith("_on")


def test_it_is_as_large_as_it_says() -> None:
    sizes = {name: len(rows(name)) for name in TABLES}
    assert (sizes["families"], sizes["slabs"], sizes["bodies"]) == (3, 8, 30)
    assert (sizes["runs"], sizes["pieces"], sizes["firings"], sizes["materials"]) == (150, 300, 10, 12)
    assert sizes["batches"] > 60 and sizes["readings"] > 50 and sizes["checks"] > 600
    assert len({row["cone"] for row in rows("firings")}) == 3
    assert {row["family"] for row in rows("bodies") if row["control"] == "yes"} == {"white", "buff", "red"}


def test_every_setting_is_one_of_the_dictionary() -> None:
    found = {row["name"]: row["value"] for row in rows("settings")}
    assert set(found) == set(SETTINGS) and found["format"] == str(FORMAT)
    for name, value in found.items():
        assert name == "format" or check_setting(name, value) == value


def test_piece_codes_can_be_scratched_and_told_apart() -> None:
    codes = [row["piece"] for row in rows("pieces")]
    assert all(is_legible(code) for code in codes)
    assert len({fold_look_alikes(code) for code in codes}) == len(codes)


def test_no_measured_piece_would_be_questioned() -> None:
    pieces = {row["piece"]: row for row in rows("pieces")}
    for fired in rows("fired"):
        piece = pieces[fired["piece"]]
        names = ("plastic_mm", "plastic_g", "dry_mm", "dry_g")
        values = {name: float(piece[name]) for name in names if piece[name]}
        values |= {
            name: float(fired[name]) for name in ("fired_mm", "fired_g", "soaked_g", "suspended_g") if fired[name]
        }
        assert not questions(PieceRaw(**values)), fired


def test_what_comes_later_stands_later() -> None:
    fired_on = {row["firing"]: date.fromisoformat(row["fired_on"]) for row in rows("firings")}
    pieces = {row["piece"]: row for row in rows("pieces")}
    for row in rows("fired"):
        assert pieces[row["piece"]]["dry_at"][:10] < fired_on[row["firing"]].isoformat()
        assert not row["soaked_at"] or row["soaked_at"] > fired_on[row["firing"]].isoformat()
    for row in rows("faults"):
        assert not row["firing"] or row["seen_on"] > fired_on[row["firing"]].isoformat()
    ended = {row["run"]: row["ended_at"] for row in rows("runs")}
    assert all(piece["formed_at"] > ended[piece["run"]] for piece in pieces.values() if piece["run"])
