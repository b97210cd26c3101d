"""The lab's own settings, its people, instruments and reminders, its families, materials and what came in the door."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from claybench.terms.column import CODE_LENGTH, code, day, number, ref, share, size, table, text, time, whole, word


@table("settings", "setting", ("name",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One setting of the lab, by name."""

    name: str = text(required=True)
    value: str = text(required=True)


@table("families", "family", ("family",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Bodies that may share a slab."""

    family: str = code()
    stain_rank: int | None = whole(help="0 is the cleanest; a higher rank stains a lower one")
    note: str | None = text()


@table("materials", "material", ("material",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A raw material as it is named in recipes."""

    material: str = code()
    kind: str | None = word("clay", "flux", "filler", "plasticiser", "colourant", "deflocculant", "flocculant", "other")
    specific_gravity: float | None = number(above=0.5, high=25.0, usual=(1.1, 7))
    loi_pct: float | None = share(usual=(0, 50), label="loss on ignition")
    price_per_kg: float | None = number(possible=(None, 1e6), usual=(0, 500), label="price per kg")
    caution: str | None = text()
    note: str | None = text()


@table("lots", "lot", ("lot",), known=("received_on",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One delivery of a material."""

    lot: str = code()
    material: str = ref("materials", required=True)
    received_on: date | None = day()
    received_kg: float | None = number(possible=(None, 1e6), usual=(0.01, 2000))
    moisture_pct: float | None = share(
        possible=(0, 99.9),
        usual=(0, 75),
        help="wet basis: water as a share of what is weighed; a solution is its water",
    )
    note: str | None = text()


@table("people", "person", ("person",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Someone who works in the lab; `by` stays text and is matched to the code."""

    person: str = code()
    name: str | None = text()
    role: str | None = word("read", "record", "keep", help="what they may do")
    until: date | None = day(known="until", ahead=True)


@table("instruments", "instrument", ("instrument",), known=("since",), order=(("since", "until"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """What readings are taken with."""

    instrument: str = code()
    kind: str | None = word("scale", "ruler", "caliper", "cone", "meter", "other")
    step: float | None = size(label="smallest step", help="in its unit")
    unit: str | None = text(longest=CODE_LENGTH)
    since: date | None = day()
    until: date | None = day(known="until", ahead=True)
    note: str | None = text()


@table("reminders", "reminder", ("reminder",), known=("at",), order=(("at", "until"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class Reminder:
    """Something to be reminded of, once or again and again."""

    reminder: str = code()
    at: datetime = time(required=True, ahead=True, label="first at")
    every_h: float | None = size(high=1e5, measured_in="hour", label="again every")
    until: datetime | None = time(ahead=True)
    text: str = text(required=True)
    slab: str | None = ref("slabs")
    run: str | None = ref("runs")
    piece: str | None = ref("pieces")
    batch: str | None = ref("batches")
