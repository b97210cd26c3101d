"""Recipes, and what happens to a batch mixed from one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from claybench.terms.column import (
    code_column,
    declare_table,
    number_column,
    reference_column,
    size_column,
    slip_gravity_column,
    slip_temperature_column,
    text_column,
    time_column,
    whole_column,
    word_column,
    yesno_column,
)


@declare_table("bodies", "body", ("body",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A recipe."""

    body: str = code_column()
    title: str | None = text_column()
    family: str | None = reference_column("families")
    parent: str | None = reference_column("bodies", label="changed from")
    test_set: str | None = text_column(label="test set")
    control: bool | None = yesno_column(label="control of its family")
    stain_rank: int | None = whole_column(usual=(0, 20), help="only where it differs from the family's")
    slip_sg: float | None = slip_gravity_column()
    workable_water_pct: float | None = number_column(
        high=200.0, usual=(12, 60), label="water when workable", help="dry basis"
    )
    note: str | None = text_column()


@declare_table("body_lines", "recipe line", ("body", "position"), parent=("body",))
@dataclass(frozen=True, slots=True, kw_only=True)
class BodyLine:
    """One material of a recipe."""

    body: str = reference_column("bodies", required=True)
    position: int = whole_column(required=True)
    material: str = reference_column("materials", required=True)
    parts: float = number_column(required=True, possible=(None, 1e6), label="parts of dry mass")


@declare_table("batches", "batch", ("batch",), known=("mixed_at",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """One mixing of a body."""

    batch: str = code_column()
    body: str = reference_column("bodies", required=True)
    made: str | None = word_column("slip", "plastic", "pressed", label="made as")
    mixed_at: datetime = time_column(required=True, ahead=True)
    dry_mass_g: float | None = size_column(possible=(None, 1e6), usual=(50, 50_000), label="dry mass")
    water_g: float | None = number_column(possible=(None, 1e6), usual=(0, 60_000))
    slip_sg: float | None = slip_gravity_column()
    slip_temp_c: float | None = slip_temperature_column()
    deflocculant_g: float | None = number_column(
        possible=(None, 1e5), usual=(0, 500), help="only where no line of the recipe names one"
    )
    by: str | None = text_column()
    note: str | None = text_column()


@declare_table("batch_lines", "weighing", ("batch", "position"), parent=("batch",))
@dataclass(frozen=True, slots=True, kw_only=True)
class BatchLine:
    """One material as it was weighed into a batch."""

    batch: str = reference_column("batches", required=True)
    position: int = whole_column(required=True)
    material: str = reference_column("materials", required=True)
    lot: str | None = reference_column("lots")
    mass_g: float = number_column(required=True, possible=(None, 1e6), usual=(0, 50_000), label="mass as weighed")


@declare_table("batch_log", "batch event", ("batch", "at", "event"), known=("at",))
@dataclass(frozen=True, slots=True, kw_only=True)
class BatchEvent:
    """Something done to a batch between mixing and pouring."""

    batch: str = reference_column("batches", required=True)
    at: datetime = time_column(required=True)
    event: str = word_column(
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
    material: str | None = reference_column("materials")
    lot: str | None = reference_column("lots")
    mass_g: float | None = number_column(possible=(None, 1e6), usual=(0, 50_000))
    slip_sg: float | None = slip_gravity_column()
    slip_temp_c: float | None = slip_temperature_column()
    mesh: int | None = whole_column(possible=(None, 5000), usual=(4, 400))
    by: str | None = text_column()
    note: str | None = text_column()
