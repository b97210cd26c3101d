"""What was written last: the newest entry of the bench, the newest act."""

from __future__ import annotations

from datetime import datetime

from claybench.ask.snapshot import take_snapshot
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.terms import Check, Run, SlabEvent


def newest_entry(lab: Lab) -> datetime | None:
    """The newest touch, pour, lift or slab event; None in an empty lab."""
    snapshot = take_snapshot(lab, Run, Check, SlabEvent)
    moments = [check.at for check in snapshot.rows(Check)]
    moments += [event.at for event in snapshot.rows(SlabEvent)]
    moments += [run.ended_at or run.started_at for run in snapshot.rows(Run)]
    return max(moments, default=None)


def newest_act_number(lab: Lab) -> int:
    """Number of the newest act; 0 in a lab in which nothing was done."""
    with lab.reading() as record:
        return record.last_act()


def newest_act(lab: Lab) -> str:
    """What the newest act is called; empty where nothing was done."""
    with lab.reading() as record:
        newest = list_acts(record, limit=1)
    return newest[0].label if newest else ""
