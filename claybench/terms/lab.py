"""The lab's settings, people, instruments and reminders; families, materials, lots; and how answers are noted."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from claybench.terms.column import (
    CODE_LENGTH,
    code_column,
    day_column,
    declare_table,
    number_column,
    percentage_column,
    reference_column,
    size_column,
    text_column,
    time_column,
    whole_column,
    word_column,
)


@declare_table("settings", "setting", ("name",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One setting of the lab, by name."""

    name: str = text_column(required=True)
    value: str = text_column(required=True)


@declare_table("families", "family", ("family",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Bodies that may share a slab."""

    family: str = code_column()
    stain_rank: int | None = whole_column(help="0 is the cleanest; a higher rank stains a lower one")
    note: str | None = text_column()


@declare_table("materials", "material", ("material",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A raw material as it is named in recipes."""

    material: str = code_column()
    kind: str | None = word_column(
        "clay", "flux", "filler", "plasticiser", "colourant", "deflocculant", "flocculant", "other"
    )
    specific_gravity: float | None = number_column(above=0.5, high=25.0, usual=(1.1, 7))
    loi_pct: float | None = percentage_column(usual=(0, 50), label="loss on ignition")
    price_per_kg: float | None = number_column(possible=(None, 1e6), usual=(0, 500), label="price per kg")
    caution: str | None = text_column()
    note: str | None = text_column()


@declare_table("lots", "lot", ("lot",), known=("received_on",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One delivery of a material."""

    lot: str = code_column()
    material: str = reference_column("materials", required=True)
    received_on: date | None = day_column()
    received_kg: float | None = number_column(possible=(None, 1e6), usual=(0.01, 2000))
    moisture_pct: float | None = percentage_column(
        possible=(0, 99.9),
        usual=(0, 75),
        help="wet basis: water as a share of what is weighed; a solution is its water",
    )
    note: str | None = text_column()


@declare_table("people", "person", ("person",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Someone who works in the lab; `by` stays text and is matched to the code."""

    person: str = code_column()
    name: str | None = text_column()
    role: str | None = word_column("read", "record", "keep", help="what they may do")
    until: date | None = day_column(known="until", ahead=True)


@declare_table("instruments", "instrument", ("instrument",), known=("since",), order=(("since", "until"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """What readings are taken with."""

    instrument: str = code_column()
    kind: str | None = word_column("scale", "ruler", "caliper", "cone", "meter", "other")
    step: float | None = size_column(label="smallest step", help="in its unit")
    unit: str | None = text_column(longest=CODE_LENGTH)
    since: date | None = day_column()
    until: date | None = day_column(known="until", ahead=True)
    note: str | None = text_column()


@declare_table("reminders", "reminder", ("reminder",), known=("at",), order=(("at", "until"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class Reminder:
    """Something to be reminded of, once or again and again."""

    reminder: str = code_column()
    at: datetime = time_column(required=True, ahead=True, label="first at")
    every_h: float | None = size_column(high=1e5, measured_in="hour", label="again every")
    until: datetime | None = time_column(ahead=True)
    text: str = text_column(required=True)
    slab: str | None = reference_column("slabs")
    run: str | None = reference_column("runs")
    piece: str | None = reference_column("pieces")
    batch: str | None = reference_column("batches")


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
