"""What a label says of each kind of thing: name, date, short facts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, tzinfo
from typing import Any

from claybench.ask.labels import LabelContent
from claybench.paper.wording import day_text
from claybench.quantity.shown import plain
from claybench.terms import Batch, Body, Firing, Lot, Run, Slab


@dataclass(frozen=True, slots=True)
class LabelText:
    """The words of one label, apart from its code."""

    name: str
    dated: str
    facts: tuple[str, ...]


def label_text(what: LabelContent) -> LabelText:
    """The words of one label."""
    zone = what.at.tzinfo
    row: Any = what.row
    name, dated, facts = "", "", list[str]()
    if what.kind is Body:
        name = _joined(row.title, row.family and f"{row.family} family")
        facts = [recipe_line(what.recipe), _each("slip {}", row.slip_sg, 2)]
    elif what.kind is Batch:
        name, dated = _body(what), f"mixed {day_text(row.mixed_at, zone)}"
        facts = [_slip(row), recipe_line(what.recipe)]
    elif what.kind is Run:
        name, dated = _body(what), f"poured {day_text(row.started_at, zone)}"
        facts = [f"batch {row.batch} on slab {row.slab}", _pieces(what)]
    elif what.kind is Slab:
        name, dated = _joined(row.family and f"{row.family} family"), _dated("cast", row.cast_at, zone)
        facts = [slab_size(row), _each("dry {} g", what.dry_g, 0), _each("mix ratio {}", row.mix_ratio, 0)]
        facts += [_dated("out of use since", row.retired_on, zone)]
    elif what.kind is Lot:
        name, dated = row.material, _dated("received", row.received_on, zone)
        facts = [_each("{} kg", row.received_kg), _each("{} % moist (wet basis)", row.moisture_pct)]
    elif what.kind is Firing:
        name, dated = _joined(row.cone and f"cone {row.cone}", _each("{} °C", row.peak_temp_c, 0)), ""
        dated = _dated("fired", row.fired_on, zone)
        facts = [_joined(row.kiln, row.atmosphere), _pieces(what)]
    else:
        name = row.kind or ""
        facts = [_each("specific gravity {}", row.specific_gravity), _each("loss on ignition {} %", row.loi_pct)]
    if not dated:
        facts.append(f"printed {day_text(what.at, zone)}")
    return LabelText(name, dated, tuple(fact for fact in facts if fact))


def recipe_line(recipe: tuple[tuple[str, float], ...]) -> str:
    """A recipe in one line, largest share first.

    >>> recipe_line((("feldspar", 20.0), ("ball clay", 47.5), ("soda", 0.21)))
    'ball clay 47.5, feldspar 20, soda 0.21'
    """
    falling = sorted(recipe, key=lambda line: -line[1])
    return ", ".join(f"{material} {plain(round(parts, 1 if parts >= 1 else 2))}" for material, parts in falling)


def slab_size(slab: Slab) -> str:
    """Length, width and thickness; a round slab has a diameter."""
    across = f"{plain(slab.length_mm)} × {plain(slab.width_mm)}" if slab.width_mm else f"⌀ {plain(slab.length_mm)}"
    return f"{across} × {plain(slab.thickness_mm)} mm"


def _dated(word: str, value: date | None, zone: tzinfo | None) -> str:
    return "" if value is None else f"{word} {day_text(value, zone)}"


def _each(form: str, value: float | None, digits: int | None = None) -> str:
    return "" if value is None else form.format(plain(value, digits))


def _joined(*parts: str | None) -> str:
    return ", ".join(part for part in parts if part)


def _body(what: LabelContent) -> str:
    return _joined(*(f"{what.body.body} {what.body.title or ''}".strip(), what.body.family)) if what.body else ""


def _slip(row: Batch) -> str:
    return _joined(
        _each("dry {} g", row.dry_mass_g), _each("water {} g", row.water_g), _each("slip {}", row.slip_sg, 3)
    )


def _pieces(what: LabelContent) -> str:
    return f"pieces {' '.join(what.pieces)}" if what.pieces else ""
