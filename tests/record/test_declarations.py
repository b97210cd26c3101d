"""Properties that a lab declares: what names them keeps them, and follows them under a new name."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from claybench.errors import BadInput, Refused
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.record.undoing import undo_act
from claybench.terms import (
    TABLE_OF,
    Batch,
    Body,
    DeclaredProperty,
    Firing,
    Measurement,
    Piece,
    Profile,
    ProfileTarget,
    PropertyInput,
    Slab,
)

AT = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
LOAD = DeclaredProperty(property="load", of="fired", kind="number", unit="N")
STRENGTH = DeclaredProperty(property="strength", of="fired", kind="number", unit="N/mm", formula="load / breadth_mm")
INPUTS = [
    PropertyInput(property="strength", position=1, input="load", unit="N"),
    PropertyInput(property="strength", position=2, input="breadth_mm", unit="mm"),
]


def put(lab: Lab, *rows: Any) -> int:
    """Enter rows in one act; its number."""
    with lab.acting("Put") as act:
        for row in rows:
            act.add(row)
        return act.id


def read(what: str, value: float = 20.0, **about: Any) -> Measurement:
    return Measurement(**{"piece": "K", "firing": "F", "at": AT, "what": what, "value": value} | about)


@pytest.fixture
def strong(lab: Lab) -> Lab:
    """A lab with a fired piece and two properties, one of which goes into the other."""
    put(lab, Body(body="A"), Batch(batch="X", body="A", mixed_at=AT), Piece(piece="K", batch="X"), Firing(firing="F"))
    put(lab, LOAD, STRENGTH, *INPUTS)
    return lab


def test_a_name_that_is_not_declared_is_refused_and_leaves_no_trace(strong: Lab) -> None:
    with strong.reading() as record:
        before = len(list_acts(record))
    with pytest.raises(BadInput, match="no measured column, property or input of one called 'shine'"):
        put(strong, read("shine"))
    with pytest.raises(BadInput, match="there is already|is there already"):
        put(strong, DeclaredProperty(property="Absorption_PCT", of="fired", kind="number"))
    with pytest.raises(BadInput, match="cannot be 'glazed'"):
        put(strong, Slab(slab="P", length_mm=400.0, thickness_mm=50.0, shape="glazed"))
    with strong.reading() as record:
        assert len(list_acts(record)) == before


def test_an_act_that_declares_half_of_a_property_is_refused_as_a_whole(lab: Lab) -> None:
    with pytest.raises(BadInput, match=r"strength: 'breadth_mm' is not among the inputs|'breadth_mm'"):
        put(lab, LOAD, STRENGTH, INPUTS[0])
    with lab.reading() as record:
        assert record.rows(DeclaredProperty) == []


def test_what_is_named_is_not_deleted(strong: Lab) -> None:
    put(strong, read("breadth_mm"), read("strength"), Profile(profile="p"), ProfileTarget(profile="p", property="load"))
    with pytest.raises(Refused, match="1 in property inputs, 1 in profile targets"), strong.acting("Delete") as act:
        act.remove(DeclaredProperty, "load")
    with pytest.raises(Refused, match="1 in readings"), strong.acting("Delete") as act:
        act.remove(PropertyInput, ("strength", 2))
    with pytest.raises(Refused, match="The input breadth_mm keeps its name"), strong.acting("Change") as act:
        act.change(PropertyInput, ("strength", 2), {"input": "width_mm"})
    with strong.acting("Delete with all") as act:
        # itself, its two inputs and the reading of each
        assert act.remove(DeclaredProperty, "strength", with_dependents=True) == 5
    with strong.reading() as record:
        assert [row.property for row in record.rows(DeclaredProperty)] == ["load"]
        assert record.rows(Measurement) == []
        last = list_acts(record, limit=1)[0].id
    undo_act(strong, last)
    with strong.reading() as record:
        assert {row.what for row in record.rows(Measurement)} == {"breadth_mm", "strength"}


def test_readings_and_targets_follow_a_new_name_and_a_formula_keeps_the_old(strong: Lab) -> None:
    put(strong, read("strength"), Profile(profile="p"), ProfileTarget(profile="p", property="strength"))
    with strong.acting("Rename") as act:
        act.change(DeclaredProperty, "strength", {"property": "toughness"})
        renamed = act.id
    with strong.reading() as record:
        assert [row.what for row in record.rows(Measurement)] == ["toughness"]
        assert [row.property for row in record.rows(ProfileTarget)] == ["toughness"]
    undo_act(strong, renamed)
    with strong.reading() as record:
        assert [row.what for row in record.rows(Measurement)] == ["strength"]
    with pytest.raises(Refused, match="a formula has it"), strong.acting("Rename") as act:
        act.change(DeclaredProperty, "load", {"property": "force"})


def test_declaring_is_not_undone_under_a_reading(lab: Lab) -> None:
    put(lab, Body(body="A"), Batch(batch="X", body="A", mixed_at=AT), Piece(piece="K", batch="X"), Firing(firing="F"))
    declared = put(lab, LOAD, STRENGTH, *INPUTS)
    entered = put(lab, read("breadth_mm"))
    with pytest.raises(Refused, match="a reading entered later names its input"):
        undo_act(lab, declared)
    undo_act(lab, entered)
    undo_act(lab, declared)
    with lab.reading() as record:
        assert record.rows(PropertyInput) == []


def test_a_reading_of_a_firing_alone_goes_with_it_and_one_of_a_piece_stays(strong: Lab) -> None:
    put(strong, read("load"), Measurement(firing="F", at=AT, what="peak_temp_c", value=1222.0))
    with strong.acting("Delete") as act:
        act.remove(Firing, "F", with_dependents=True)
    with strong.reading() as record:
        assert [(row.piece, row.firing, row.what) for row in record.rows(Measurement)] == [("K", None, "load")]


def test_readings_of_one_break_stand_together_beside_those_of_another(strong: Lab) -> None:
    rows = [read("load", together=each) for each in ("1", "2", None)]
    put(strong, *rows)
    with pytest.raises(Refused):
        put(strong, read("load", together="2"))
    table = TABLE_OF[Measurement]
    with strong.acting("Correct") as act:
        key = tuple(getattr(rows[1], name) for name in table.key)
        assert act.change(Measurement, key, {"sign": "<", "value_high": 24.0})
    with strong.reading() as record:
        assert [row.sign for row in record.rows(Measurement)] == [None, "<", None]
