"""The rows that a trace looks through, and what was worked out of them beforehand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from claybench.insight.record_rows import RecordRows
from claybench.insight.slab_water.heat_and_frost import HarmfulSpan
from claybench.terms import Batch, Body, Family, FaultSeen, Piece, Run, Slab, SlabEvent


@dataclass(frozen=True, slots=True)
class TraceRows:
    """All that a trace needs of the record."""

    runs: Sequence[Run]
    events: Sequence[SlabEvent]
    pieces: Sequence[Piece]
    batches: Mapping[str, Batch]
    faults: Sequence[FaultSeen]
    slabs: Mapping[str, str | None]
    """Each slab's family."""
    family_of_batch: Mapping[str, str | None] = field(default_factory=dict)
    rank_of_batch: Mapping[str, int] = field(default_factory=dict)
    """How much each batch stains: by its body, else by its family."""
    ranks: Mapping[str, int] = field(default_factory=dict)
    """How much each family stains."""
    salts_g: Mapping[str, float] = field(default_factory=dict)
    """Deflocculant and other salts that each run brought to its slab; a run that brought none is missing."""
    face_m2: Mapping[str, float] = field(default_factory=dict)
    """Area of each slab's face."""
    frosts: Mapping[str, Sequence[HarmfulSpan]] = field(default_factory=dict)
    """When each slab stood wet in frost."""

    @classmethod
    def of(
        cls,
        records: RecordRows,
        *,
        salts_g: Mapping[str, float],
        face_m2: Mapping[str, float],
        frosts: Mapping[str, Sequence[HarmfulSpan]],
    ) -> TraceRows:
        """The rows of a record, with what its model says of salts and frost."""
        bodies = records.by_code(Body)
        ranks = {family.family: family.stain_rank or 0 for family in records.rows(Family)}
        body_of = {batch.batch: bodies[batch.body] for batch in records.rows(Batch)}
        return cls(
            runs=records.rows(Run),
            events=records.rows(SlabEvent),
            pieces=records.rows(Piece),
            batches=records.by_code(Batch),
            faults=records.rows(FaultSeen),
            slabs={slab.slab: slab.family for slab in records.rows(Slab)},
            family_of_batch={code: body.family for code, body in body_of.items()},
            rank_of_batch={
                code: ranks.get(body.family or "", 0) if body.stain_rank is None else body.stain_rank
                for code, body in body_of.items()
            },
            ranks=ranks,
            salts_g=salts_g,
            face_m2=face_m2,
            frosts=frosts,
        )

    def runs_of_piece(self, piece: Piece) -> list[Run]:
        """The run a piece was formed from; one without a run may have come from any of its batch."""
        if piece.run is None:
            return [run for run in self.runs if run.batch == piece.batch]
        return [run for run in self.runs if run.run == piece.run]

    def runs_on(self, slab: str) -> list[Run]:
        """Layers poured on a slab, in order of their pour."""
        return sorted((run for run in self.runs if run.slab == slab), key=lambda run: run.started_at)

    def events_of(self, slab: str) -> list[SlabEvent]:
        """A slab's log, in order of time."""
        return sorted((event for event in self.events if event.slab == slab), key=lambda event: event.at)

    def slab_named(self, name: str) -> str | None:
        """The slab that a board is, where it is one."""
        return next((code for code in self.slabs if same_name(code, name)), None)

    def is_board(self, name: str) -> bool:
        """Whether clay was wedged on something of this name."""
        return any(run.wedged_on is not None and same_name(run.wedged_on, name) for run in self.runs)

    def stains_slab(self, run: Run) -> bool:
        """Whether a run's clay stains more than the family its slab is kept for."""
        own = self.ranks.get(self.slabs.get(run.slab) or "", 0)
        return self.rank_of_batch.get(run.batch, 0) > own

    def faults_by_piece(self) -> dict[str, list[str]]:
        """What was seen on each piece that was looked at, the newest last."""
        seen: dict[str, list[str]] = {}
        for row in sorted(self.faults, key=lambda row: str(row.seen_on)):
            if row.piece is not None:
                seen.setdefault(row.piece, []).append(row.fault)
        return seen


def same_name(one: str, other: str) -> bool:
    """Whether two names mean the same thing, as codes do: case and blanks around do not count."""
    return one.strip().casefold() == other.strip().casefold()
