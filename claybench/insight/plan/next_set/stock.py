"""Whether what is on the shelf will do for a set: materials the lab does not know, lots that are used up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from claybench.insight.record_rows import RecordRows
from claybench.quantity.shown import show
from claybench.terms import BatchEvent, BatchLine, BodyLine, Lot, Material

Recipe = Mapping[str, float]
"""Parts by material, fixed additions included, of the 100 without these."""


def body_parts(records: RecordRows, body: str) -> dict[str, float]:
    """The recipe of a body of the lab."""
    parts: dict[str, float] = defaultdict(float)
    for line in records.rows(BodyLine):
        if line.body == body:
            parts[line.material] += line.parts
    return dict(parts)


def stock_notes(records: RecordRows, recipes: Iterable[Recipe], batch_g: float) -> list[str]:
    """What is missing for one batch of each recipe, each of so much dry mass."""
    wanted: dict[str, float] = defaultdict(float)
    named: dict[str, str] = {}
    for recipe in recipes:
        whole = sum(recipe.values())
        for name, parts in recipe.items():
            named.setdefault(name.casefold(), name)
            wanted[name.casefold()] += batch_g * parts / whole if whole else 0.0
    known = {row.material.casefold() for row in records.rows(Material)}
    notes = []
    unknown = [named[key] for key in named if key not in known]
    if unknown and known:
        notes.append(f"Not on the shelf: {', '.join(unknown)}.")
    received, used = _received_g(records), _used_g(records)
    for key, grams in wanted.items():
        if key in received and received[key] - used[key] < grams:
            left = max(received[key] - used[key], 0.0)
            notes.append(
                f"{named[key]}: about {show(left / 1000, 'kg', figures=3)} of "
                f"{show(received[key] / 1000, 'kg', figures=3)} received are left by the "
                f"record, the set takes {show(grams / 1000, 'kg', figures=3)}."
            )
    return notes


def left_on_shelf(records: RecordRows) -> dict[str, float]:
    """Grams left of each material whose lots all say what was received, by its name in small letters."""
    used = _used_g(records)
    return {key: max(grams - used[key], 0.0) for key, grams in _received_g(records).items()}


def _received_g(records: RecordRows) -> dict[str, float]:
    """Dry grams of each material whose lots all say what was received."""
    received: dict[str, float] = defaultdict(float)
    unsaid = set()
    for lot in records.rows(Lot):
        key = lot.material.casefold()
        if lot.received_kg is None:
            unsaid.add(key)
        else:
            received[key] += 1000 * lot.received_kg * (1 - (lot.moisture_pct or 0.0) / 100)
    return {key: grams for key, grams in received.items() if key not in unsaid}


def _used_g(records: RecordRows) -> dict[str, float]:
    """Grams of each material that went into batches, as weighed: a little moist, so a little too much."""
    used: dict[str, float] = defaultdict(float)
    for line in records.rows(BatchLine):
        used[line.material.casefold()] += line.mass_g
    for event in records.rows(BatchEvent):
        if event.material is not None and event.mass_g is not None:
            used[event.material.casefold()] += event.mass_g
    return used
