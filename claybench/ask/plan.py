"""The next set: what the lab knows of a plan's materials, the bodies worth making, when each can dry on which slab."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from claybench.ask.model import model_of
from claybench.ask.slabs import SLAB_TABLES, retired, verdicts
from claybench.ask.snapshot import Snapshot, take
from claybench.errors import BadInput
from claybench.insight.comparison import PROPERTIES, compare, relative_times
from claybench.insight.design.plan_asked import PlanAsked
from claybench.insight.design.region import InShares, Region
from claybench.insight.design.rounding import round_to, step_for
from claybench.insight.lab_model import LabModel
from claybench.insight.layers import USUAL_DEPTH_MM
from claybench.insight.schedule.asked import BenchHours
from claybench.insight.schedule.explain import Row, left_open
from claybench.insight.schedule.gain import dry_tonight
from claybench.insight.schedule.of_lab import Wish, asked_of, calendar_of
from claybench.insight.schedule.place import place
from claybench.insight.surface.known import Known
from claybench.insight.surface.propose import Foretold, Proposals, Sight, propose
from claybench.record import Lab
from claybench.terms import Batch, Body, BodyLine, Fired, Firing, Lot, Material, Piece

AROUND_BASE = 10.0
"""Parts either way of a base's recipe, where a plan gives no bounds of its own."""
SAME_FIRING_C = 15.0
"""Peak temperatures that close count as the one asked for; about half a cone, from memory."""
_LAYER_CM2 = 1200.0
"""Area of one body's layer: about a kilogram of dry clay as thin cream, 10 mm deep."""
_STEPS = (1.0, 0.5, 0.2, 0.1, 0.05, 0.01)


@dataclass(frozen=True, slots=True)
class Planned:
    """One body of the next set."""

    parts: dict[str, float]
    """Of 100, as the scale can weigh them."""
    fixed: dict[str, float]
    why: str
    chance: float
    predicted: dict[str, Foretold]
    slab: str | None
    start: datetime | None


@dataclass(frozen=True, slots=True)
class Repeat:
    """A body of the lab worth making once more beside the set."""

    body: str
    why: str


@dataclass(frozen=True, slots=True)
class Plan:
    """The next set, best first."""

    asked: PlanAsked
    family: str | None
    bodies: tuple[Planned, ...]
    repeats: tuple[Repeat, ...]
    notes: tuple[str, ...]
    known: tuple[str, ...]
    """Measured bodies that it rests on."""
    calendar: tuple[Row, ...]
    at: datetime
    recipes: dict[str, tuple[float, ...]] = field(default_factory=dict)
    """Of every body of the lab made of the plan's materials: shares of 1, in the order of `asked.materials`."""
    sight: Sight | None = None
    """The surfaces that foretell the bodies; None where nothing was measured."""
    tonight: str = ""
    """Which slab to dry tonight and what it gains; empty where none gains anything. Stands among the notes, too."""


def plan(lab: Lab, asked: PlanAsked, *, as_of: datetime | None = None) -> Plan:
    """Propose the next set of a plan and put it on the slabs."""
    snapshot = take(lab, *SLAB_TABLES, Fired, Firing, Lot, as_of=as_of)
    model = model_of(snapshot)
    notes: list[str] = []
    asked = _from_base(snapshot, asked, notes)
    region = asked.region()
    recipes = _recipes(snapshot, region, asked)
    known = _known(snapshot, model, asked, recipes, notes)
    if "cost_per_kg" in asked.targets:
        known["cost_per_kg"] = _costs(snapshot, region, notes)
    targets = {name: (_side(low), _side(high)) for name, (low, high) in asked.targets.items()}
    if not targets:
        notes.append("The plan has no targets: bodies are spread over the allowed region.")
        targets, found = {}, _first(region, asked.count)
    else:
        found = propose(InShares(region), known, targets, asked.count)
    bodies = [_planned(region, shares, asked, snapshot, found, n) for n, shares in enumerate(_shares(found))]
    placed, calendar, tonight = _placed(snapshot, model, asked, len(bodies), notes)
    _stock(snapshot, bodies, notes)
    return Plan(
        asked=asked,
        family=asked.family,
        bodies=tuple(replace(body, slab=slab, start=start) for body, (slab, start) in zip(bodies, placed, strict=True)),
        repeats=tuple(_repeats(snapshot, asked, recipes)),
        notes=(*found.notes, *notes),
        known=tuple(recipes),
        calendar=calendar,
        at=snapshot.at,
        recipes=recipes,
        sight=found.sight,
        tonight=tonight,
    )


