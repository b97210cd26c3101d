"""Correcting and deleting any row, undo and redo from the bench, and the settings of the lab."""

from __future__ import annotations

from datetime import datetime

import pytest

from claybench.errors import BadInput, NotFound, OutOfRange, Refused
from claybench.record.history import changed_rows, list_acts, undo_label
from claybench.record.lab import Lab
from claybench.record.undoing import undo_act
from claybench.terms import SETTINGS, Batch, BatchLine, Body, BodyLine, Check, Family, Material, Piece, Run, Slab
from claybench.work import any_row, runs, settings


def test_any_row_is_corrected_and_what_was_there_stays(formed: Lab) -> None:
    assert any_row.correct_row(formed, Slab, "P1", {"family": "red", "dry_mass_g": 9000.0})
    with formed.reading() as record:
        assert (record.one(Slab, "P1").family, record.codes(Family)) == ("red", ["buff", "red"])
        newest = list_acts(record)[0]
        assert newest.label == "Corrected slab P1"
        before = {column.name: old for row in changed_rows(record, newest.id) for column, old, _ in row.values}
        assert before["family"] == "buff"
    assert any_row.correct_row(formed, BodyLine, ("B-07", 1), {"material": "red clay"})
    with formed.reading() as record:
        assert "red clay" in record.codes(Material)
        assert list_acts(record)[0].label == "Corrected recipe line B-07"
    assert not any_row.correct_row(formed, Slab, "P1", {"dry_mass_g": 9000.0})
    assert any_row.correct_row(formed, Family, "red", {"family": "rust"})
    with formed.reading() as record:
        assert record.one(Slab, "P1").family == "rust"


def test_a_correction_is_refused_where_it_was_corrected_meanwhile(formed: Lab) -> None:
    with formed.reading() as record:
        seen = record.one(Slab, "P1")
    any_row.correct_row(formed, Slab, "P1", {"dry_mass_g": 9000.0}, seen=seen)
    with pytest.raises(Refused, match="was changed meanwhile"):
        any_row.correct_row(formed, Slab, "P1", {"dry_mass_g": 9100.0}, seen=seen)
    with pytest.raises(NotFound):
        any_row.correct_row(formed, Slab, "P9", {"dry_mass_g": 9100.0})
    with pytest.raises(BadInput, match="no column 'mass'"):
        any_row.correct_row(formed, Slab, "P1", {"mass": 9100.0})


def test_a_row_is_deleted_alone_or_with_what_refers_to_it(formed: Lab, at: datetime) -> None:
    runs.add_check(formed, "R-1", "sticky", at=at)
    with pytest.raises(Refused, match=r"batch 'B-07-1' cannot be deleted: .*1 in runs, 2 in pieces"):
        any_row.delete_row(formed, Batch, "B-07-1")
    # the batch, its weighing, its run with a check, two pieces
    assert any_row.delete_row(formed, Batch, "B-07-1", with_dependents=True) == 6
    with formed.reading() as record:
        assert [record.count(kind) for kind in (Batch, BatchLine, Run, Check, Piece)] == [0] * 5
        assert list_acts(record)[0].label == "Deleted batch B-07-1"
    any_row.undo_last(formed)
    with formed.reading() as record:
        assert [record.count(kind) for kind in (Batch, BatchLine, Run, Check, Piece)] == [1, 1, 1, 1, 2]
    with pytest.raises(NotFound):
        any_row.delete_row(formed, Batch, "B-99")


def test_undo_and_redo_from_the_bench(lab: Lab) -> None:
    assert any_row.undo_last(lab) is None and any_row.redo_last(lab) is None
    with lab.acting("First") as act:
        act.add(Family(family="buff"))
    with lab.acting("Second") as act:
        act.add(Body(body="B", family="buff"))
    undone = [any_row.undo_last(lab), any_row.undo_last(lab)]
    assert [entry.label for entry in undone if entry] == ["Second", "First"]
    assert any_row.undo_last(lab) is None
    redone = [any_row.redo_last(lab), any_row.redo_last(lab)]
    assert [entry.label for entry in redone if entry] == ["Undid: First", "Undid: Second"]
    assert any_row.redo_last(lab) is None
    with lab.reading() as record:
        assert record.codes(Body) == ["B"]
        assert [entry.label for entry in list_acts(record)][:4] == [
            "Redid: Second",
            "Redid: First",
            "Undid: First",
            "Undid: Second",
        ]


