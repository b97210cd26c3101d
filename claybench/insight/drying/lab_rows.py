"""The rows of a lab's record that its water model is built from, by table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from claybench.terms import (
    Air,
    Batch,
    BatchEvent,
    BatchLine,
    Body,
    BodyLine,
    Check,
    Instrument,
    Material,
    Run,
    Slab,
    SlabEvent,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LabRows:
    """Rows that can be used, in any order."""

    slabs: Sequence[Slab] = ()
    events: Sequence[SlabEvent] = ()
    air: Sequence[Air] = ()
    runs: Sequence[Run] = ()
    checks: Sequence[Check] = ()
    bodies: Sequence[Body] = ()
    body_lines: Sequence[BodyLine] = ()
    batches: Sequence[Batch] = ()
    batch_lines: Sequence[BatchLine] = ()
    batch_log: Sequence[BatchEvent] = ()
    materials: Sequence[Material] = ()
    instruments: Sequence[Instrument] = ()


ROW_TYPES: dict[str, type[Any]] = {
    "slabs": Slab,
    "events": SlabEvent,
    "air": Air,
    "runs": Run,
    "checks": Check,
    "bodies": Body,
    "body_lines": BodyLine,
    "batches": Batch,
    "batch_lines": BatchLine,
    "batch_log": BatchEvent,
    "materials": Material,
    "instruments": Instrument,
}
"""The type of each field of `LabRows`."""
