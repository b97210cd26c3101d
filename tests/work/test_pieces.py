"""Acts on pieces: forming, measuring, firing, faults, photos and the end of a piece."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest

from claybench.errors import BadInput, NotFound, OutOfRange, Refused
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.terms import FaultSeen, Fired, Firing, Measurement, Photo, Piece
from claybench.work import any_row, pieces

HOUR = timedelta(hours=1)


def piece(lab: Lab, code: str = "7A") -> Piece:
    with lab.reading() as record:
        return record.one(Piece, code)


def fired(lab: Lab) -> list[Fired]:
    with lab.reading() as record:
        return record.rows(Fired)


def newest(lab: Lab) -> str:
    with lab.reading() as record:
        return list_acts(record, limit=1)[0].label


def test_pieces_are_formed_together_or_not_at_all(formed: Lab) -> None:
    assert newest(formed) == "Formed 2 pieces of B-07-1"
    with pytest.raises(Refused, match="already a piece '7b'"):
        pieces.form_pieces(formed, [Piece(piece="7C", batch="B-07-1"), Piece(piece="7b", batch="B-07-1")])
    with formed.reading() as record:
        assert record.codes(Piece) == ["7A", "7B"]
        last = record.last_act()
    pieces.form_pieces(formed, [])
    with formed.reading() as record:
        assert record.last_act() == last


def test_the_first_reading_dates_itself(formed: Lab, at: datetime) -> None:
    pieces.measure(formed, "7A", "plastic_mm", 100.0, at=at)
    pieces.measure(formed, "7A", "plastic_g", 61.2, at=at + HOUR)
    pieces.measure(formed, "7A", "dry_mm", 93.4, at=at + 48 * HOUR, method="air")
    pieces.measure(formed, "7A", "dry_g", 50.1, at=at + 72 * HOUR)
    assert piece(formed) == Piece(
        piece="7A",
        batch="B-07-1",
        run="R-1",
        shape="bar",
        formed_at=at,
        plastic_mm=100.0,
        plastic_g=61.2,
        dry_at=at + 48 * HOUR,
        dry_how="air",
        dry_mm=93.4,
        dry_g=50.1,
    )
    assert newest(formed) == "Measured dry mass of 7A"


def test_a_reading_is_corrected_cleared_and_had_back(formed: Lab, at: datetime) -> None:
    pieces.measure(formed, "7A", "dry_mm", 39.4, at=at)
    pieces.measure(formed, "7A", "dry_mm", 93.4, at=at + HOUR)
    assert (piece(formed).dry_mm, piece(formed).dry_at) == (93.4, at)
    pieces.measure(formed, "7A", "dry_mm", None, at=at + HOUR)
    assert piece(formed).dry_mm is None
    any_row.undo_last(formed)
    assert piece(formed).dry_mm == 93.4


def test_an_impossible_reading_is_kept_as_typed(formed: Lab, at: datetime) -> None:
    """Questions are asked beside the field; the record does not know better than who measured."""
    pieces.measure(formed, "7A", "plastic_mm", 100.0, at=at)
    pieces.measure(formed, "7A", "dry_mm", 104.0, at=at)
    assert piece(formed).dry_mm == 104.0
    with pytest.raises(OutOfRange, match="Dry length is -1"):
        pieces.measure(formed, "7A", "dry_mm", -1.0, at=at)


def test_pieces_go_into_a_firing_and_are_measured_after_it(formed: Lab, at: datetime, day: date) -> None:
    pieces.add_firing(formed, Firing(firing="F-1", fired_on=day, cone="6"), ["7A"])
    pieces.load_firing(formed, "F-1", ["7B"])
    assert fired(formed) == [Fired(piece="7A", firing="F-1"), Fired(piece="7B", firing="F-1")]
    pieces.measure(formed, "7A", "fired_mm", 88.0, at=at, firing="F-1")
    pieces.measure(formed, "7A", "soaked_g", 52.0, at=at, firing="F-1", method="boil")
    pieces.measure(formed, "7A", "suspended_g", 28.5, at=at + HOUR, firing="F-1")
    pieces.measure(formed, "7A", "colour", "warm buff", at=at, firing="F-1")
    assert fired(formed)[0] == Fired(
        piece="7A",
        firing="F-1",
        fired_mm=88.0,
        soaked_at=at,
        soaked_g=52.0,
        suspended_g=28.5,
        soak_method="boil",
        colour="warm buff",
    )
    with pytest.raises(Refused):
        pieces.load_firing(formed, "F-1", ["7A"])


def test_a_piece_measured_after_a_firing_was_in_it(formed: Lab, at: datetime) -> None:
    pieces.add_firing(formed, Firing(firing="F-1"))
    pieces.measure(formed, "7A", "soaked_g", 52.0, at=at, firing="F-1", method="vacuum")
    assert fired(formed) == [Fired(piece="7A", firing="F-1", soaked_at=at, soaked_g=52.0, soak_method="vacuum")]


def test_a_measurement_that_has_no_place(formed: Lab, at: datetime) -> None:
    with pytest.raises(BadInput, match="Which firing does the fired length belong to") as told:
        pieces.measure(formed, "7A", "fired_mm", 88.0, at=at)
    assert told.value.field == "firing"
    with pytest.raises(BadInput, match="'weight' is not measured on a piece"):
        pieces.measure(formed, "7A", "weight", 88.0, at=at)
    with pytest.raises(NotFound, match="no firing 'F-9'"):
        pieces.measure(formed, "7A", "fired_mm", 88.0, at=at, firing="F-9")
    for column, firing in (("dry_mm", None), ("fired_mm", "F-9")):
        with pytest.raises(NotFound, match="no piece '9Z'"):
            pieces.measure(formed, "9Z", column, 88.0, at=at, firing=firing)


def test_a_firing_with_an_unknown_piece_is_not_entered(formed: Lab) -> None:
    with pytest.raises(NotFound):
        pieces.add_firing(formed, Firing(firing="F-1"), ["7A", "9Z"])
    with formed.reading() as record:
        assert record.codes(Firing) == []


def test_a_piece_ends_and_keeps_its_readings(formed: Lab, at: datetime, day: date) -> None:
    pieces.measure(formed, "7A", "plastic_mm", 100.0, at=at)
    pieces.end_piece(formed, "7A", "broken", on=day)
    assert (piece(formed).ended, piece(formed).ended_at, piece(formed).plastic_mm) == ("broken", day, 100.0)
    with pytest.raises(BadInput, match="What became of it cannot be 'eaten'"):
        pieces.end_piece(formed, "7B", "eaten", on=day)


def test_a_further_reading_corrects_nothing(formed: Lab, at: datetime) -> None:
    pieces.measure(formed, "7A", "dry_mm", 93.4, at=at)
    again = Measurement(piece="7A", at=at, what="dry_mm", value=93.1)
    pieces.add_reading(formed, again)
    cup = Measurement(batch="B-07-1", at=at, what="liquid_cup", count=22, wet_g=31.0, dry_g=22.0)
    pieces.add_reading(formed, cup)
    assert newest(formed) == "Read liquid cup of B-07-1"
    assert piece(formed).dry_mm == 93.4
    with formed.reading() as record:
        assert record.rows(Measurement) == [again, cup]
    for wrong in (
        Measurement(at=at, what="other", value=1.0),
        Measurement(piece="7A", batch="B-07-1", at=at, what="other", value=1.0),
    ):
        with pytest.raises(BadInput, match="belongs to exactly one of piece, batch, run"):
            pieces.add_reading(formed, wrong)


def test_faults_are_seen_on_pieces_and_layers(formed: Lab, day: date) -> None:
    pieces.see_fault(formed, FaultSeen(piece="7A", seen_on=day, fault="pop_out", count=2))
    assert newest(formed) == "7A: pop out"
    pieces.see_fault(formed, FaultSeen(run="R-1", seen_on=day, fault="none"))
    assert newest(formed) == "R-1: clean"
    with pytest.raises(BadInput, match="exactly one of piece and run"):
        pieces.see_fault(formed, FaultSeen(seen_on=day, fault="crack"))
    with pytest.raises(Refused):
        pieces.see_fault(formed, FaultSeen(piece="7A", seen_on=day, fault="pop_out"))


def test_a_photo_belongs_to_what_it_shows(formed: Lab, day: date) -> None:
    photo = Photo(file="7A.jpg", piece="7A", taken_on=day)
    pieces.add_photo(formed, photo)
    with formed.reading() as record:
        assert record.rows(Photo) == [photo]
    with pytest.raises(NotFound):
        pieces.add_photo(formed, Photo(file="9Z.jpg", piece="9Z"))
