"""Firings, test pieces, what is read off them and what is wrong with them; readings of anything else as well."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from claybench.terms.column import (
    CODE_LENGTH,
    code_column,
    day_column,
    declare_table,
    number_column,
    reference_column,
    size_column,
    temperature_column,
    text_column,
    time_column,
    whole_column,
    word_column,
)


@declare_table("firings", "firing", ("firing",), known=("fired_on",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Firing:
    """One firing of one kiln."""

    firing: str = code_column()
    fired_on: date | None = day_column()
    kiln: str | None = text_column()
    cone: str | None = text_column(help="as written: 06 is not 6")
    peak_temp_c: float | None = temperature_column(usual=(500, 1400), label="peak temperature")
    hold_min: float | None = number_column(possible=(None, 1e5), usual=(0, 720), label="hold")
    atmosphere: str | None = text_column()
    note: str | None = text_column()
    ended_at: date | None = day_column(known="ended_at", label="ended")
    load_kg: float | None = number_column(possible=(None, 1e5), usual=(0, 2000), label="load")
    programme: str | None = text_column(help="of the controller, or how it was fired")


@declare_table("firing_cones", "cone in a kiln", ("firing", "cone", "place"), parent=("firing",))
@dataclass(frozen=True, slots=True, kw_only=True)
class FiringCone:
    """A pyrometric cone that stood somewhere in the kiln, and how far it bent."""

    firing: str = reference_column("firings", required=True)
    cone: str = text_column(required=True, longest=CODE_LENGTH, help="as written: 06 is not 6")
    place: str | None = text_column(longest=CODE_LENGTH, label="place in the kiln")
    bent: str | None = word_column("standing", "bending", "down", "melted")
    bent_deg: float | None = number_column(high=180.0, measured_in="deg", label="bent by", help="90: its tip level")
    note: str | None = text_column()


@declare_table("pieces", "piece", ("piece",), known=("formed_at",), parent=("run", "batch"))
@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A test bar, tile or disc."""

    piece: str = code_column()
    batch: str = reference_column("batches", required=True)
    run: str | None = reference_column("runs")
    shape: str | None = word_column("bar", "tile", "disc", "other")
    formed_at: date | None = day_column()
    formed_how: str | None = text_column(label="formed how")
    plastic_mm: float | None = size_column(possible=(None, 5000), usual=(20, 400), label="plastic length")
    plastic_g: float | None = size_column(possible=(None, 1e6), usual=(2, 5000), label="plastic mass")
    dry_at: date | None = day_column(known="dry_at")
    dry_how: str | None = word_column("air", "oven", known="dry_at", label="dried in")
    dry_mm: float | None = size_column(possible=(None, 5000), usual=(15, 400), known="dry_at", label="dry length")
    dry_g: float | None = size_column(possible=(None, 1e6), usual=(2, 5000), known="dry_at", label="dry mass")
    ended_at: date | None = day_column(known="ended_at")
    ended: str | None = word_column("broken", "lost", "scrapped", known="ended_at")
    note: str | None = text_column()


@declare_table("fired", "fired piece", ("piece", "firing"), parent=("firing", "piece"))
@dataclass(frozen=True, slots=True, kw_only=True)
class Fired:
    """What one firing did to one piece."""

    piece: str = reference_column("pieces", required=True)
    firing: str = reference_column("firings", required=True)
    fired_mm: float | None = size_column(possible=(None, 5000), usual=(15, 400), label="fired length")
    fired_g: float | None = size_column(possible=(None, 1e6), usual=(2, 5000), label="fired mass")
    soaked_at: date | None = day_column(known="soaked_at")
    soaked_g: float | None = size_column(possible=(None, 1e6), usual=(2, 5000), known="soaked_at", label="soaked mass")
    suspended_g: float | None = size_column(
        possible=(None, 1e6), usual=(2, 5000), known="soaked_at", label="hanging in water"
    )
    soak_method: str | None = word_column("boil", "vacuum", "soak", known="soaked_at", label="soaked by")
    warp_pct: float | None = number_column(low=-100.0, high=100.0, usual=(-10, 10))
    colour: str | None = text_column(label="fired colour")
    note: str | None = text_column()
    place: str | None = text_column(
        longest=CODE_LENGTH, label="place in the kiln", help="as the cones of that firing say it"
    )
    soak_hours: float | None = number_column(
        possible=(None, 1000), usual=(0.2, 72), measured_in="hour", known="soaked_at", label="soaked for"
    )


