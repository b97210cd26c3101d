"""Tables for spreadsheets: nothing in them runs, numbers stay numbers, no file is lost.

What a spreadsheet takes for a formula: cells that begin with = + - @, tab or line end, their full-width forms, and the
same behind a mark that another country's spreadsheet takes for the end of a cell (OWASP, "CSV Injection").
"""

from __future__ import annotations

import csv
import io
import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import example, given, strategies as st

from claybench import clock
from claybench.errors import BadInput, Refused
from claybench.exchange.spreadsheet import free_name, plain_cell, safe_cell, save_table, write_table

NASTY = st.text(alphabet=st.sampled_from("=+-@＝\t\r\n\x00;,' \"\u200b\ufeffa1"), max_size=12)
RUNS = re.compile(r"[\s\x00-\x1f\u200b\ufeff]*[=+\-@＝＋－＠]|[\t\r\n\x00]")


@given(st.one_of(st.text(max_size=20), NASTY))
@example("=1+1")
@example('=HYPERLINK("x";"y")')
@example(" \t=1")
@example("\ufeff@SUM(1)")
def test_no_text_runs_and_every_guard_comes_off_again(text: str) -> None:
    guarded = safe_cell(text)
    assert RUNS.match(guarded) is None
    assert plain_cell(guarded) == text


@given(st.lists(NASTY, min_size=1, max_size=4), st.sampled_from(["point", "comma"]))
@example(["", ";\x00="], "point")
def test_no_cell_of_a_file_runs_wherever_it_is_opened(cells: list[str], decimal: str) -> None:
    stream = io.StringIO(newline="")
    write_table(stream, [f"h{n}" for n in range(len(cells))], [cells], decimal=decimal)
    whole = stream.getvalue()
    right = ";" if decimal == "comma" else ","
    back = list(csv.reader(io.StringIO(whole, newline=""), delimiter=right, strict=True))
    assert [plain_cell(cell) for cell in back[1]] == cells
    other = "," if decimal == "comma" else ";"
    for row in csv.reader(io.StringIO(whole.replace("\x00", ""), newline=""), delimiter=other):
        assert not any(cell.startswith(("=", "@", "+", "-")) for cell in row), whole


@given(st.floats(allow_nan=False, allow_infinity=False, width=64))
def test_a_number_stays_a_number_to_its_last_digit(value: float) -> None:
    for decimal, mark in (("point", "."), ("comma", ",")):
        stream = io.StringIO(newline="")
        write_table(stream, ["x"], [[value]], decimal=decimal)
        cell = stream.getvalue().splitlines()[1].strip('"')
        assert float(cell.replace(mark, ".")) == value
        assert not cell.startswith("'")


def test_moments_stand_by_the_clock_on_the_wall_and_with_their_offset_where_it_struck_twice() -> None:
    stream = io.StringIO(newline="")
    moments = [datetime(2026, 3, 12, 9, 5, tzinfo=UTC), datetime(2026, 10, 25, 0, 30, tzinfo=UTC)]
    write_table(stream, ["at"], [[moment] for moment in moments], zone=clock.parse_zone("Europe/Lisbon"))
    assert stream.getvalue() == "at\n2026-03-12 09:05:00\n2026-10-25 01:30:00+01:00\n"


def test_a_file_that_is_there_is_left_alone_unless_it_may_be_replaced(tmp_path: Path) -> None:
    path = tmp_path / "new folder" / "pieces.csv"
    save_table(path, ["a", "b"], [["x", -2.5]])
    assert path.read_bytes() == b"\xef\xbb\xbfa,b\nx,-2.5\n"
    with pytest.raises(BadInput, match="there already"):
        save_table(path, ["a"], [["y"]])
    assert path.read_bytes() == b"\xef\xbb\xbfa,b\nx,-2.5\n"
    assert free_name(path).name == "pieces (2).csv"
    save_table(path, ["a"], [["y"]], replace=True)
    assert path.read_bytes() == b"\xef\xbb\xbfa\ny\n"
    assert [file.name for file in path.parent.iterdir()] == ["pieces.csv"]


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(Refused, match="cannot be written"):
        save_table(tmp_path / "file" / "x.csv", ["a"], [["y"]])
