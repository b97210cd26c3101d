"""Plaster slabs, what happens to them, the air around them, and what dries on them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from claybench.terms import column
from claybench.terms.column import declare_table

FACES = ("form", "open")
PLACES = ("shelf", "fan", "sun", "outdoors", "drying_room", "other")
STANDINGS = ("flat", "edge", "slats")
"""How a slab stands while it dries."""
FEELS = ("fluid", "sticky", "workable", "stiff")
STEP_NAMES = (
    "water", "sift", "soak", "mix", "pour", "level", "set", "demould", "edges", "weigh", "dry", "turn",
)  # fmt: skip
"""Steps of a slab's pour in their order; what each is, `mix.pour_steps` says."""


@declare_table("slabs", "slab", ("slab",), known=("cast_at", "in_service_on"))
@dataclass(frozen=True, slots=True, kw_only=True)
class Slab:
    """A plaster slab: its size, its mix and its dates."""

    slab: str = column.code()
    family: str | None = column.reference("families")
    shape: str | None = column.word("rectangle", "round")
    length_mm: float = column.size(
        required=True, high=10_000.0, possible=(1, None), usual=(100, 1500), label="length or diameter"
    )
    width_mm: float | None = column.size(high=10_000.0, possible=(1, None), usual=(100, 1500))
    thickness_mm: float = column.size(required=True, high=1_000.0, possible=(1, None), usual=(12, 120))
    usable_area_cm2: float | None = column.size(possible=(1, 250_000), usual=(80, 20_000), label="usable area")
    plaster: str | None = column.text(label="kind of plaster")
    pour: str | None = column.text(help="slabs cast from one mix share it")
    mix_ratio: float | None = column.number(
        low=20.0, high=200.0, usual=(50, 100), help="water per 100 of plaster, by mass"
    )
    plaster_g: float | None = column.size(
        possible=(None, 1e6), usual=(200, 100_000), help="in this slab, waste not counted"
    )
    water_g: float | None = column.size(possible=(None, 1e6), usual=(200, 100_000))
    cast_at: date | None = column.day()
    in_service_on: date | None = column.day(known="in_service_on", label="in service since")
    retired_on: date | None = column.day(known="retired_on")
    dry_mass_g: float | None = column.size(possible=(None, 1e6), usual=(200, 100_000), label="dry mass")
    note: str | None = column.text()


@declare_table("slab_log", "slab event", ("slab", "at", "event"), known=("at",))
@dataclass(frozen=True, slots=True, kw_only=True)
class SlabEvent:
    """Something that happened to a slab, tests apart."""

    slab: str = column.reference("slabs", required=True)
    at: datetime = column.time(required=True)
    event: str = column.word(
        "mixed",
        "set",
        "demoulded",
        "weighed",
        "weighed_dry",
        "turned",
        "moved",
        "wetted",
        "other_clay",
        "ring_test",
        "cleaned",
        "resurfaced",
        "chipped",
        "broken",
        "stained",
        "salts",
        "note",
        "looked_over",
        "overheated",
        "frozen",
        "soaked",
        required=True,
        open=True,
    )
    face: str | None = column.word(*FACES)
    until: datetime | None = column.time(ahead=True)
    mass_g: float | None = column.size(possible=(None, 1e6), usual=(200, 100_000))
    water_g: float | None = column.number(possible=(None, 1e6), usual=(0, 20_000))
    family: str | None = column.reference("families", label="family of the other clay")
    place: str | None = column.word(*PLACES)
    air_temp_c: float | None = column.air_temperature()
    air_rh_pct: float | None = column.air_humidity()
    air_speed_m_s: float | None = column.air_speed()
    ring_area_cm2: float | None = column.size(possible=(None, 5000), usual=(1, 300), label="area inside the ring")
    ring_water_ml: float | None = column.size(possible=(None, 5000), usual=(0.2, 200), label="water in the ring")
    ring_seconds: float | None = column.size(possible=(None, 1e6), usual=(2, 7200), label="seconds until it was gone")
    count: int | None = column.whole(usual=(0, 200))
    by: str | None = column.text()
    note: str | None = column.text()
    standing: str | None = column.word(*STANDINGS, label="stands on")


@declare_table("air", "air reading", ("at", "place"), known=("at",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """Temperature, humidity and draught somewhere in the workshop."""

    at: datetime = column.time(required=True)
    place: str | None = column.word(*PLACES)
    air_temp_c: float | None = column.air_temperature()
    air_rh_pct: float | None = column.air_humidity()
    air_speed_m_s: float | None = column.air_speed()
    note: str | None = column.text()


@declare_table("runs", "run", ("run",), known=("started_at",), order=(("started_at", "ended_at"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One layer of a batch drying on a slab."""

    run: str = column.code()
    batch: str = column.reference("batches", required=True)
    slab: str = column.reference("slabs", required=True)
    face: str | None = column.word(*FACES)
    started_at: datetime = column.time(required=True, label="poured")
    poured_g: float | None = column.size(possible=(None, 1e6), usual=(50, 30_000), label="slip poured")
    area_cm2: float | None = column.size(possible=(0.1, 250_000), usual=(20, 20_000), label="area of the layer")
    layer_mm: float | None = column.size(high=500.0, possible=(0.1, None), usual=(2, 30), label="depth of slip")
    slip_sg: float | None = column.slip_gravity()
    slip_temp_c: float | None = column.slip_temperature()
    slab_before_g: float | None = column.size(possible=(None, 1e6), usual=(200, 100_000), label="bare slab before")
    slab_after_g: float | None = column.size(
        possible=(None, 1e6), usual=(200, 100_000), label="bare slab after", known="ended_at"
    )
    air_temp_c: float | None = column.air_temperature()
    air_rh_pct: float | None = column.air_humidity()
    air_speed_m_s: float | None = column.air_speed()
    ended_at: datetime | None = column.time(label="lifted", known="ended_at")
    clay_off_g: float | None = column.number(
        possible=(None, 1e6), usual=(20, 25_000), label="clay lifted off", known="ended_at"
    )
    outcome: str | None = column.word("workable", "lifted_early", "too_stiff", "abandoned", known="ended_at")
    wedged_on: str | None = column.text(label="wedged on", known="ended_at")
    by: str | None = column.text()
    note: str | None = column.text()


@declare_table("checks", "check", ("run", "at"), known=("at",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A touch of the layer, with how it felt."""

    run: str = column.reference("runs", required=True)
    at: datetime = column.time(required=True)
    feel: str = column.word(*FEELS, required=True)
    action: str | None = column.word("turned_over", "cut", "spread", label="done to the layer")
    penetration_mm: float | None = column.number(high=500.0, usual=(0, 60))
    by: str | None = column.text()
    note: str | None = column.text()
