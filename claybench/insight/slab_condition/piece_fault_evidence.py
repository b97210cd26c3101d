"""Faults on pieces that point to the slab they dried on, held against the lab's other slabs.

Every slab is tested for every such fault, so a lab with many slabs would find something somewhere by chance alone:
the number of tests is allowed for.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from claybench import clock
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.slab_condition.damage_follow_up import RENEWS, was_looked_after
from claybench.insight.slab_condition.verdict import Evidence
from claybench.terms import FaultSeen, Piece, SlabEvent

SLAB_FAULTS = ("pop_out", "specks", "plaster_found", "scum")
"""Faults that can come from a slab; warp, black core, bloating and dunting point elsewhere."""
LEVEL = 0.05
"""Chance of any false alarm in the whole lab, by Bonferroni's inequality."""
_FEWEST = 2


class FaultCounts:
    """Pieces looked at and found faulty, by the slab they dried on.

    A piece without a run counts for the slab its batch was poured on, where that was one alone. What dried on a face
    before it was resurfaced says nothing of it now; `logs` are the slabs' events.
    """

    def __init__(
        self,
        model: LabModel,
        pieces: Iterable[Piece],
        faults: Iterable[FaultSeen],
        logs: Mapping[str, Sequence[SlabEvent]],
    ) -> None:
        self._zone = model.zone
        self._examined: dict[str, set[str]] = defaultdict(set)
        self._faulty: dict[tuple[str, str], set[str]] = defaultdict(set)
        self._faulty_in_lab: dict[str, int] = defaultdict(int)
        self._first: dict[tuple[str, str], datetime] = {}
        layers = _LayersOfPieces(model)
        slab_of: dict[str, str] = {}
        for piece in pieces:
            poured = layers.layer_of(piece)
            if poured is None:
                continue
            run = poured.run
            if not was_looked_after(run.face, run.started_at, logs.get(run.slab, ()), *RENEWS):
                slab_of[piece.piece] = run.slab
        for row in faults:
            if row.piece is not None and row.piece in slab_of:
                self._count(slab_of[row.piece], row.piece, row)
        for (_, fault), pieces_seen in self._faulty.items():
            self._faulty_in_lab[fault] += len(pieces_seen)
        self._examined_in_lab = sum(len(seen) for seen in self._examined.values())

    def _count(self, slab: str, piece: str, row: FaultSeen) -> None:
        self._examined[slab].add(piece)
        if row.fault in SLAB_FAULTS:
            self._faulty[slab, row.fault].add(piece)
            at = clock.as_moment(row.seen_on, self._zone)
            self._first[slab, row.fault] = min(self._first.get((slab, row.fault), at), at)

    @property
    def tests(self) -> int:
        """Tests that the lab is put to: every slab whose pieces were looked at, for every such fault."""
        return len(self._examined) * len(SLAB_FAULTS)

    def evidence(self, slab: str) -> list[Evidence]:
        """Faults seen oftener on the pieces of one slab than on all the others'."""
        out = []
        looked = len(self._examined.get(slab, ()))
        for fault in SLAB_FAULTS:
            here = len(self._faulty.get((slab, fault), ()))
            if here < _FEWEST:
                continue
            others, elsewhere = self._examined_in_lab - looked, self._faulty_in_lab[fault] - here
            chance = min(fisher_exact_tail(here, looked, elsewhere, others) * self.tests, 1.0)
            if chance >= LEVEL:
                continue
            of_others = f"{elsewhere} of {others} on other slabs"
            text = f"{fault.replace('_', '-')} on {here} of {looked} pieces looked at, {of_others}"
            since = clock.in_zone(self._first[slab, fault], self._zone).date()
            out.append(Evidence("faults", None, since, 1 - chance, text))
        return out


class _LayersOfPieces:
    """Which layer a piece was formed from."""

    def __init__(self, model: LabModel) -> None:
        self._runs = model.poured
        self._of_batch: dict[str, list[PouredLayer]] = defaultdict(list)
        for poured in model.poured.values():
            self._of_batch[poured.run.batch].append(poured)

    def layer_of(self, piece: Piece) -> PouredLayer | None:
        if piece.run is not None:
            return self._runs.get(piece.run)
        layers = self._of_batch.get(piece.batch, [])
        return layers[-1] if len({each.run.slab for each in layers}) == 1 else None


def fisher_exact_tail(a: int, n1: int, b: int, n2: int) -> float:
    """Fisher's one-sided exact probability of a or more among n1, with b among n2.

    scipy.stats has it, and takes a second to load.

    >>> round(fisher_exact_tail(3, 10, 3, 30), 6)
    0.152752
    """
    faulty, least = a + b, max(a, a + b - n2)
    term = math.comb(n1, least) * math.comb(n2, faulty - least) / math.comb(n1 + n2, faulty)
    total = 0.0
    for k in range(least, min(n1, faulty) + 1):
        total += term
        term *= (n1 - k) * (faulty - k) / ((k + 1) * (n2 - faulty + k + 1))
    return min(total, 1.0)
