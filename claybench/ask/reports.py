"""What the printed reports hold: a slab's passport, one body, bodies side by side; each from one snapshot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench.ask.bodies import BodyPage, body_page_from
from claybench.ask.comparison import SideBySide, compare_in_snapshot
from claybench.ask.lab_model import TABLES, model_from
from claybench.ask.slabs import SLAB_TABLES, SlabPage, slab_page_from
from claybench.ask.snapshot import take_snapshot
from claybench.errors import BadInput
from claybench.insight.bodies.comparison.body_means import BodyResult
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.pieces.piece_lines import PieceLine, join_firings
from claybench.quantity.shown import natural_key
from claybench.record.lab import Lab
from claybench.terms import Body, BodyLine, FaultSeen, Fired, Firing, FiringCone, Instrument, Measurement, Piece


@dataclass(frozen=True, slots=True)
class Passport:
    """One slab for paper."""

    lab: str
    paper: str
    """What the lab prints on."""
    page: SlabPage


@dataclass(frozen=True, slots=True)
class BodyReport:
    """One body for paper."""

    lab: str
    paper: str
    page: BodyPage
    beside: SideBySide
    """With the control of its family, where it is another body."""
    firings: dict[str, Firing]
    runs: tuple[PouredLayer, ...]
    """By the moment they were poured."""
    lines: tuple[PieceLine, ...]
    """Its pieces, each once for every firing, or once before any."""
    faults: tuple[FaultSeen, ...]
    """Seen on its pieces and its layers, oldest first."""
    cautions: tuple[str, ...]
    at: datetime


@dataclass(frozen=True, slots=True)
class Comparison:
    """Bodies side by side for paper."""

    lab: str
    paper: str
    bodies: tuple[Body, ...]
    """In the order they were named."""
    recipes: dict[str, tuple[BodyLine, ...]]
    beside: SideBySide
    firings: dict[str, Firing]
    at: datetime

    @property
    def results(self) -> list[BodyResult]:
        """Every body in every firing."""
        return self.beside.results


def read_passport(lab: Lab, slab: str, *, as_of: datetime | None = None) -> Passport:
    """What a slab's passport holds."""
    own = {Measurement: {"slab": slab}}
    snapshot = take_snapshot(lab, *SLAB_TABLES, Measurement, as_of=as_of, where=own)
    return Passport(
        snapshot.settings.text_of("name"), snapshot.settings.text_of("paper"), slab_page_from(snapshot, slab)
    )


def read_body_report(lab: Lab, body: str, *, as_of: datetime | None = None) -> BodyReport:
    """What a body's report holds."""
    snapshot = take_snapshot(
        lab, *TABLES, Piece, Fired, Firing, FiringCone, FaultSeen, Instrument, Measurement, as_of=as_of
    )
    model = model_from(snapshot)
    page = body_page_from(lab, snapshot, body, model)
    both = list(dict.fromkeys([page.body.body, page.control or page.body.body]))
    batches = {batch.batch for batch in page.batches}
    runs = [each for each in model.poured.values() if each.run.batch in batches]
    lines = [line for line in join_firings(snapshot) if line.piece.batch in batches]
    codes = {line.piece.piece for line in lines}
    poured = {each.run.run for each in runs}
    faults = [fault for fault in snapshot.rows(FaultSeen) if fault.piece in codes or fault.run in poured]
    beside = compare_in_snapshot(lab, snapshot, both, against=page.control, model=model)
    return BodyReport(
        lab=snapshot.settings.text_of("name"),
        paper=snapshot.settings.text_of("paper"),
        page=page,
        beside=beside,
        firings=beside.firings,
        runs=tuple(sorted(runs, key=lambda each: each.run.started_at)),
        lines=tuple(lines),
        faults=tuple(
            sorted(
                faults, key=lambda fault: (snapshot.moment(fault.seen_on), natural_key(fault.piece or fault.run or ""))
            )
        ),
        cautions=tuple(each.line() for each in page.cautions),
        at=snapshot.at,
    )


def read_comparison_report(
    lab: Lab, bodies: Sequence[str], *, against: str | None = None, as_of: datetime | None = None
) -> Comparison:
    """What the report of two or more bodies holds."""
    if len({code.casefold() for code in (*bodies, against or bodies[0])}) < 2:
        raise BadInput("One body has nothing beside it.", "Name two bodies or more.", field="bodies")
    snapshot = take_snapshot(
        lab, *TABLES, Piece, Fired, Firing, FiringCone, FaultSeen, Instrument, Measurement, as_of=as_of
    )
    beside = compare_in_snapshot(lab, snapshot, bodies, against=against)
    codes = [body.body for body in beside.bodies]
    recipes: dict[str, list[BodyLine]] = {code: [] for code in codes}
    for line in sorted(snapshot.rows(BodyLine), key=lambda line: line.position):
        if line.body in recipes:
            recipes[line.body].append(line)
    known = snapshot.by_code(Body)
    return Comparison(
        lab=snapshot.settings.text_of("name"),
        paper=snapshot.settings.text_of("paper"),
        bodies=tuple(known[code] for code in codes),
        recipes={code: tuple(lines) for code, lines in recipes.items()},
        beside=beside,
        firings=beside.firings,
        at=snapshot.at,
    )
