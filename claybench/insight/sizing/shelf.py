"""What is on the shelf: materials with their lots, moisture, prices and cautions; recipes and doses resolved by it.

The one place that does: the sizing on the screen, the command, weighing out, sheets and plans take it from here. Rows
in, requests out; reading them is for `ask.sizing_start`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from claybench.errors import BadInput
from claybench.mix.doses import Dose, is_deflocculant
from claybench.mix.material_cautions import MaterialCare
from claybench.mix.slip_request import Addition, BodyPart
from claybench.quantity.shown import capitalize_first
from claybench.terms import Lot, Material


@dataclass(frozen=True, slots=True)
class MaterialShelf:
    """Materials and lots of the lab, found by any spelling of their names."""

    _materials: dict[str, Material] = field(default_factory=dict)
    _lots: dict[str, Lot] = field(default_factory=dict)
    _newest: dict[str, Lot] = field(default_factory=dict)

    @classmethod
    def from_rows(cls, materials: Iterable[Material], lots: Iterable[Lot]) -> MaterialShelf:
        """From the rows of the record."""
        lots = sorted(lots, key=_received)
        return cls(
            {row.material.casefold(): row for row in materials},
            {row.lot.casefold(): row for row in lots},
            {row.material.casefold(): row for row in lots},
        )

    def material(self, name: str) -> Material:
        """A material; one that the lab does not know has its name alone."""
        return self._materials.get(name.casefold()) or Material(material=name)

    def lot(self, material: str, code: str | None = None) -> Lot | None:
        """A lot by its code, else the newest of a material: what has no date counts as oldest."""
        named = self._lots.get(code.casefold()) if code else None
        return named or self._newest.get(material.casefold())

    def care(self, names: Iterable[str]) -> dict[str, MaterialCare]:
        """What is said of these materials that bears on care, each by its name here."""
        rows = [self.material(name) for name in names]
        return {row.material: MaterialCare(row.kind, row.caution) for row in rows}

    def part(self, name: str, parts: float) -> BodyPart:
        """A material of a recipe, from its newest lot."""
        material, lot = self.material(name), self.lot(name)
        return BodyPart(
            material=material.material,
            parts=parts,
            specific_gravity=material.specific_gravity,
            moisture_pct=lot.moisture_pct if lot else None,
            price_per_kg=material.price_per_kg,
            kind=material.kind,
            caution=material.caution,
            lot=lot.lot if lot else None,
        )

    def addition(self, dose: Dose) -> Addition:
        """An addition, from its newest lot."""
        material, lot = self.material(dose.material), self.lot(dose.material)
        moisture = lot.moisture_pct if lot else None
        return Addition(
            material=material.material,
            pct_of_dry=dose.dry_pct(moisture),
            supplied_pct=dose.pct if dose.as_supplied else None,
            moisture_pct=moisture,
            price_per_kg=material.price_per_kg,
            kind=material.kind,
            caution=material.caution,
            deflocculant=is_deflocculant(material.material, material.kind, dose.deflocculant),
            lot=lot.lot if lot else None,
        )


def _received(lot: Lot) -> tuple[str, str]:
    received: date | None = lot.received_on
    return "" if received is None else received.isoformat(), lot.lot


class ResolvedRecipe(NamedTuple):
    """A recipe with everything that is known of its materials."""

    parts: tuple[BodyPart, ...]
    additions: tuple[Addition, ...]


def resolve_parts(lines: Iterable[tuple[str, float]], doses: Sequence[Dose], known: MaterialShelf) -> ResolvedRecipe:
    """Materials and parts, and doses on top of them, with what the shelf knows."""
    parts = tuple(known.part(name, parts) for name, parts in lines)
    seen = {part.material.casefold(): "stands in the recipe already: change its parts there" for part in parts}
    additions = []
    for dose in doses:
        addition = known.addition(dose)
        said = seen.get(addition.material.casefold())
        if said is not None:
            raise BadInput(f"{addition.material} {said.partition(':')[0]}.", _sentence(said), field="additions")
        seen[addition.material.casefold()] = "is added twice: add its doses together"
        additions.append(addition)
    return ResolvedRecipe(parts, tuple(additions))


def _sentence(said: str) -> str:
    remedy = said.partition(": ")[2]
    return f"{capitalize_first(remedy)}."
