"""Questions are kept for every bench of the lab, and every act on one can be undone."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.body_table import kept_question, kept_questions
from claybench.errors import BadInput, NotFound
from claybench.exchange.folder_in import import_folder
from claybench.exchange.folder_out import export_folder
from claybench.record.lab import Lab
from claybench.record.opening import create_lab
from claybench.work.any_row import undo_last
from claybench.work.settings import forget_question, keep_question, rename_question


def lines(lab: Lab) -> dict[str, str]:
    return {each.name: each.line for each in kept_questions(lab)}


def test_kept_replaced_renamed_and_deleted_and_all_of_it_undone(lab: Lab) -> None:
    keep_question(lab, "tight buff", "absorption under 2")
    keep_question(lab, "Tight Buff", "absorption under 1")
    assert lines(lab) == {"tight buff": "absorption under 1"}
    rename_question(lab, "tight buff", "tight")
    assert kept_question(lab, " TIGHT ").line == "absorption under 1"
    forget_question(lab, "tight")
    assert lines(lab) == {}
    undo_last(lab)
    assert lines(lab) == {"tight": "absorption under 1"}
    undo_last(lab)
    undo_last(lab)
    assert lines(lab) == {"tight buff": "absorption under 2"}
    forget_question(lab, "tight buff")
    keep_question(lab, "tight buff", "cone 6")  # a name is free again
    assert lines(lab) == {"tight buff": "cone 6"}


def test_what_cannot_be_kept_is_said(lab: Lab) -> None:
    keep_question(lab, "one", "cone 6")
    keep_question(lab, "two", "cone 06")
    with pytest.raises(BadInput, match="already"):
        rename_question(lab, "one", "TWO")
    rename_question(lab, "one", "ONE")
    with pytest.raises(BadInput, match="no name"):
        keep_question(lab, "  ", "cone 6")
    with pytest.raises(BadInput, match="40 at most"):
        keep_question(lab, "x" * 41, "cone 6")
    with pytest.raises(BadInput, match="no question"):
        keep_question(lab, "three", " ")
    with pytest.raises(NotFound):
        forget_question(lab, "three")
    with pytest.raises(NotFound, match="ONE, two"):
        kept_question(lab, "three")


def test_kept_questions_go_with_the_lab_folder(lab: Lab, tmp_path: Path) -> None:
    keep_question(lab, "tight", 'contains "feldspar, potash"')
    export_folder(lab, tmp_path / "out")
    other = create_lab(tmp_path / "other.claybench", name="Other", zone="UTC")
    import_folder(other, tmp_path / "out", update=True)
    assert lines(other) == lines(lab)
    other.close()
