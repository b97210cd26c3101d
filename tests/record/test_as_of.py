"""The record as it stood at a moment: what was not known yet is left out or blank, by each column's own time."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from claybench import clock
from claybench.ask.snapshot import take_snapshot
from claybench.record.lab import Lab
from claybench.terms import (
    TABLE_OF,
    TABLES,
    Air,
    Batch,
    Body,
    Check,
    Fired,
    Firing,
    Material,
    Measurement,
    Photo,
    Piece,
    Run,
    Slab,
    SlabEvent,
)

AT = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
HOUR = timedelta(hours=1)


def rows(lab: Lab, as_of: datetime | None = None) -> dict[type[Any], list[Any]]:
    return take_snapshot(lab, *TABLE_OF, as_of=as_of).tables


def put(lab: Lab, *entered: Any) -> None:
    with lab.acting("Put") as act:
        for row in entered:
            act.add(row)


def job(lab: Lab) -> None:
    """A slab, a body, a batch and a run begun at `AT`."""
    put(
        lab,
        Slab(slab="P1", length_mm=400.0, thickness_mm=50.0, cast_at=date(2026, 1, 5)),
        Body(body="B"),
        Batch(batch="b", body="B", mixed_at=AT - HOUR),
        Run(run="R", batch="b", slab="P1", started_at=AT),
    )


LATER = [(table.name, column.name) for table in TABLES.values() for column in table.columns if column.known]


def test_the_columns_that_come_later_are_those_of_the_dictionary() -> None:
    assert ("runs", "slab_after_g") in LATER and ("runs", "outcome") in LATER
    assert ("pieces", "dry_mm") in LATER and ("fired", "suspended_g") in LATER
    assert ("slabs", "retired_on") in LATER and len(LATER) >= 17


@pytest.mark.parametrize(("name", "column"), LATER)
def test_each_column_is_blank_until_it_was_known(lab: Lab, one_of_each: dict[str, Any], name: str, column: str) -> None:
    kind, term = TABLES[name].row, TABLES[name][column]
    when = AT + 48 * HOUR
    day = TABLES[name][term.known].kind == "day"
    told: datetime | date = when.date() if day else when
    with lab.acting("Later") as act:
        key = tuple(getattr(one_of_each[name], part) for part in TABLES[name].key)
        act.change(kind, key, {term.known: told})
    known = clock.as_moment(told, clock.parse_zone("Europe/Lisbon"))
    (before,), (after,) = rows(lab, known - timedelta(microseconds=1))[kind], rows(lab, known)[kind]
    assert getattr(before, column) is None
    assert getattr(after, column) is not None
    assert getattr(rows(lab)[kind][0], column) is not None


def test_without_a_moment_everything_is_there(lab: Lab, one_of_each: dict[str, Any]) -> None:
    assert {kind: found[-1] for kind, found in rows(lab).items()} == {type(row): row for row in one_of_each.values()}


def test_a_run_lifted_later_is_open(lab: Lab) -> None:
    job(lab)
    with lab.acting("Lifted") as act:
        act.change(
            Run,
            "R",
            {"ended_at": AT + 3 * HOUR, "outcome": "workable", "clay_off_g": 900.0, "slab_after_g": 9100.0},
        )
    (run,) = rows(lab, AT + 2 * HOUR)[Run]
    assert run == Run(run="R", batch="b", slab="P1", started_at=AT)
    assert rows(lab, AT - timedelta(minutes=1))[Run] == []
    assert rows(lab, AT - timedelta(minutes=1))[Batch] != []


def test_what_was_typed_in_late_still_counts_from_when_it_happened(lab: Lab, ticking: Any) -> None:
    job(lab)
    ticking.forward(days=30)
    put(lab, Check(run="R", at=AT + HOUR, feel="sticky"), Air(at=AT + 5 * HOUR, air_temp_c=18.0))
    seen = rows(lab, AT + 2 * HOUR)
    assert [row.feel for row in seen[Check]] == ["sticky"]
    assert seen[Air] == []


def test_a_bare_date_is_known_at_the_end_of_its_day_in_the_zone_of_the_lab(lab: Lab) -> None:
    # Lisbon keeps summer time from 29 March 2026, 01:00 UTC (EU directive 2000/84/EC: last Sunday in March)
    put(lab, Slab(slab="P1", length_mm=400.0, thickness_mm=50.0, cast_at=date(2026, 3, 29)))
    last = datetime(2026, 3, 29, 22, 59, 59, 999999, tzinfo=UTC)
    assert rows(lab, last)[Slab] != []
    assert rows(lab, last - timedelta(microseconds=1))[Slab] == []


def test_a_row_without_a_time_of_its_own_has_that_of_its_parent(lab: Lab) -> None:
    job(lab)
    put(
        lab,
        Piece(piece="q1", batch="b", run="R"),
        Piece(piece="q2", batch="b"),
        Firing(firing="F", cone="6"),
        Fired(piece="q1", firing="F", fired_mm=90.0),
        Photo(file="q1.png", piece="q1"),
    )
    early, late = rows(lab, AT - timedelta(minutes=30)), rows(lab, AT)
    assert [row.piece for row in early[Piece]] == ["q2"], "of its batch, mixed an hour before"
    assert [row.piece for row in late[Piece]] == ["q1", "q2"]
    for kind in (Fired, Photo):
        assert early[kind] == [], "not before the piece itself"
        assert len(late[kind]) == 1


def test_recipes_materials_and_settings_are_always_known(lab: Lab) -> None:
    put(lab, Material(material="clay"), Body(body="B", title="first"))
    early = rows(lab, datetime(1990, 1, 1, tzinfo=UTC))
    assert [row.title for row in early[Body]] == ["first"]
    assert len(early[Material]) == 1


def test_what_a_known_row_refers_to_is_known_with_it(lab: Lab) -> None:
    """Otherwise a date put down wrongly would leave a row that points at nothing."""
    put(
        lab,
        Slab(slab="P1", length_mm=400.0, thickness_mm=50.0, in_service_on=date(2026, 3, 1)),
        Slab(slab="P2", length_mm=400.0, thickness_mm=50.0, in_service_on=date(2026, 3, 1)),
        SlabEvent(slab="P1", at=AT - 48 * HOUR, event="weighed", mass_g=9800.0),
        Body(body="B"),
        Batch(batch="b", body="B", mixed_at=AT + HOUR),
        Run(run="R", batch="b", slab="P1", started_at=AT),
        Measurement(batch="b", at=AT - HOUR, what="liquid_cup", value=41.0),
    )
    drying = rows(lab, AT - 47 * HOUR)
    assert [(row.slab, row.in_service_on) for row in drying[Slab]] == [("P1", None)]
    assert [row.batch for row in rows(lab, AT - HOUR)[Batch]] == ["b"]
    for as_of in (AT - 47 * HOUR, AT - HOUR, AT, AT + HOUR):
        seen = rows(lab, as_of)
        for kind, found in seen.items():
            for column in TABLE_OF[kind].references():
                target = TABLES[column.refers]
                there = {getattr(row, str(target.code)) for row in seen[target.row]}
                assert {getattr(row, column.name) for row in found} - {None} <= there


def test_a_snapshot_names_its_moment_its_zone_and_the_act_it_saw(lab: Lab) -> None:
    job(lab)
    now, then = take_snapshot(lab, Run), take_snapshot(lab, Run, as_of=AT)
    assert now.at == lab.now() and now.at.utcoffset() == timedelta(0)
    assert then.at == AT and then.last_act == now.last_act == 2
    assert now.by_code(Run)["R"].slab == "P1"
    assert now.moment(date(2026, 3, 1)) == datetime(2026, 3, 1, 23, 59, 59, 999999, tzinfo=UTC)


def test_a_filter_on_a_value_that_came_later_is_not_taken_for_the_past(lab: Lab) -> None:
    job(lab)
    with pytest.raises(AssertionError, match="filter outcome after clipping"):
        take_snapshot(lab, Run, as_of=AT, where={Run: {"outcome": None}})


def test_a_row_keeps_every_other_value(lab: Lab, one_of_each: dict[str, Any]) -> None:
    """Clipping blanks what came later and nothing else."""
    seen = rows(lab, AT + 15 * HOUR)
    assert [name for name, row in one_of_each.items() if row not in seen[type(row)]] == []
