"""Adding, changing and removing rows: what is taken, what is refused, and that a refusal leaves nothing."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

import pytest
import sqlalchemy as sa
from hypothesis import example, given, strategies as st

from claybench.errors import BadInput, NotFound, OutOfRange, Refused
from claybench.record.codec import check_value, load_stamp, store_stamp
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.record.read import Between
from claybench.terms import (
    TABLES,
    Air,
    Batch,
    Body,
    BodyLine,
    Check,
    Family,
    Fired,
    Material,
    Piece,
    Run,
    Setting,
    Slab,
)
from claybench.terms.naming import fold_name, tidy_name

AT = datetime(2026, 3, 1, 9, 30, tzinfo=timezone(timedelta(hours=1)))


def put(lab: Lab, *rows: Any) -> None:
    with lab.acting("Put") as act:
        for row in rows:
            act.add(row)


def all_rows(lab: Lab) -> dict[str, list[Any]]:
    with lab.reading() as record:
        return {name: record.rows(table.row) for name, table in TABLES.items()}


def slab(code: str, **about: Any) -> Slab:
    return Slab(slab=code, length_mm=400.0, thickness_mm=50.0, **about)


def test_an_act_is_named_timed_and_signed(lab: Lab) -> None:
    with lab.acting("Added a family") as act:
        act.add(Family(family="buff"))
    with lab.reading() as record:
        newest, first = list_acts(record)
        assert record.last_act() == newest.id == 2
    assert (newest.label, newest.who, newest.bench) == ("Added a family", "tester", "bench one")
    assert newest.at == lab.now() and newest.at.utcoffset() == timedelta(0)  # Lisbon in winter
    assert first.label == "Made the lab"


def test_an_act_that_changes_nothing_leaves_no_trace(lab: Lab) -> None:
    put(lab, Family(family="buff", stain_rank=1))
    with lab.acting("Nothing") as act:
        act.add_many([])
        assert not act.change(Family, "buff", {"stain_rank": 1})
    with lab.reading() as record:
        assert [entry.label for entry in list_acts(record)] == ["Put", "Made the lab"]


def test_an_exception_rolls_the_whole_act_back(lab: Lab) -> None:
    before = all_rows(lab)
    with pytest.raises(ZeroDivisionError), lab.acting("Half") as act:
        act.add(Family(family="buff"))
        raise ZeroDivisionError
    assert all_rows(lab) == before


@pytest.mark.parametrize(
    ("row", "why"),
    [
        (Family(family="  "), "needs a code"),
        (Family(family="x" * 41), "41 characters"),
        (Family(family="a\tb"), "cannot be seen"),
        (Family(family="buff", stain_rank=-1), "at least 0"),
        (Family(family="buff", stain_rank=1.5), "whole number"),  # type: ignore[arg-type]
        (Material(material="grog", kind="sand"), "Use one of clay, flux"),
        (Material(material="grog", loi_pct=101.0), "at most 100"),
        (Material(material="grog", specific_gravity=0.5), "more than 0.5"),
        (Material(material="grog", price_per_kg=float("nan")), "finite"),
        (Material(material="grog", price_per_kg=float("inf")), "finite"),
        (Material(material="grog", price_per_kg=10**400), "finite"),
        (Material(material="grog", price_per_kg=True), "takes a number"),
        (Material(material="grog", price_per_kg="3"), "takes a number"),  # type: ignore[arg-type]
        (Material(material="grog", note="x" * 4001), "4001 characters"),
        (Material(material="grog", note="a\x00b"), "no text can have"),
        (Material(material="grog", note=7), "takes text"),  # type: ignore[arg-type]
        (Air(at=datetime(2026, 3, 1)), "with its offset"),
        (Body(body="B1", control="yes"), "yes or no"),  # type: ignore[arg-type]
        (Slab(slab="P1", length_mm=400.0, thickness_mm=None), "is missing"),  # type: ignore[arg-type]
        (slab("P1", cast_at="today"), "takes a date"),
        (Setting(name="name", value=""), "is missing"),
    ],
)
def test_what_the_dictionary_does_not_allow_is_refused_with_the_reason(lab: Lab, row: Any, why: str) -> None:
    with pytest.raises(BadInput, match=why), lab.acting("Bad") as act:
        act.add(row)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (Fired(piece="T1", firing=None), "Firing is missing. Give the code of one of the lab's firings."),  # type: ignore[arg-type]
        (Family(family=""), "Family needs a code. Give a code of at most 40 characters."),
        (
            Slab(slab="P1", length_mm=400.0, thickness_mm=None),  # type: ignore[arg-type]
            "Thickness is missing. Give a number in mm, at least 1 and at most 1 000.",
        ),
        (Air(at=None), "Time is missing. Give date and time with the offset from UTC, such as 2026-03-12 09:00+01:00."),  # type: ignore[arg-type]
        (
            Check(run="R1", at=AT, feel=None),  # type: ignore[arg-type]
            "Feel is missing. Use one of fluid, sticky, workable, stiff.",
        ),
    ],
)
def test_what_is_missing_is_named_in_a_sentence_that_says_what_would_work(lab: Lab, row: Any, said: str) -> None:
    with pytest.raises(BadInput) as refused, lab.acting("Bad") as act:
        act.add(row)
    assert str(refused.value) == said


def test_rows_refer_to_codes_that_exist_whatever_their_case(lab: Lab) -> None:
    put(lab, Family(family="Buff"), Body(body="B-07", family="bUFF"))
    with lab.reading() as record:
        assert record.one(Body, "b-07") == Body(body="B-07", family="Buff")
    with pytest.raises(NotFound, match="no family 'red'"), lab.acting("Bad") as act:
        act.add(Body(body="B-08", family="red"))


def test_near_codes_are_offered(lab: Lab) -> None:
    put(lab, Family(family="stoneware"), Family(family="buff"))
    with lab.reading() as record:
        with pytest.raises(NotFound, match="Near to it: stoneware"):
            record.one(Family, "stonewear")
        with pytest.raises(NotFound, match="this lab has none yet"):
            record.one(Slab, "P1")
        with pytest.raises(NotFound, match="The lab has stoneware, buff"):
            record.one(Family, "zzz")


def test_a_code_stands_once_ignoring_case_and_composition(lab: Lab) -> None:
    put(lab, Family(family="Caf\u00e9"))
    for twin in ("caf\u00e9", "CAFE\u0301", " Café "):
        with pytest.raises(Refused, match="already a family"), lab.acting("Twin") as act:
            act.add(Family(family=twin))
    with pytest.raises(Refused, match="already"), lab.acting("Twins") as act:
        act.add_many([Family(family="red"), Family(family="RED")])


@example("Straße")
@example("\u01f0 ΐ ﬃ İ")
@given(st.text(min_size=1, max_size=20))
def test_folding_ignores_case_and_composition(text: str) -> None:
    assert fold_name(tidy_name(text)) == fold_name(text)
    assert fold_name(text.casefold()) == fold_name(text)


def test_a_body_may_descend_from_one_earlier_in_the_list_but_never_from_itself(lab: Lab) -> None:
    with lab.acting("Line") as act:
        act.add_many([Body(body="A"), Body(body="B", parent="A"), Body(body="C", parent="B")])
    for parent in ("A", "C"):
        with pytest.raises(BadInput, match="descend from itself"), lab.acting("Loop") as act:
            act.change(Body, "A", {"parent": parent})


def test_a_change_keeps_to_the_dictionary_and_to_its_row(lab: Lab) -> None:
    put(lab, slab("P1"), Body(body="B"), Batch(batch="b", body="B", mixed_at=AT))
    put(lab, Run(run="R", batch="b", slab="P1", started_at=AT))
    with lab.acting("Change") as act:
        with pytest.raises(OutOfRange, match="Length or diameter is -3"):
            act.change(Slab, "P1", {"length_mm": -3.0})
        with pytest.raises(BadInput, match="no column 'lenght_mm'"):
            act.change(Slab, "P1", {"lenght_mm": 3.0})
        with pytest.raises(BadInput, match="lies before"):
            act.change(Run, "R", {"ended_at": AT - timedelta(minutes=1)})
        with pytest.raises(NotFound, match="no slab 'P2'"):
            act.change(Slab, "P2", {"length_mm": 3.0})
        with pytest.raises(BadInput, match="is missing"):
            act.change(Slab, "P1", {"thickness_mm": None})


def test_a_writer_who_saw_an_older_value_is_stopped(lab: Lab) -> None:
    put(lab, slab("P1"))
    with lab.reading() as record:
        seen = record.one(Slab, "P1")
    with lab.acting("First") as act:
        act.change(Slab, "P1", {"dry_mass_g": 9000.0}, seen=seen)
    why = "dry mass of this slab was changed meanwhile: it is 9000"
    with pytest.raises(Refused, match=why), lab.acting("Second") as act:
        act.change(Slab, "P1", {"dry_mass_g": 9100.0}, seen=seen)
    with lab.acting("Another column") as act:
        assert act.change(Slab, "P1", {"note": "chalky"}, seen=seen)
    with lab.reading() as record:
        assert record.one(Slab, "P1") == slab("P1", dry_mass_g=9000.0, note="chalky")


def test_the_version_guards_a_row_changed_between_reading_and_writing(lab: Lab) -> None:
    put(lab, slab("P1"))
    with pytest.raises(Refused, match="Another bench changed this row"), lab.acting("Late") as act:
        raw = act.raw

        def stale(name: str, row_id: int) -> dict[str, Any] | None:
            found = raw(name, row_id)
            return None if found is None else found | {"version": found["version"] - 1}

        act.raw = stale  # type: ignore[method-assign]
        act.change(Slab, "P1", {"note": "chalky"})


def test_a_row_that_others_refer_to_goes_only_with_them(lab: Lab) -> None:
    put(lab, Family(family="buff"), Material(material="grog"), Body(body="A", family="buff"))
    put(lab, Body(body="B", parent="A"), BodyLine(body="A", position=1, material="grog", parts=100.0))
    before = all_rows(lab)
    why = r"still refers to it \(1 in bodies, 1 in body lines\)"
    with pytest.raises(Refused, match=why), lab.acting("Delete") as act:
        act.remove(Body, "A")
    assert all_rows(lab) == before
    with lab.acting("Delete") as act:
        assert act.remove(Body, "A", with_dependents=True) == 2
    after = all_rows(lab)
    assert after["bodies"] == [Body(body="B")], "a child stays, without its parent"
    assert after["body_lines"] == []
    assert after["families"] == [Family(family="buff")]


def test_rows_are_filtered_by_value_by_members_and_by_time(lab: Lab) -> None:
    put(lab, *(Air(at=AT + timedelta(hours=hour), air_temp_c=10.0 + hour) for hour in range(5)))
    put(lab, Air(at=AT, place="sun"))
    with lab.reading() as record:
        assert len(record.rows(Air, place=None)) == 5
        assert [row.place for row in record.rows(Air, place="sun")] == ["sun"]
        assert [row.air_temp_c for row in record.rows(Air, air_temp_c={10.0, 14.0, 99.0})] == [10.0, 14.0]
        middle = Between(AT + timedelta(hours=1), AT + timedelta(hours=3))
        assert [row.air_temp_c for row in record.rows(Air, at=middle)] == [11.0, 12.0, 13.0]
        assert record.rows(Air, at=AT.astimezone(UTC), place=None)[0].air_temp_c == 10.0
        many = record.rows(Air, air_temp_c=[float(each) for each in range(2000)])
        assert len(many) == 5
        assert record.rows(Piece, batch="never mixed") == []


def test_many_rows_go_in_by_few_statements(lab: Lab) -> None:
    """Bulk entry must not ask the database about each row."""
    counted = []
    sa.event.listen(lab.engine, "before_cursor_execute", lambda *about: counted.append(about[2]))
    put(lab, Family(family="buff"), Body(body="B"), Batch(batch="b", body="B", mixed_at=AT))

    def statements(count: int, first: int) -> int:
        counted.clear()
        with lab.acting("Bulk") as act:
            act.add_many([Piece(piece=f"p{first + at}", batch="b") for at in range(count)])
        return len(counted)

    assert statements(400, 0) == statements(10, 1000)
    assert statements(3000, 2000) < 40
    with lab.reading() as record:
        assert record.count(Piece) == 3410


moments = st.datetimes(min_value=datetime(1, 1, 2), max_value=datetime(9999, 12, 30), timezones=st.just(UTC)).flatmap(
    lambda at: st.integers(-1439, 1439).map(lambda minutes: at.astimezone(timezone(timedelta(minutes=minutes))))
)


@given(moments, moments)
def test_a_moment_is_stored_so_that_text_sorts_by_time_and_the_offset_comes_back(
    one: datetime, other: datetime
) -> None:
    text, offset = store_stamp(one)
    back = load_stamp(text, offset)
    assert back == one and back.utcoffset() == one.utcoffset()
    assert len(text) == 27
    assert (text < store_stamp(other)[0]) == (one < other)


def test_minus_zero_is_zero_and_days_and_moments_stay_what_they_were(lab: Lab) -> None:
    assert str(check_value(TABLES["readings"]["value"], -0.0)) == "0.0"
    put(lab, slab("P1", cast_at=date(2026, 3, 1)), slab("P2", cast_at=AT))
    with lab.reading() as record:
        assert [type(row.cast_at) for row in record.rows(Slab)] == [date, datetime]
        assert record.one(Slab, "P2").cast_at.utcoffset() == timedelta(hours=1)  # type: ignore[union-attr]
