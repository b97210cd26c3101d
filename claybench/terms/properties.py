"""Properties that a lab declares for itself, what they are worked out from, and the targets that are set for them."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.terms import column
from claybench.terms.column import CODE_LENGTH, LARGEST, declare_table

TABLE_OF_SUBJECT = {
    "piece": "pieces", "fired": "fired", "batch": "batches", "body": "bodies", "run": "runs", "slab": "slabs",
    "lot": "lots", "material": "materials", "firing": "firings",
}  # fmt: skip
"""The table of what a property can be of."""
SUBJECTS = tuple(TABLE_OF_SUBJECT)
"""What a property can be of; `fired` is a piece after one firing."""
OF_FIRED = ("piece", "firing")
"""The columns of a reading that name a fired piece; everything else has one of its own name."""
NAME = r"[^\W\d]\w*"
"""How a name that stands in a formula is written."""


@declare_table("properties", "property", ("property",), order=(("low", "high"), ("usual_low", "usual_high")))
@dataclass(frozen=True, slots=True, kw_only=True)
class DeclaredProperty:
    """Something that is measured: of what, in which unit, and by which formula from which readings."""

    property: str = column.code()
    title: str | None = column.text()
    of: str = column.word(
        "piece",
        "fired",
        "batch",
        "body",
        "run",
        "slab",
        "lot",
        "material",
        "firing",
        required=True,
        label="property of",
    )
    kind: str = column.word("number", "score", "word", required=True)
    unit: str | None = column.text(longest=CODE_LENGTH)
    formula: str | None = column.text(help="empty: read directly")
    digits: int | None = column.whole(possible=(None, 12), label="digits after the point")
    low: float | None = column.number(low=-LARGEST, label="least possible")
    high: float | None = column.number(low=-LARGEST, label="greatest possible")
    usual_low: float | None = column.number(low=-LARGEST, label="usually from")
    usual_high: float | None = column.number(low=-LARGEST, label="usually to")
    better: str | None = column.word("more", "less", "none", label="which way is better")
    standard: str | None = column.text()
    source: str | None = column.text()
    note: str | None = column.text()


@declare_table("property_inputs", "input of a property", ("property", "position"), order=(("low", "high"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyInput:
    """One reading that a property is worked out from."""

    property: str = column.reference("properties", required=True)
    position: int = column.whole(required=True)
    input: str = column.text(
        required=True,
        longest=CODE_LENGTH,
        form=NAME,
        form_says="a letter, then letters, digits and _",
        names="properties",
        help="a column such as dry_mm, a property, or a name of its own",
    )
    unit: str | None = column.text(longest=CODE_LENGTH)
    low: float | None = column.number(low=-LARGEST, label="least possible")
    high: float | None = column.number(low=-LARGEST, label="greatest possible")
    label: str | None = column.text()


@declare_table("property_words", "score of a property", ("property", "score"))
@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyWords:
    """What one score of a property means, in words."""

    property: str = column.reference("properties", required=True)
    score: int = column.whole(required=True, low=-100.0, high=100.0)
    words: str = column.text(required=True)


@declare_table("profiles", "profile", ("profile",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """A set of targets under a name: what a body should be like."""

    profile: str = column.code()
    title: str | None = column.text()
    family: str | None = column.reference("families")
    cone: str | None = column.text(help="as written: 06 is not 6")
    peak_temp_c: float | None = column.number(low=-50.0, high=2000.0, usual=(500, 1400), label="peak temperature")
    note: str | None = column.text()


@declare_table("profile_targets", "target of a profile", ("profile", "property"), order=(("low", "high"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class ProfileTarget:
    """The range that a profile wants of one property."""

    profile: str = column.reference("profiles", required=True)
    property: str = column.text(
        required=True, longest=CODE_LENGTH, names="properties", help="built in, or the lab's own"
    )
    low: float | None = column.number(low=-LARGEST, label="at least")
    high: float | None = column.number(low=-LARGEST, label="at most")
