"""What was there before can be seen, codes never come back to others, and undo knows when to refuse."""

from __future__ import annotations

from typing import Any

import pytest

from claybench.errors import NotFound, Refused
from claybench.record.history import ChangedRow, changed_rows, last_redoable, last_undoable, list_acts
from claybench.record.lab import Lab
from claybench.record.undoing import undo_act
from claybench.terms import TABLES, Body, BodyLine, Family, Material, Slab


def did(lab: Lab, label: str) -> int:
    """Number of the newest act with this label."""
    with lab.reading() as record:
        return next(entry.id for entry in list_acts(record) if entry.label == label)


def add(lab: Lab, *rows: Any, label: str = "Added") -> int:
    with lab.acting(label) as act:
        for row in rows:
            act.add(row)
    return did(lab, label)


def change(lab: Lab, kind: type[Any], key: Any, label: str = "ChangedRow", **changes: Any) -> int:
    with lab.acting(label) as act:
        act.change(kind, key, changes)
    return did(lab, label)


def remove(lab: Lab, kind: type[Any], key: Any, label: str = "Removed") -> int:
    with lab.acting(label) as act:
        act.remove(kind, key)
    return did(lab, label)


def slab(code: str = "P1", **about: Any) -> Slab:
    return Slab(slab=code, length_mm=400.0, thickness_mm=50.0, **about)


def seen(lab: Lab, act: int) -> list[ChangedRow]:
    with lab.reading() as record:
        return list(changed_rows(record, act))


def values(found: ChangedRow) -> dict[str, tuple[Any, Any]]:
    return {column.name: (before, after) for column, before, after in found.values}


def test_values_before_and_after_an_act_are_seen(lab: Lab) -> None:
    entered = add(lab, Family(family="buff"), slab(family="buff", dry_mass_g=9000.0))
    with lab.acting("Weighed again", who="second hand") as act:
        act.change(Slab, "P1", {"dry_mass_g": 8990.0})
    weighed = did(lab, "Weighed again")
    moved = change(lab, Slab, "P1", slab="P9", family=None)
    (found,) = seen(lab, weighed)
    assert (found.kind, found.table, found.key) == ("changed", "slabs", ("P1",))
    assert values(found) == {"dry_mass_g": (9000.0, 8990.0)}
    assert values(seen(lab, moved)[0]) == {"slab": ("P1", "P9"), "family": ("buff", None)}
    family, first = seen(lab, entered)
    assert (family.kind, family.key) == ("entered", ("buff",))
    assert (first.kind, first.key) == ("entered", ("P1",))
    assert values(first)["dry_mass_g"] == (None, 9000.0), "as it was entered, whatever came later"
    gone = remove(lab, Slab, "P9")
    (found,) = seen(lab, gone)
    assert (found.kind, values(found)["dry_mass_g"]) == ("deleted", (8990.0, None))
    assert values(seen(lab, entered)[1])["dry_mass_g"] == (None, 9000.0), "also when the row is gone"
    back = undo_act(lab, gone)
    (found,) = seen(lab, back.id)
    assert (found.kind, found.key, values(found)["dry_mass_g"]) == ("brought_back", ("P9",), (None, 8990.0))


def test_a_code_once_used_is_findable_and_never_given_out_again(lab: Lab) -> None:
    add(lab, slab("P1"), slab("P2"))
    change(lab, Slab, "P1", slab="P9")
    remove(lab, Slab, "P2")
    with lab.reading() as record:
        assert record.retired(Slab) == ["P1", "P2"]
        with pytest.raises(NotFound, match="'p1' is called 'P9' now"):
            record.one(Slab, "p1")
        with pytest.raises(NotFound, match="'P2' was deleted"):
            record.one(Slab, "P2")
    for code in ("p1", "P2"):
        with pytest.raises(Refused, match="never given out again"):
            add(lab, slab(code))
        with pytest.raises(Refused, match="never given out again"):
            change(lab, Slab, "P9", slab=code)
    change(lab, Slab, "P9", label="Case only", slab="p9")
    with lab.reading() as record:
        assert record.codes(Slab) == ["p9"]
        assert record.retired(Slab) == ["P1", "P2"]


def test_a_redone_deletion_retires_its_code_again(lab: Lab) -> None:
    add(lab, slab())
    gone = remove(lab, Slab, "P1")
    back = undo_act(lab, gone)
    with lab.reading() as record:
        assert record.codes(Slab) == ["P1"] and record.retired(Slab) == []
    again = undo_act(lab, back.id)
    assert (back.label, again.label) == ("Undid: Removed", "Redid: Removed")
    with pytest.raises(Refused, match="never given out again"):
        add(lab, slab())


