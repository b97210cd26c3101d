"""When the record was last written at the bench."""

from __future__ import annotations

from datetime import datetime

from claybench.ask.snapshot import take
from claybench.record.lab import Lab
from claybench.terms import Check, Run, SlabEvent


def newest_entry(lab: Lab) -> datetime | None:
    """The newest touch, pour, lift or slab event; None in an empty lab."""
    snapshot = take(lab, Run, Check, SlabEvent)
    moments = [check.at for check in snapshot.rows(Check)]
    moments += [event.at for event in snapshot.rows(SlabEvent)]
    moments += [run.ended_at or run.started_at for run in snapshot.rows(Run)]
    return max(moments, default=None)
