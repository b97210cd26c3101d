"""The lab's settings, people, instruments and reminders; families, materials, lots; and how answers are noted."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from claybench.terms import column
from claybench.terms.column import CODE_LENGTH, declare_table


@declare_table("settings", "setting", ("name",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One setting of the lab, by name."""

    name: str = column.text(required=True)
    value: str = column.text(required=True)


@declare_table("families", "family", ("family",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Bodies that may share a slab."""

    family: str = column.code()
    stain_rank: int | None = column.whole(help="0 is the cleanest; a higher rank stains a lower one")
    note: str | None = column.text()


@declare_table("materials", "material", ("material",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A raw material as it is named in recipes."""

    material: str = column.code()
    kind: str | None = column.word(
        "clay", "flux", "filler", "plasticiser", "colourant", "deflocculant", "flocculant", "other"
    )
    specific_gravity: float | None = column.number(above=0.5, high=25.0, usual=(1.1, 7))
    loi_pct: float | None = column.percentage(usual=(0, 50), label="loss on ignition")
    price_per_kg: float | None = column.number(possible=(None, 1e6), usual=(0, 500), label="price per kg")
    caution: str | None = column.text()
    note: str | None = column.text()


@declare_table("lots", "lot", ("lot",), known=("received_on",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One delivery of a material."""

    lot: str = column.code()
    material: str = column.reference("materials", required=True)
    received_on: date | None = column.day()
    received_kg: float | None = column.number(possible=(None, 1e6), usual=(0.01, 2000))
    moisture_pct: float | None = column.percentage(
        possible=(0, 99.9),
        usual=(0, 75),
        help="wet basis: water as a share of what is weighed; a solution is its water",
    )
    note: str | None = column.text()


@declare_table("people", "person", ("person",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Someone who works in the lab; `by` stays text and is matched to the code."""

    person: str = column.code()
    name: str | None = column.text()
    role: str | None = column.word("read", "record", "keep", help="what they may do")
    until: date | None = column.day(known="until", ahead=True)


@declare_table("instruments", "instrument", ("instrument",), known=("since",), order=(("since", "until"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """What readings are taken with."""

    instrument: str = column.code()
    kind: str | None = column.word("scale", "ruler", "caliper", "cone", "meter", "other")
    step: float | None = column.size(label="smallest step", help="in its unit")
    unit: str | None = column.text(longest=CODE_LENGTH)
    since: date | None = column.day()
    until: date | None = column.day(known="until", ahead=True)
    note: str | None = column.text()


@declare_table("reminders", "reminder", ("reminder",), known=("at",), order=(("at", "until"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class Reminder:
    """Something to be reminded of, once or again and again."""

    reminder: str = column.code()
    at: datetime = column.time(required=True, ahead=True, label="first at")
    every_h: float | None = column.size(high=1e5, measured_in="hour", label="again every")
    until: datetime | None = column.time(ahead=True)
    text: str = column.text(required=True)
    slab: str | None = column.reference("slabs")
    run: str | None = column.reference("runs")
    piece: str | None = column.reference("pieces")
    batch: str | None = column.reference("batches")


_ANSWER = re.compile(r"meant all the same: .*\[(.*)\]\Z", re.DOTALL)


def answer_note(texts: Iterable[str], facts: Iterable[str]) -> str:
    """The note of a log line that keeps answers: what was said, and the facts it was said of.

    >>> answer_note(["saturated, 88 % wet"], ["saturated B-7"])
    'meant all the same: saturated, 88 % wet [saturated B-7]'
    """
    return f"meant all the same: {'; '.join(texts)} [{'; '.join(map(as_fact, facts))}]"


def as_fact(text: str) -> str:
    """A fact as it can stand in such a note."""
    return text.replace(";", ",").replace("[", "(").replace("]", ")")


def answered_facts(note: str | None) -> frozenset[str]:
    """The facts that a log line's note answers for; none where it is another note.

    >>> sorted(answered_facts("meant all the same: saturated, 88 % wet [saturated B-7; other_family red]"))
    ['other_family red', 'saturated B-7']
    """
    match = _ANSWER.match(note or "")
    return frozenset(filter(None, match.group(1).split("; "))) if match else frozenset()