def test_a_code_whose_entering_was_undone_is_free(lab: Lab) -> None:
    """It stood nowhere but on the screen; and redoing is refused once another has it."""
    entered = add(lab, slab())
    back = undo_act(lab, entered)
    add(lab, slab(note="another"))
    with pytest.raises(Refused):
        undo_act(lab, back.id)
    with lab.reading() as record:
        assert record.one(Slab, "P1").note == "another"


def test_undo_of_a_changed_recipe_puts_the_old_lines_back(lab: Lab) -> None:
    add(lab, Material(material="a"), Material(material="b"), Body(body="B"))
    old = BodyLine(body="B", position=1, material="a", parts=100.0)
    add(lab, old)
    with lab.acting("Renewed") as act:
        act.remove(BodyLine, ("B", 1))
        act.add(BodyLine(body="B", position=1, material="b", parts=50.0))
        act.change(BodyLine, ("B", 1), {"parts": 60.0})
        act.change(BodyLine, ("B", 1), {"parts": 70.0})
    undo_act(lab, did(lab, "Renewed"))
    with lab.reading() as record:
        assert record.rows(BodyLine) == [old]


def test_undo_of_a_deletion_puts_a_parent_back_before_its_child(lab: Lab) -> None:
    add(lab, Body(body="older"), Body(body="newer"))
    change(lab, Body, "older", parent="newer")
    with lab.acting("Both gone") as act:
        act.remove(Body, "older")
        act.remove(Body, "newer")
    back = undo_act(lab, did(lab, "Both gone"))
    with lab.reading() as record:
        assert record.rows(Body) == [Body(body="older", parent="newer"), Body(body="newer")]
    undo_act(lab, back.id)
    with lab.reading() as record:
        assert record.rows(Body) == []
        assert sorted(record.retired(Body)) == ["newer", "older"]


@pytest.mark.parametrize("later", ["changed", "deleted", "needed"])
def test_undo_is_refused_where_the_row_has_moved_on(lab: Lab, later: str) -> None:
    entered = add(lab, Family(family="buff"))
    if later == "changed":
        change(lab, Family, "buff", stain_rank=3)
    elif later == "deleted":
        remove(lab, Family, "buff")
    else:
        add(lab, Body(body="B", family="buff"), label="Later")
    with lab.reading() as record:
        before = {name: record.rows(table.row) for name, table in TABLES.items()}
        last = record.last_act()
    wanted = "a body entered later needs its family" if later == "needed" else "its family was changed since"
    with pytest.raises(Refused, match=wanted):
        undo_act(lab, entered)
    with lab.reading() as record:
        assert {name: record.rows(table.row) for name, table in TABLES.items()} == before
        assert record.last_act() == last


def test_undo_of_an_older_change_is_refused_until_the_later_one_is_undone(lab: Lab) -> None:
    add(lab, slab(note="new"))
    first = change(lab, Slab, "P1", label="First", note="wet")
    second = change(lab, Slab, "P1", label="Second", note="dry")
    with pytest.raises(Refused, match="'First' cannot be undone: its slab was changed since"):
        undo_act(lab, first)
    undo_act(lab, second)
    undo_act(lab, first)
    with lab.reading() as record:
        assert record.one(Slab, "P1").note == "new"
    with pytest.raises(Refused, match="undone already"):
        undo_act(lab, first)


def test_the_making_of_the_lab_stays_and_unknown_acts_are_not_found(lab: Lab) -> None:
    with pytest.raises(Refused, match="not undone"):
        undo_act(lab, 1)
    with pytest.raises(NotFound, match="no act 99"):
        undo_act(lab, 99)


def test_each_bench_undoes_its_own_acts(lab: Lab) -> None:
    mine = add(lab, slab("P1"), label="Mine")
    lab.bench = "bench two"
    theirs = add(lab, slab("P2"), label="Theirs")
    with lab.reading() as record:
        found = last_undoable(record, "bench one"), last_undoable(record, "bench two")
        assert [entry.id for entry in found if entry] == [mine, theirs]
        assert last_undoable(record, "bench three") is None
        assert last_redoable(record, "bench one") is None


def test_redo_ends_with_the_next_own_act(lab: Lab) -> None:
    undo_act(lab, add(lab, slab("P1")))
    with lab.reading() as record:
        assert last_redoable(record, lab.bench) is not None
    add(lab, slab("P2"), label="Something else")
    with lab.reading() as record:
        assert last_redoable(record, lab.bench) is None


def test_acts_are_listed_newest_first_by_pages(lab: Lab) -> None:
    for number in range(5):
        add(lab, slab(f"P{number}"), label=f"Slab {number}")
    with lab.reading() as record:
        first = list_acts(record, limit=3)
        rest = list_acts(record, before=first[-1].id)
    assert [entry.label for entry in first + rest] == [
        *(f"Slab {number}" for number in (4, 3, 2, 1, 0)),
        "Made the lab",
    ]
