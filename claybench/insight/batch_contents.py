"""What is in a batch: as it was weighed out, with what was added, and by its recipe as far as nobody weighed it yet."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from claybench.terms import Batch, BatchEvent, BatchLine, BodyLine, Lot

_LET_PASS = 0.005
"""Share of the dry mass that rounding on the scale may leave unweighed: a choice of this program."""


def is_weighed_out(batch: Batch, weighed: Sequence[BatchLine], lots: Iterable[Lot]) -> bool:
    """Whether what was weighed comes to the batch's dry mass, moisture taken off.

    Where nobody said its dry mass, anything weighed does."""
    if not weighed or not batch.dry_mass_g:
        return bool(weighed)
    moisture = {lot.lot: lot.moisture_pct or 0.0 for lot in lots}
    dry_g = math.fsum(line.mass_g * (1 - moisture.get(line.lot or "", 0.0) / 100) for line in weighed)
    return dry_g >= (1 - _LET_PASS) * batch.dry_mass_g


def batch_materials(
    batch: Batch,
    weighed: Sequence[BatchLine],
    recipe: Sequence[BodyLine],
    log: Iterable[BatchEvent] = (),
    lots: Iterable[Lot] = (),
) -> list[str]:
    """Materials of a batch, each once: what was weighed, what of its recipe was not while it is not weighed out, what
    was added.

    A recipe that was changed after a batch was weighed out does not change the batch.
    """
    named = [line.material for line in sorted(weighed, key=lambda line: line.position)]
    if not is_weighed_out(batch, weighed, lots):
        named += [line.material for line in sorted(recipe, key=lambda line: line.position)]
    named += [event.material for event in log if event.material]
    once: dict[str, str] = {}
    for name in named:
        once.setdefault(name.casefold(), name)
    return list(once.values())