@pytest.mark.parametrize(
    ("name", "typed", "kept"),
    [
        ("name", "  Quarry bench ", "Quarry bench"),
        ("zone", "Europe/Lisbon", "Europe/Lisbon"),
        ("bench_from", "8:30", "08:30"),
        ("bench_from", "9am", "09:00"),
        ("bench_until", "6:15 pm", "18:15"),
        ("bag_g", "25 kg", "25000"),
        ("damp_from", "0.4", "0.4"),
        ("scale_step_g", "0.1", "0.1"),
        ("paper", " letter", "Letter"),
    ],
)
def test_a_setting_is_kept_as_the_lab_uses_it(lab: Lab, name: str, typed: str, kept: str) -> None:
    settings.set_setting(lab, name, typed)
    assert lab.setting(name) == kept
    settings.set_setting(lab, name, typed)  # once more changes nothing
    with lab.reading() as record:
        assert [entry.label for entry in list_acts(record)].count(f"Set {name.replace('_', ' ')}") <= 1


@pytest.mark.parametrize(
    ("name", "typed", "why"),
    [
        ("bag", "25", "no setting 'bag'. Did you mean bag_g"),
        ("qqqq", "25", "no setting 'qqqq'"),
        ("format", "2", "kept by claybench"),
        ("name", "  ", "is empty"),
        ("zone", "Middle/Earth", "not a time zone"),
        ("bench_from", "half eight", "not a time of day"),
        ("bench_from", "08:30+01:00", "not a time of day"),
        ("bench_from", "9", "can be 09:00 or 21:00"),
        ("bag_g", "25 °C", "25 °C"),
        ("damp_from", "1.5", "must lie from 0.01 to 1"),
        ("paper", "A5", "Choose A4 or Letter"),
    ],
)
def test_a_setting_that_cannot_be(lab: Lab, name: str, typed: str, why: str) -> None:
    with pytest.raises(BadInput, match=why):
        settings.set_setting(lab, name, typed)
    assert lab.setting("bag_g") is None


def test_every_default_is_itself_a_setting_that_can_be() -> None:
    for name, term in SETTINGS.items():
        if name != "format" and term.default:
            assert settings.check_setting(name, term.default)


def test_out_of_range_is_a_kind_of_bad_input(lab: Lab) -> None:
    with pytest.raises(OutOfRange):
        settings.check_setting("bag_g", "1")


def test_a_step_back_takes_back_what_was_chosen_in_the_history(lab: Lab) -> None:
    """Also the newest act, chosen there: the next step back brings it back, and does not go on to the one before."""
    for label in ("First", "Second"):
        with lab.acting(label) as act:
            act.add(Family(family=label))
    with lab.reading() as record:
        newest, older = (entry.id for entry in list_acts(record, limit=2))

    def families() -> set[str]:
        with lab.reading() as record:
            return {row.family for row in record.rows(Family)}

    for chosen, left in ((older, {"Second"}), (newest, {"First"})):
        undo_act(lab, chosen, chosen=True)
        assert families() == left
        back = any_row.undo_last(lab)
        assert back is not None and undo_label(back).startswith("Did again: ")
        assert families() == {"First", "Second"}
        again = any_row.redo_last(lab)
        assert again is not None and undo_label(again).startswith("Took back: ")
        assert families() == left
        assert any_row.undo_last(lab) is not None


def test_what_another_bench_took_back_is_passed_over(lab: Lab) -> None:
    for label in ("First", "Second"):
        with lab.acting(label) as act:
            act.add(Family(family=label))
    with lab.reading() as record:
        second = list_acts(record, limit=1)[0].id
    mine, lab.bench = lab.bench, "another bench"
    undo_act(lab, second)
    assert any_row.redo_last(lab) is None
    lab.bench = mine
    undone = any_row.undo_last(lab)
    assert undone is not None and undone.label == "First"
    assert any_row.undo_last(lab) is None
    with lab.reading() as record:
        assert record.codes(Family) == []
    assert any_row.redo_last(lab) is not None and any_row.redo_last(lab) is None
    with lab.reading() as record:
        assert record.codes(Family) == ["First"]
