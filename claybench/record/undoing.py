"""Undoing an act by a new one: every row it touched becomes what it was before, or none does.

What was done and by whom is read in `history`.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import sqlalchemy as sa

from claybench.errors import Refused
from claybench.record.act import Writer
from claybench.record.codec import kept_values
from claybench.record.history import (
    BROUGHT_BACK,
    REDID,
    TOOK_BACK,
    UNDID,
    ActEntry,
    act_by_number,
    is_undo,
    original_act,
)
from claybench.record.lab import Lab
from claybench.record.schema import db_table, stored_columns
from claybench.terms import FOLDER_ORDER, TABLES
from claybench.terms.naming import fold_name

_RANK = {name: rank for rank, name in enumerate(FOLDER_ORDER)}
_Place = tuple[str, int]
"""Table and id of a row."""


def undo_act(lab: Lab, act_id: int, *, who: str | None = None, chosen: bool = False) -> ActEntry:
    """Undo one act by a new act; refused where one of its rows has moved on.

    `chosen`: picked from the history rather than next in turn. That is a thing done like any other, which the next
    step back takes back.
    """
    if act_id == 1:
        raise Refused("The making of the lab itself is not undone.", "Delete the file instead.")
    with lab.reading() as record:
        entry = act_by_number(record, act_id)
        again = is_undo(record, entry)
        start = (BROUGHT_BACK if again else TOOK_BACK) if chosen else (REDID if again else UNDID)
        label = start + original_act(record, entry).label
    with lab.acting(label, who=who) as doing:
        if act_by_number(doing, act_id).undone:
            raise Refused(f"'{entry.label}' is undone already.")
        doing.mark_undo_of(act_id)
        _Reversal(doing, entry).run()
        return act_by_number(doing, doing.id)


class _Reversal:
    """One act turned back.

    The order keeps every constraint at every step. Rows without a code go first, since
    nothing refers to them and their keys are needed again; deleted rows that others may
    refer to come back next; then the changes run backwards, one by one; rows with a code
    that the act had brought go last, when nothing refers to them any more.
    """

    def __init__(self, doing: Writer, entry: ActEntry) -> None:
        self.doing = doing
        self.entry = entry
        # what an undo took back is withdrawn for good when it is redone: its codes retire
        self.retire = is_undo(doing, entry)
        base = db_table("history")
        query = sa.select(base).where(base.c.act_id == entry.id).order_by(base.c.id.desc())
        self.changes = [dict(change) for change in doing.connection.execute(query).mappings()]
        for change in self.changes:
            change["place"] = (change["table_name"], change["row_id"])
            change["before"] = kept_values(change["table_name"], change["before"]) if change["before"] else None
        self.brought = self._added() | {one["place"] for one in self.changes if one["kind"] == "restore"}
        # rows that the act both entered and deleted leave nothing to put back
        self.passing = {
            one["place"] for one in self.changes if one["kind"] == "delete" and one["before"]["act_id"] == entry.id
        }

    def run(self) -> None:
        self._require_unmoved()
        self._require_unread()
        uncoded = {place for place in self.brought if TABLES[place[0]].code is None}
        for place in sorted(uncoded, reverse=True):
            self.doing.delete_row(*place)
        # a row that goes again needs no turning back on its way, but for the codes that retire with it
        going = (uncoded if self.retire else self.brought) | self.passing
        back = [change for change in self.changes if change["place"] not in going]
        self._restore_coded([change for change in back if self._deleted(change, coded=True)])
        for change in back:
            if change["kind"] == "change":
                self._change_back(change)
            elif self._deleted(change, coded=False):
                self.doing.restore_row(change["table_name"], change["before"])
        self._delete_coded(self.brought - uncoded)

    def _added(self) -> set[_Place]:
        places: set[_Place] = set()
        for name in TABLES:
            base = db_table(name)
            ids = self.doing.connection.execute(sa.select(base.c.id).where(base.c.act_id == self.entry.id))
            places |= {(name, row_id) for row_id in ids.scalars()}
        return places

    def _deleted_since(self) -> set[_Place]:
        """Rows the act had added that a later one deleted."""
        base = db_table("history")
        query = sa.select(base.c.table_name, base.c.row_id, base.c.before).where(
            base.c.act_id > self.entry.id,
            base.c.kind == "delete",
            base.c.before.contains(f'"act_id": {self.entry.id},'),
        )
        return {
            (row.table_name, row.row_id)
            for row in self.doing.connection.execute(query)
            if json.loads(row.before)["act_id"] == self.entry.id
        }

    @staticmethod
    def _deleted(change: dict[str, Any], *, coded: bool) -> bool:
        return change["kind"] == "delete" and (TABLES[change["table_name"]].code is not None) == coded

    def _require_unmoved(self) -> None:
        last: dict[_Place, int] = dict.fromkeys(self.brought | self._deleted_since(), 0)
        for change in self.changes:  # the newest first
            if not last.get(change["place"]) and change["place"] not in self.passing:
                last[change["place"]] = change["id"]
        for place, after in last.items():
            now = self.doing.raw(*place)
            if (None if now is None else _content(now)) != _left(self.doing, place, after):
                raise Refused(
                    f"'{self.entry.label}' cannot be undone: its {TABLES[place[0]].noun} was changed since.",
                    "Undo the later change first.",
                )

    def _require_unread(self) -> None:
        """No later reading may name an input that goes with this act."""
        for place in self.brought:
            if place[0] != "property_inputs":
                continue
            left = [
                one
                for one in self.doing.dependents(TABLES[place[0]], place[1])
                if (one[0].name, one[2]) not in self.brought
            ]
            if left:
                raise Refused(
                    f"'{self.entry.label}' cannot be undone: a {left[0][0].noun} entered later names its input.",
                    "Undo that first.",
                )

    def _restore_coded(self, deleted: list[dict[str, Any]]) -> None:
        waiting = {change["place"]: change["before"] for change in deleted}

        def ready(place: _Place) -> bool:
            # a body may descend from one that comes back with it
            table = TABLES[place[0]]
            above = [waiting[place][stored_columns(one)[0]] for one in table.references() if one.refers == table.name]
            return not any((table.name, each) in waiting for each in above)

        def restore(place: _Place) -> None:
            self._free(place, waiting[place])
            self.doing.restore_row(place[0], waiting.pop(place))

        _one_by_one(sorted(waiting, key=lambda place: (_RANK[place[0]], place[1])), ready, restore)

    def _change_back(self, change: dict[str, Any]) -> None:
        name, row_id = change["place"]
        code = TABLES[name].code
        if code is not None:
            now = self.doing.raw(name, row_id)
            self._free(change["place"], change["before"])
            if self.retire and now is not None and now[f"{code}_fold"] != change["before"][f"{code}_fold"]:
                self.doing.retire_code(name, now[code], row_id)
        self.doing.write_values(name, row_id, _content(change["before"]))

    def _delete_coded(self, brought: set[_Place]) -> None:
        def ready(place: _Place) -> bool:
            return not self.doing.dependents(TABLES[place[0]], place[1])

        def delete(place: _Place) -> None:
            self.doing.delete_row(*place, retire=self.retire)

        order = sorted(brought, key=lambda place: (_RANK[place[0]], place[1]), reverse=True)
        left = _one_by_one(order, ready, delete)
        if left:
            table = TABLES[left[0][0]]
            needing = self.doing.dependents(table, left[0][1])[0][0].noun
            raise Refused(
                f"'{self.entry.label}' cannot be undone: a {needing} entered later needs its {table.noun}.",
                "Undo that first.",
            )

    def _free(self, place: _Place, values: dict[str, Any]) -> None:
        """Give a code back to the very row that had it."""
        code, base = TABLES[place[0]].code, db_table("retired_codes")
        self.doing.connection.execute(
            base.delete().where(
                base.c.table_name == place[0],
                base.c.row_id == place[1],
                base.c.fold == fold_name(values[str(code)]),
            )
        )


def _one_by_one(order: list[_Place], ready: Callable[[_Place], bool], do: Callable[[_Place], None]) -> list[_Place]:
    """Do each when its turn has come, round after round; what never gets ready is handed back."""
    while order:
        later = []
        for place in order:
            if ready(place):
                do(place)
            else:
                later.append(place)
        if len(later) == len(order):
            break
        order = later
    return order


def _content(values: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in values.items() if name not in ("id", "act_id", "version")}


def _left(doing: Writer, place: _Place, after: int) -> dict[str, Any] | None:
    """What a row held right after a history entry: what the next entry kept, else what it holds now."""
    base = db_table("history")
    query = (
        sa.select(base.c.before)
        .where(base.c.table_name == place[0], base.c.row_id == place[1], base.c.id > after)
        .order_by(base.c.id)
        .limit(1)
    )
    following = doing.connection.execute(query).one_or_none()
    if following is not None:
        return None if following.before is None else _content(kept_values(place[0], following.before))
    now = doing.raw(*place)
    return None if now is None else _content(now)