def _side(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _shares(found: Proposals) -> list[tuple[float, ...]]:
    return [body.shares for body in found.bodies]


def _first(region: Region, count: int) -> Proposals:
    """A set without targets: spread over the region."""
    every = {"any": (None, None)}
    return replace(propose(InShares(region), {}, every, count), notes=())


def _from_base(snapshot: Snapshot, asked: PlanAsked, notes: list[str]) -> PlanAsked:
    """Bounds, fixed additions and family that the plan leaves to its base."""
    if asked.base is None:
        return asked
    base = next((row for row in snapshot.rows(Body) if row.body.casefold() == asked.base.casefold()), None)
    if base is None:
        raise BadInput(f"There is no body '{asked.base}' to start from.", "See the list of bodies.", field="base")
    family = asked.family or base.family
    if asked.materials:
        return replace(asked, family=family)
    lines = [row for row in snapshot.rows(BodyLine) if row.body == base.body and row.material not in asked.fixed]
    total = sum(row.parts for row in lines)
    if not total:
        raise BadInput(f"Body {base.body} has no recipe to start from.", "Give [materials] with bounds.", field="base")
    shares = {row.material: 100 * row.parts / total for row in lines}
    bounds = {name: (max(part - AROUND_BASE, 0.0), min(part + AROUND_BASE, 100.0)) for name, part in shares.items()}
    notes.append(f"Bounds are {AROUND_BASE:g} parts either way of {base.body}, since the plan gives none.")
    return replace(asked, family=family, materials=bounds)


def _recipes(snapshot: Snapshot, region: Region, asked: PlanAsked) -> dict[str, tuple[float, ...]]:
    """Bodies made of the plan's materials, and at most its fixed ones: shares of 1 in the plan's order."""
    lines: dict[str, dict[str, float]] = defaultdict(dict)
    for row in snapshot.rows(BodyLine):
        lines[row.body][row.material.casefold()] = row.parts
    names = [name.casefold() for name in region.names]
    allowed = {*names, *(name.casefold() for name in asked.fixed)}
    found = {}
    for body, parts in lines.items():
        own = [parts.get(name, 0.0) for name in names]
        if set(parts) <= allowed and sum(own) > 0:
            found[body] = tuple(part / sum(own) for part in own)
    return found


def _known(
    snapshot: Snapshot, model: LabModel, asked: PlanAsked, recipes: dict[str, tuple[float, ...]], notes: list[str]
) -> dict[str, list[Known]]:
    """Every measured value of the targets' properties, by batch."""
    known: dict[str, list[Known]] = defaultdict(list)
    firings = _firings(snapshot, asked, notes)
    results = compare(
        list(recipes), snapshot.rows(Piece), [row for row in snapshot.rows(Fired) if row.firing in firings],
        snapshot.rows(Batch), {},
    )  # fmt: skip
    unfired = {"drying_shrinkage_pct", "workable_water_pct"}
    for result in results:
        for name, by_batch in result.values.items():
            if name not in asked.targets or name not in PROPERTIES or ((result.firing is None) != (name in unfired)):
                continue
            for batch, values in by_batch.items():
                known[name] += [Known(recipes[result.body], value, batch) for value in values]
    if "relative_time" in asked.targets:
        wanted = [row for row in snapshot.rows(Body) if row.body in recipes]
        for body, found in relative_times(model, wanted, snapshot.rows(Body)).items():
            known["relative_time"].append(Known(recipes[body], found.median, body))
    return known


def _firings(snapshot: Snapshot, asked: PlanAsked, notes: list[str]) -> set[str]:
    """The firings that the targets speak of."""
    rows = snapshot.rows(Firing)
    if asked.cone is not None:
        found = {row.firing for row in rows if row.cone is not None and row.cone.strip() == asked.cone.strip()}
        if rows and not found:
            notes.append(f"No firing to cone {asked.cone} is in the record: nothing fired speaks for the targets.")
        return found
    if asked.peak_temp_c is not None:
        close = {
            row.firing
            for row in rows
            if row.peak_temp_c is not None and abs(row.peak_temp_c - asked.peak_temp_c) <= SAME_FIRING_C
        }
        if rows and not close:
            notes.append(f"No firing within {SAME_FIRING_C:g} °C of {asked.peak_temp_c:g} °C is in the record.")
        return close
    if len({(row.cone, row.peak_temp_c) for row in rows}) > 1:
        notes.append("The plan names no cone or temperature: values of all firings are taken together.")
    return {row.firing for row in rows}


def _costs(snapshot: Snapshot, region: Region, notes: list[str]) -> list[Known]:
    """What corners of the region cost: a price goes with the parts, so that these few say all."""
    prices = {row.material.casefold(): row.price_per_kg for row in snapshot.rows(Material)}
    missing = [name for name in region.names if prices.get(name.casefold()) is None]
    if missing:
        notes.append(f"No price of {', '.join(missing)}: what a body costs is not known.")
        return []
    by_name = [prices[name.casefold()] or 0.0 for name in region.names]
    rows = (region.vertices() / 100).tolist()
    return [
        Known(tuple(row), sum(a * b for a, b in zip(row, by_name, strict=True)), f"price {number}")
        for number, row in enumerate(rows)
    ]


def _planned(
    region: Region, shares: Sequence[float], asked: PlanAsked, snapshot: Snapshot, found: Proposals, number: int
) -> Planned:
    body = found.bodies[number]
    parts = _weighable(region, [100 * share for share in shares], snapshot)
    return Planned(
        parts=dict(zip(region.names, parts, strict=True)),
        fixed=dict(asked.fixed),
        why=body.why,
        chance=body.chance,
        predicted=dict(body.predicted),
        slab=None,
        start=None,
    )


def _weighable(region: Region, parts: Sequence[float], snapshot: Snapshot) -> tuple[float, ...]:
    """Parts as the lab's scale weighs them into a kilogram, finer where the bounds leave no such recipe."""
    coarsest = step_for(1000.0, snapshot.settings.number("scale_step_g"))
    for step in (coarsest, *(each for each in _STEPS if each < coarsest)):
        try:
            return round_to(region, parts, step)
        except BadInput:
            continue
    return tuple(parts)


def _repeats(snapshot: Snapshot, asked: PlanAsked, recipes: dict[str, tuple[float, ...]]) -> Iterable[Repeat]:
    """The family's control, and bodies that rest on a single batch."""
    batches: dict[str, int] = defaultdict(int)
    for mixed in snapshot.rows(Batch):
        batches[mixed.body] += 1
    bodies = snapshot.by_code(Body)
    for row in bodies.values():
        if row.control and row.family == asked.family:
            yield Repeat(row.body, "The family's control: it ties this set to earlier ones, and slabs to each other.")
    single = [body for body in recipes if batches[body] == 1 and not bodies[body].control]
    if single:
        yield Repeat(single[-1], "It was mixed once only; a second batch says how much batches differ.")


def _stock(snapshot: Snapshot, bodies: Sequence[Planned], notes: list[str]) -> None:
    """Materials the lab does not know, or whose lots would not do for a kilogram of each body."""
    held = {row.material.casefold() for row in snapshot.rows(Material)}
    named = list(dict.fromkeys(name for body in bodies for name in (*body.parts, *body.fixed)))
    unknown = [name for name in named if name.casefold() not in held]
    if unknown and held:
        notes.append(f"Not on the shelf: {', '.join(unknown)}.")
    received: dict[str, float] = defaultdict(float)
    for lot in snapshot.rows(Lot):
        if lot.received_kg is not None:
            received[lot.material.casefold()] += lot.received_kg
    for name in named:
        wanted = sum(body.parts.get(name, 0.0) + body.fixed.get(name, 0.0) for body in bodies) / 100
        if name.casefold() in received and received[name.casefold()] < wanted:
            held_kg = received[name.casefold()]
            notes.append(f"{name}: {held_kg:g} kg were received, a kilogram of each body takes {wanted:.2g} kg.")


def _placed(
    snapshot: Snapshot, model: LabModel, asked: PlanAsked, count: int, notes: list[str]
) -> tuple[list[tuple[str | None, datetime | None]], tuple[Row, ...], str]:
    """Slab and start of each body, in order, the calendar, what to dry tonight; the reason where one is left open."""
    family = asked.family
    kept = [
        water
        for water in model.waters.values()
        if not retired(water.slab, snapshot) and (family is None or water.slab.family == family)
    ]
    if not kept:
        whose = f"kept for {family}" if family else "in use"
        notes.append(f"No slab is {whose}: the bodies are proposed all the same, the slab left open.")
        return [(None, None)] * count, (), ""
    area = min(_LAYER_CM2, *(water.body.layer_cm2 for water in kept))
    wishes = [Wish(f"body {n + 1}", Body(body="", family=family), area, USUAL_DEPTH_MM) for n in range(count)]
    against = {
        each.slab.slab: "suspect: " + each.advice for each in verdicts(snapshot, model) if each.verdict == "suspect"
    }
    question = asked_of(model, wishes, against=against, hours=_hours(snapshot, asked))
    found = place(question)
    open_for: dict[str, list[str]] = defaultdict(list)
    for code, why in left_open(question, found).items():
        open_for[why].append(code)
    notes += [f"No slab yet for {', '.join(codes)}: {why}" for why, codes in open_for.items()]
    tonight = "".join(gain.text for gain in dry_tonight(question, found)[:1])
    notes += [tonight] if tonight else []
    placed = [found.of(wish.code) for wish in wishes]
    by_body: list[tuple[str | None, datetime | None]] = [
        (each.slab, each.start) if each else (None, None) for each in placed
    ]
    return by_body, calendar_of(model, question, found), tonight


def _hours(snapshot: Snapshot, asked: PlanAsked) -> BenchHours:
    if asked.bench is not None:
        return BenchHours(asked.bench.weekdays, snapshot.zone, frozenset(asked.bench.closed))
    opens, closes = snapshot.settings.clock("bench_from"), snapshot.settings.clock("bench_until")
    return BenchHours.daily(opens, closes, snapshot.zone)
