"""Recipes, and what happens to a batch mixed from one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from claybench.terms import column
from claybench.terms.column import declare_table


@declare_table("bodies", "body", ("body",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A recipe."""

    body: str = column.code()
    title: str | None = column.text()
    family: str | None = column.reference("families")
    parent: str | None = column.reference("bodies", label="changed from")
    test_set: str | None = column.text(label="test set")
    control: bool | None = column.yesno(label="control of its family")
    stain_rank: int | None = column.whole(usual=(0, 20), help="only where it differs from the family's")
    slip_sg: float | None = column.slip_gravity()
    workable_water_pct: float | None = column.number(
        high=200.0, usual=(12, 60), label="water when workable", help="dry basis"
    )
    note: str | None = column.text()


@declare_table("body_lines", "recipe line", ("body", "position"), parent=("body",))
@dataclass(frozen=True, slots=True, kw_only=True)
class BodyLine:
    """One material of a recipe."""

    body: str = column.reference("bodies", required=True)
    position: int = column.whole(required=True)
    material: str = column.reference("materials", required=True)
    parts: float = column.number(required=True, possible=(None, 1e6), label="parts of dry mass")


@declare_table("batches", "batch", ("batch",), known=("mixed_at",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """One mixing of a body."""

    batch: str = column.code()
    body: str = column.reference("bodies", required=True)
    made: str | None = column.word("slip", "plastic", "pressed", label="made as")
    mixed_at: datetime = column.time(required=True, ahead=True)
    dry_mass_g: float | None = column.size(possible=(None, 1e6), usual=(50, 50_000), label="dry mass")
    water_g: float | None = column.number(possible=(None, 1e6), usual=(0, 60_000))
    slip_sg: float | None = column.slip_gravity()
    slip_temp_c: float | None = column.slip_temperature()
    deflocculant_g: float | None = column.number(
        possible=(None, 1e5), usual=(0, 500), help="only where no line of the recipe names one"
    )
    by: str | None = column.text()
    note: str | None = column.text()


@declare_table("batch_lines", "weighing", ("batch", "position"), parent=("batch",))
@dataclass(frozen=True, slots=True, kw_only=True)
class BatchLine:
    """One material as it was weighed into a batch."""

    batch: str = column.reference("batches", required=True)
    position: int = column.whole(required=True)
    material: str = column.reference("materials", required=True)
    lot: str | None = column.reference("lots")
    mass_g: float = column.number(required=True, possible=(None, 1e6), usual=(0, 50_000), label="mass as weighed")


@declare_table("batch_log", "batch event", ("batch", "at", "event"), known=("at",))
@dataclass(frozen=True, slots=True, kw_only=True)
class BatchEvent:
    """Something done to a batch between mixing and pouring."""

    batch: str = column.reference("batches", required=True)
    at: datetime = column.time(required=True)
    event: str = column.word(
        "sampled",
        "water_added",
        "water_off",
        "dry_added",
        "addition",
        "screened",
        "reblunged",
        "note",
        required=True,
        open=True,
    )
    material: str | None = column.reference("materials")
    lot: str | None = column.reference("lots")
    mass_g: float | None = column.number(possible=(None, 1e6), usual=(0, 50_000))
    slip_sg: float | None = column.slip_gravity()
    slip_temp_c: float | None = column.slip_temperature()
    mesh: int | None = column.whole(possible=(None, 5000), usual=(4, 400))
    by: str | None = column.text()
    note: str | None = column.text()