@declare_table(
    "readings",
    "reading",
    ("piece", "batch", "firing", "at", "what", "run", "body", "slab", "lot", "material", "together"),
    one_of=("piece", "batch", "run", "body", "slab", "lot", "material"),
    alone="firing",
    known=("at",),
    order=(("value", "value_high"),),
    needs=(("value_high", "value"),),
)
@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """A reading of anything: a further one, which corrects nothing, or one of a property or of what goes into it."""

    piece: str | None = reference_column("pieces")
    batch: str | None = reference_column("batches")
    firing: str | None = reference_column("firings")
    at: datetime = time_column(required=True)
    what: str = word_column(
        "plastic_mm",
        "plastic_g",
        "dry_mm",
        "dry_g",
        "fired_mm",
        "fired_g",
        "soaked_g",
        "suspended_g",
        "liquid_cup",
        "liquid_cone",
        "plastic_thread",
        "coil_bend",
        "other",
        required=True,
        open=True,
        names="properties",
        help="also any other measured column, a property, or an input of one",
    )
    value: float | None = number_column(low=-1e9)
    count: int | None = whole_column(possible=(None, 1e6), label="blows or count")
    wet_g: float | None = size_column(possible=(None, 1e6), label="wet mass")
    dry_g: float | None = size_column(possible=(None, 1e6), label="dry mass")
    by: str | None = text_column()
    note: str | None = text_column()
    run: str | None = reference_column("runs")
    body: str | None = reference_column("bodies")
    slab: str | None = reference_column("slabs")
    lot: str | None = reference_column("lots")
    material: str | None = reference_column("materials")
    together: str | None = text_column(
        longest=CODE_LENGTH, label="read together as", help="shared by the breadth, depth and load of one break"
    )
    instrument: str | None = reference_column("instruments")
    step: float | None = size_column(label="smallest step", help="of what it was read with; empty: the instrument's")
    method: str | None = text_column(help="such as boiled 5 h")
    temp_c: float | None = temperature_column(label="temperature")
    sign: str | None = word_column("<", ">", "~", help="less than, more than, about")
    value_high: float | None = number_column(low=-1e9, label="up to", help="upper end where a range was read: 11 to 12")
    word: str | None = text_column(longest=CODE_LENGTH, help="of a property that is told in words")


@declare_table(
    "faults",
    "fault",
    ("piece", "run", "firing", "seen_on", "fault"),
    one_of=("piece", "run"),
    known=("seen_on",),
)
@dataclass(frozen=True, slots=True, kw_only=True)
class FaultSeen:
    """A fault seen on a piece or a layer; `none` means looked at and clean."""

    piece: str | None = reference_column("pieces")
    run: str | None = reference_column("runs")
    firing: str | None = reference_column("firings")
    seen_on: date = day_column(required=True)
    fault: str = word_column(
        "none",
        "pop_out",
        "scum",
        "crack",
        "warp",
        "bloat",
        "black_core",
        "dunting",
        "specks",
        "plaster_found",
        "colour_off",
        "other",
        required=True,
    )
    count: int | None = whole_column()
    note: str | None = text_column()


@declare_table(
    "photos",
    "photo",
    ("file",),
    known=("taken_on",),
    parent=("piece", "body", "slab", "firing", "run", "batch"),
)
@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A picture file that belongs to a piece, a body, a slab, a firing, a run or a batch."""

    file: str = text_column(required=True)
    piece: str | None = reference_column("pieces")
    body: str | None = reference_column("bodies")
    slab: str | None = reference_column("slabs")
    taken_on: date | None = day_column()
    note: str | None = text_column()
    sha256: str | None = text_column(
        longest=64, form="[0-9a-f]{64}", form_says="64 digits from 0 to f", label="SHA-256 of the file"
    )
    firing: str | None = reference_column("firings")
    run: str | None = reference_column("runs")
    batch: str | None = reference_column("batches")
