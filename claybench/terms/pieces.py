"""Firings, test pieces, what is read off them and what is wrong with them; readings of anything else as well."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from claybench.terms.column import (
    CODE_LENGTH,
    code,
    day,
    number,
    ref,
    size,
    table,
    temperature,
    text,
    time,
    whole,
    word,
)


@table("firings", "firing", ("firing",), known=("fired_on",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Firing:
    """One firing of one kiln."""

    firing: str = code()
    fired_on: date | None = day()
    kiln: str | None = text()
    cone: str | None = text(help="as written: 06 is not 6")
    peak_temp_c: float | None = temperature(usual=(500, 1400), label="peak temperature")
    hold_min: float | None = number(possible=(None, 1e5), usual=(0, 720), label="hold")
    atmosphere: str | None = text()
    note: str | None = text()
    ended_at: date | None = day(known="ended_at", label="ended")
    load_kg: float | None = number(possible=(None, 1e5), usual=(0, 2000), label="load")
    programme: str | None = text(help="of the controller, or how it was fired")


@table("firing_cones", "cone in a kiln", ("firing", "cone", "place"), parent=("firing",))
@dataclass(frozen=True, slots=True, kw_only=True)
class FiringCone:
    """A pyrometric cone that stood somewhere in the kiln, and how far it bent."""

    firing: str = ref("firings", required=True)
    cone: str = text(required=True, longest=CODE_LENGTH, help="as written: 06 is not 6")
    place: str | None = text(longest=CODE_LENGTH, label="place in the kiln")
    bent: str | None = word("standing", "bending", "down", "melted")
    bent_deg: float | None = number(high=180.0, measured_in="deg", label="bent by", help="90: its tip level")
    note: str | None = text()


@table("pieces", "piece", ("piece",), known=("formed_at",), parent=("run", "batch"))
@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A test bar, tile or disc."""

    piece: str = code()
    batch: str = ref("batches", required=True)
    run: str | None = ref("runs")
    shape: str | None = word("bar", "tile", "disc", "other")
    formed_at: date | None = day()
    formed_how: str | None = text(label="formed how")
    plastic_mm: float | None = size(possible=(None, 5000), usual=(20, 400), label="plastic length")
    plastic_g: float | None = size(possible=(None, 1e6), usual=(2, 5000), label="plastic mass")
    dry_at: date | None = day(known="dry_at")
    dry_how: str | None = word("air", "oven", known="dry_at", label="dried in")
    dry_mm: float | None = size(possible=(None, 5000), usual=(15, 400), known="dry_at", label="dry length")
    dry_g: float | None = size(possible=(None, 1e6), usual=(2, 5000), known="dry_at", label="dry mass")
    ended_at: date | None = day(known="ended_at")
    ended: str | None = word("broken", "lost", "scrapped", known="ended_at")
    note: str | None = text()


@table("fired", "fired piece", ("piece", "firing"), parent=("firing", "piece"))
@dataclass(frozen=True, slots=True, kw_only=True)
class Fired:
    """What one firing did to one piece."""

    piece: str = ref("pieces", required=True)
    firing: str = ref("firings", required=True)
    fired_mm: float | None = size(possible=(None, 5000), usual=(15, 400), label="fired length")
    fired_g: float | None = size(possible=(None, 1e6), usual=(2, 5000), label="fired mass")
    soaked_at: date | None = day(known="soaked_at")
    soaked_g: float | None = size(possible=(None, 1e6), usual=(2, 5000), known="soaked_at", label="soaked mass")
    suspended_g: float | None = size(possible=(None, 1e6), usual=(2, 5000), known="soaked_at", label="hanging in water")
    soak_method: str | None = word("boil", "vacuum", "soak", known="soaked_at", label="soaked by")
    warp_pct: float | None = number(low=-100.0, high=100.0, usual=(-10, 10))
    colour: str | None = text(label="fired colour")
    note: str | None = text()
    place: str | None = text(longest=CODE_LENGTH, label="place in the kiln", help="as the cones of that firing say it")
    soak_hours: float | None = number(
        possible=(None, 1000), usual=(0.2, 72), measured_in="hour", known="soaked_at", label="soaked for"
    )


@table(
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

    piece: str | None = ref("pieces")
    batch: str | None = ref("batches")
    firing: str | None = ref("firings")
    at: datetime = time(required=True)
    what: str = word(
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
    value: float | None = number(low=-1e9)
    count: int | None = whole(possible=(None, 1e6), label="blows or count")
    wet_g: float | None = size(possible=(None, 1e6), label="wet mass")
    dry_g: float | None = size(possible=(None, 1e6), label="dry mass")
    by: str | None = text()
    note: str | None = text()
    run: str | None = ref("runs")
    body: str | None = ref("bodies")
    slab: str | None = ref("slabs")
    lot: str | None = ref("lots")
    material: str | None = ref("materials")
    together: str | None = text(
        longest=CODE_LENGTH, label="read together as", help="shared by the breadth, depth and load of one break"
    )
    instrument: str | None = ref("instruments")
    step: float | None = size(label="smallest step", help="of what it was read with; empty: the instrument's")
    method: str | None = text(help="such as boiled 5 h")
    temp_c: float | None = temperature(label="temperature")
    sign: str | None = word("<", ">", "~", help="less than, more than, about")
    value_high: float | None = number(low=-1e9, label="up to", help="upper end where a range was read: 11 to 12")
    word: str | None = text(longest=CODE_LENGTH, help="of a property that is told in words")


@table(
    "faults",
    "fault",
    ("piece", "run", "firing", "seen_on", "fault"),
    one_of=("piece", "run"),
    known=("seen_on",),
)
@dataclass(frozen=True, slots=True, kw_only=True)
class FaultSeen:
    """A fault seen on a piece or a layer; `none` means looked at and clean."""

    piece: str | None = ref("pieces")
    run: str | None = ref("runs")
    firing: str | None = ref("firings")
    seen_on: date = day(required=True)
    fault: str = word(
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
    count: int | None = whole()
    note: str | None = text()


@table(
    "photos",
    "photo",
    ("file",),
    known=("taken_on",),
    parent=("piece", "body", "slab", "firing", "run", "batch"),
)
@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A picture file that belongs to a piece, a body, a slab, a firing, a run or a batch."""

    file: str = text(required=True)
    piece: str | None = ref("pieces")
    body: str | None = ref("bodies")
    slab: str | None = ref("slabs")
    taken_on: date | None = day()
    note: str | None = text()
    sha256: str | None = text(
        longest=64, form="[0-9a-f]{64}", form_says="64 digits from 0 to f", label="SHA-256 of the file"
    )
    firing: str | None = ref("firings")
    run: str | None = ref("runs")
    batch: str | None = ref("batches")
