"""What making the proposals of a plan begins with: codes, parents, water, and whether the shelf holds enough."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench.facts.clay import PLAIN_SLIP_SG, SOLIDS_SG
from claybench.insight.batch_notes import doses_in_log
from claybench.insight.plan.next_set.next_set import NextSet, PlannedBody
from claybench.insight.plan.next_set.stock import body_parts, left_on_shelf
from claybench.insight.record_rows import RecordRows
from claybench.insight.sizing.shelf import MaterialShelf, resolve_parts
from claybench.mix.doses import Dose
from claybench.mix.slip_formulas import solids_specific_gravity
from claybench.mix.slip_request import Addition
from claybench.quantity.shown import show
from claybench.terms import Batch, BatchEvent, BatchLine, Body, BodyLine, Lot, Material, Run

_SAME = 1e-4
"""Parts of 100 by which two recipes may differ and still be one."""


@dataclass(frozen=True, slots=True)
class BodyOffer:
    """One proposal, ready to be made."""

    number: int
    """Its place among the proposals, from 1."""
    body: str
    """The code offered for it."""
    parent: str | None
    """The base of the plan, or the nearest measured body."""
    lines: tuple[tuple[str, float], ...]
    """Materials and parts, fixed additions last."""
    slip_sg: float
    solids_sg: float
    """Specific gravity of the dry recipe."""
    start: datetime | None
    """When its batch is to be mixed."""


@dataclass(frozen=True, slots=True)
class MaterialNeed:
    """One material against what a set takes of it."""

    material: str
    wanted_g: float
    left_g: float | None
    """None where the lots do not say what was received, or where there is none."""
    waiting_g: float
    """What planned batches take of it that are not weighed out yet."""

    @property
    def short_g(self) -> float | None:
        """How much is missing; 0 where there is enough, None where nobody knows."""
        return None if self.left_g is None else max(self.wanted_g + self.waiting_g - self.left_g, 0.0)

    def text(self) -> str:
        """In words.

        >>> MaterialNeed("feldspar", 1200, 1000, 300).text()
        'feldspar takes 1.2 kg, 1 kg left, 0.3 kg of it for batches not weighed yet: 0.5 kg short'
        """
        text = f"{self.material} takes {_kg(self.wanted_g)}"
        if self.left_g is None:
            return f"{text}, what is left is not known"
        text += f", {_kg(self.left_g)} left"
        if self.waiting_g:
            text += f", {_kg(self.waiting_g)} of it for batches not weighed yet"
        return f"{text}: {f'{_kg(self.short_g)} short' if self.short_g else 'enough'}"


def _kg(grams: float | None) -> str:
    return show((grams or 0.0) / 1000, "kg", figures=3)


@dataclass(frozen=True, slots=True)
class MakingStart:
    """All that the form of making starts with."""

    offers: tuple[BodyOffer, ...]
    batch_g: float
    left_g: dict[str, float]
    """By material in small letters; those without an entry are not known."""
    waiting_g: dict[str, float]

    def material_needs(self, recipes: Iterable[Sequence[tuple[str, float]]], batch_g: float) -> list[MaterialNeed]:
        """What batches of these recipes take, material by material, in the order they are named."""
        wanted: dict[str, float] = defaultdict(float)
        named: dict[str, str] = {}
        for lines in recipes:
            whole = math.fsum(parts for _, parts in lines) or 1.0
            for name, parts in lines:
                named.setdefault(name.casefold(), name)
                wanted[name.casefold()] += batch_g * parts / whole
        return [
            MaterialNeed(named[key], grams, self.left_g.get(key), self.waiting_g.get(key, 0.0))
            for key, grams in wanted.items()
            if grams
        ]


def start_making(records: RecordRows, taken: Iterable[str], next_set: NextSet) -> MakingStart:
    """Codes, parents and water for every proposal, and the shelf; `taken` are codes that were ever given out."""
    own = [row.body for row in records.rows(Body) if row.family == next_set.family]
    codes = next_codes(own, taken, next_set.family, len(next_set.bodies))
    return MakingStart(
        offers=tuple(
            _offer_body(number, code, body, next_set, records)
            for number, (code, body) in enumerate(zip(codes, next_set.bodies, strict=True), 1)
        ),
        batch_g=next_set.batch_g,
        left_g=left_on_shelf(records),
        waiting_g=_waiting_g(records),
    )


def next_codes(own: Sequence[str], taken: Iterable[str], family: str | None, count: int) -> list[str]:
    """Codes that go on from the family's highest number; none that was ever given out.

    >>> next_codes(["W-01", "W-09"], ["W-01", "W-09", "W-11"], "white", 2)
    ['W-10', 'W-12']
    >>> next_codes([], [], "buff", 1)
    ['B-01']
    """
    used = {code.casefold() for code in taken}
    stem, highest, digits = f"{(family or 'B')[0].upper()}-", 0, 2
    numbered = [(code.rstrip("0123456789"), code) for code in own if code[-1:].isdigit()]
    if numbered:
        stem = numbered[-1][0]
        tails = [code[len(stem) :] for start, code in numbered if start == stem]
        highest, digits = max(map(int, tails)), len(tails[-1])
    codes: list[str] = []
    while len(codes) < count:
        highest += 1
        code = f"{stem}{str(highest).zfill(digits)}"
        if code.casefold() not in used:
            codes.append(code)
    return codes


def _offer_body(number: int, code: str, body: PlannedBody, next_set: NextSet, records: RecordRows) -> BodyOffer:
    lines = tuple((name, parts) for name, parts in (*body.parts.items(), *body.fixed.items()) if parts > 0)
    parent = next_set.request.base or _nearest_measured(body, next_set)
    bodies = {row.body.casefold(): row for row in records.rows(Body)}
    parent_row = bodies.get(parent.casefold()) if parent else None
    slip = (parent_row.slip_sg if parent_row is not None else None) or PLAIN_SLIP_SG.value
    gravities = {row.material.casefold(): row.specific_gravity for row in records.rows(Material)}
    usual = records.settings.number_of("solids_sg") or SOLIDS_SG.value
    whole = math.fsum(parts for _, parts in lines)
    volume = math.fsum(parts / (gravities.get(name.casefold()) or usual) for name, parts in lines)
    return BodyOffer(
        number=number,
        body=code,
        parent=parent_row.body if parent_row is not None else None,
        lines=lines,
        slip_sg=slip,
        solids_sg=solids_specific_gravity(whole, volume),
        start=min((each.mix_at for each in body.layers if each.mix_at is not None), default=body.start),
    )


def _nearest_measured(body: PlannedBody, next_set: NextSet) -> str | None:
    """The body of the lab with values that lies nearest, by parts."""
    own = [part / 100 for part in body.parts.values()]
    away = {code: math.dist(next_set.recipes[code], own) for code in next_set.measured_bodies}
    return min(away, key=lambda code: (round(away[code], 9), code), default=None)


def _waiting_g(records: RecordRows) -> dict[str, float]:
    """What batches take that are sized, and neither weighed out nor poured yet."""
    begun = {line.batch for line in records.rows(BatchLine)} | {run.batch for run in records.rows(Run)}
    waiting: dict[str, float] = defaultdict(float)
    logs: dict[str, list[BatchEvent]] = defaultdict(list)
    for event in records.rows(BatchEvent):
        logs[event.batch].append(event)
    for batch in records.rows(Batch):
        if batch.batch in begun or not batch.dry_mass_g:
            continue
        parts = body_parts(records, batch.body)
        whole = math.fsum(parts.values()) or 1.0
        for name, own in parts.items():
            waiting[name.casefold()] += batch.dry_mass_g * own / whole
        doses = doses_in_log(logs[batch.batch])
        for addition in _additions(records, batch.body, doses) if doses else ():
            waiting[addition.material.casefold()] += batch.dry_mass_g * addition.pct_of_dry / 100
    return dict(waiting)


def _additions(records: RecordRows, body: str, doses: Sequence[Dose]) -> tuple[Addition, ...]:
    shelf = MaterialShelf.from_rows(records.rows(Material), records.rows(Lot))
    return resolve_parts(list(body_parts(records, body).items()), doses, shelf).additions


def bodies_made(records: RecordRows, next_set: NextSet) -> dict[int, str]:
    """By number of the proposal: the newest body of the lab with just its recipe."""
    lines: dict[str, dict[str, float]] = defaultdict(dict)
    for line in records.rows(BodyLine):
        lines[line.body][line.material.casefold()] = line.parts
    recipes = {body: _per_hundred(parts) for body, parts in lines.items()}
    made: dict[int, str] = {}
    for number, body in enumerate(next_set.bodies, 1):
        parts = body.parts | body.fixed
        wanted = _per_hundred({name.casefold(): own for name, own in parts.items() if own > 0})
        for code, own in recipes.items():
            if own.keys() == wanted.keys() and all(abs(own[name] - wanted[name]) < _SAME for name in own):
                made[number] = code
    return made


def _per_hundred(parts: Mapping[str, float]) -> dict[str, float]:
    total = math.fsum(parts.values()) or 1.0
    return {name: 100 * part / total for name, part in parts.items()}
