"""Firings, test pieces, what is read off them and what is wrong with them; readings of anything else as well."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from claybench.terms import column
from claybench.terms.column import CODE_LENGTH, declare_table


@declare_table("firings", "firing", ("firing",), known=("fired_on",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Firing:
    """One firing of one kiln."""

    firing: str = column.code()
    fired_on: date | None = column.day()
    kiln: str | None = column.text()
    cone: str | None = column.text(help="as written: 06 is not 6")
    peak_temp_c: float | None = column.temperature(usual=(500, 1400), label="peak temperature")
    hold_min: float | None = column.number(possible=(None, 1e5), usual=(0, 720), label="hold")
    atmosphere: str | None = column.text()
    note: str | None = column.text()
    ended_at: date | None = column.day(known="ended_at", label="ended")
    load_kg: float | None = column.number(possible=(None, 1e5), usual=(0, 2000), label="load")
    programme: str | None = column.text(help="of the controller, or how it was fired")


@declare_table("firing_cones", "cone in a kiln", ("firing", "cone", "place"), parent=("firing",))
@dataclass(frozen=True, slots=True, kw_only=True)
class FiringCone:
    """A pyrometric cone that stood somewhere in the kiln, and how far it bent."""

    firing: str = column.reference("firings", required=True)
    cone: str = column.text(required=True, longest=CODE_LENGTH, help="as written: 06 is not 6")
    place: str | None = column.text(longest=CODE_LENGTH, label="place in the kiln")
    bent: str | None = column.word("standing", "bending", "down", "melted")
    bent_deg: float | None = column.number(high=180.0, measured_in="deg", label="bent by", help="90: its tip level")
    note: str | None = column.text()


@declare_table("pieces", "piece", ("piece",), known=("formed_at",), parent=("run", "batch"))
@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A test bar, tile or disc."""

    piece: str = column.code()
    batch: str = column.reference("batches", required=True)
    run: str | None = column.reference("runs")
    shape: str | None = column.word("bar", "tile", "disc", "other")
    formed_at: date | None = column.day()
    formed_how: str | None = column.text(label="formed how")
    plastic_mm: float | None = column.size(possible=(None, 5000), usual=(20, 400), label="plastic length")
    plastic_g: float | None = column.size(possible=(None, 1e6), usual=(2, 5000), label="plastic mass")
    dry_at: date | None = column.day(known="dry_at")
    dry_how: str | None = column.word("air", "oven", known="dry_at", label="dried in")
    dry_mm: float | None = column.size(possible=(None, 5000), usual=(15, 400), known="dry_at", label="dry length")
    dry_g: float | None = column.size(possible=(None, 1e6), usual=(2, 5000), known="dry_at", label="dry mass")
    ended_at: date | None = column.day(known="ended_at", label="out of the test since")
    ended: str | None = column.word("broken", "lost", "scrapped", known="ended_at", label="what became of it")
    note: str | None = column.text()


@declare_table("fired", "fired piece", ("piece", "firing"), parent=("firing", "piece"))
@dataclass(frozen=True, slots=True, kw_only=True)
class Fired:
    """What one firing did to one piece."""

    piece: str = column.reference("pieces", required=True)
    firing: str = column.reference("firings", required=True)
    fired_mm: float | None = column.size(possible=(None, 5000), usual=(15, 400), label="fired length")
    fired_g: float | None = column.size(possible=(None, 1e6), usual=(2, 5000), label="fired mass")
    soaked_at: date | None = column.day(known="soaked_at")
    soaked_g: float | None = column.size(possible=(None, 1e6), usual=(2, 5000), known="soaked_at", label="soaked mass")
    suspended_g: float | None = column.size(
        possible=(None, 1e6), usual=(2, 5000), known="soaked_at", label="hanging in water"
    )
    soak_method: str | None = column.word("boil", "vacuum", "soak", known="soaked_at", label="soaked by")
    warp_pct: float | None = column.number(low=-100.0, high=100.0, usual=(-10, 10))
    colour: str | None = column.text(label="fired colour")
    note: str | None = column.text()
    place: str | None = column.text(
        longest=CODE_LENGTH, label="place in the kiln", help="as the cones of that firing say it"
    )
    soak_hours: float | None = column.number(
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

    piece: str | None = column.reference("pieces")
    batch: str | None = column.reference("batches")
    firing: str | None = column.reference("firings")
    at: datetime = column.time(required=True)
    what: str = column.word(
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
    value: float | None = column.number(low=-1e9)
    count: int | None = column.whole(possible=(None, 1e6), label="blows or count")
    wet_g: float | None = column.size(possible=(None, 1e6), label="wet mass")
    dry_g: float | None = column.size(possible=(None, 1e6), label="dry mass")
    by: str | None = column.text()
    note: str | None = column.text()
    run: str | None = column.reference("runs")
    body: str | None = column.reference("bodies")
    slab: str | None = column.reference("slabs")
    lot: str | None = column.reference("lots")
    material: str | None = column.reference("materials")
    together: str | None = column.text(
        longest=CODE_LENGTH, label="read together as", help="shared by the breadth, depth and load of one break"
    )
    instrument: str | None = column.reference("instruments")
    step: float | None = column.size(label="smallest step", help="of what it was read with; empty: the instrument's")
    method: str | None = column.text(help="such as boiled 5 h")
    temp_c: float | None = column.temperature(label="temperature")
    sign: str | None = column.word("<", ">", "~", help="less than, more than, about")
    value_high: float | None = column.number(low=-1e9, label="up to", help="upper end where a range was read: 11 to 12")
    word: str | None = column.text(longest=CODE_LENGTH, help="of a property that is told in words")


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

    piece: str | None = column.reference("pieces")
    run: str | None = column.reference("runs")
    firing: str | None = column.reference("firings")
    seen_on: date = column.day(required=True)
    fault: str = column.word(
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
    count: int | None = column.whole()
    note: str | None = column.text()


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

    file: str = column.text(required=True)
    piece: str | None = column.reference("pieces")
    body: str | None = column.reference("bodies")
    slab: str | None = column.reference("slabs")
    taken_on: date | None = column.day()
    note: str | None = column.text()
    sha256: str | None = column.text(
        longest=64, form="[0-9a-f]{64}", form_says="64 digits from 0 to f", label="SHA-256 of the file"
    )
    firing: str | None = column.reference("firings")
    run: str | None = column.reference("runs")
    batch: str | None = column.reference("batches")
