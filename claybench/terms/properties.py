"""Properties that a lab declares for itself, what they are worked out from, and the targets that are set for them."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.terms.column import (
    CODE_LENGTH,
    LARGEST,
    code_column,
    declare_table,
    number_column,
    reference_column,
    text_column,
    whole_column,
    word_column,
)

SUBJECTS = ("piece", "fired", "batch", "body", "run", "slab", "lot", "material", "firing")
"""What a property can be of; `fired` is a piece after one firing."""
NAME = r"[^\W\d]\w*"
"""How a name that stands in a formula is written."""


@declare_table("properties", "property", ("property",), order=(("low", "high"), ("usual_low", "usual_high")))
@dataclass(frozen=True, slots=True, kw_only=True)
class DeclaredProperty:
    """Something that is measured: of what, in which unit, and by which formula from which readings."""

    property: str = code_column()
    title: str | None = text_column()
    of: str = word_column(
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
    kind: str = word_column("number", "score", "word", required=True)
    unit: str | None = text_column(longest=CODE_LENGTH)
    formula: str | None = text_column(help="empty: read directly")
    digits: int | None = whole_column(possible=(None, 12), label="digits after the point")
    low: float | None = number_column(low=-LARGEST, label="least possible")
    high: float | None = number_column(low=-LARGEST, label="greatest possible")
    usual_low: float | None = number_column(low=-LARGEST, label="usually from")
    usual_high: float | None = number_column(low=-LARGEST, label="usually to")
    better: str | None = word_column("more", "less", "none", label="which way is better")
    standard: str | None = text_column()
    source: str | None = text_column()
    note: str | None = text_column()


@declare_table("property_inputs", "input of a property", ("property", "position"), order=(("low", "high"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyInput:
    """One reading that a property is worked out from."""

    property: str = reference_column("properties", required=True)
    position: int = whole_column(required=True)
    input: str = text_column(
        required=True,
        longest=CODE_LENGTH,
        form=NAME,
        form_says="a letter, then letters, digits and _",
        names="properties",
        help="a column such as dry_mm, a property, or a name of its own",
    )
    unit: str | None = text_column(longest=CODE_LENGTH)
    low: float | None = number_column(low=-LARGEST, label="least possible")
    high: float | None = number_column(low=-LARGEST, label="greatest possible")
    label: str | None = text_column()


@declare_table("property_words", "score of a property", ("property", "score"))
@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyWords:
    """What one score of a property means, in words."""

    property: str = reference_column("properties", required=True)
    score: int = whole_column(required=True, low=-100.0, high=100.0)
    words: str = text_column(required=True)


@declare_table("profiles", "profile", ("profile",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """A set of targets under a name: what a body should be like."""

    profile: str = code_column()
    title: str | None = text_column()
    family: str | None = reference_column("families")
    cone: str | None = text_column(help="as written: 06 is not 6")
    peak_temp_c: float | None = number_column(low=-50.0, high=2000.0, usual=(500, 1400), label="peak temperature")
    note: str | None = text_column()


@declare_table("profile_targets", "target of a profile", ("profile", "property"), order=(("low", "high"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class ProfileTarget:
    """The range that a profile wants of one property."""

    profile: str = reference_column("profiles", required=True)
    property: str = text_column(
        required=True, longest=CODE_LENGTH, names="properties", help="built in, or the lab's own"
    )
    low: float | None = number_column(low=-LARGEST, label="at least")
    high: float | None = number_column(low=-LARGEST, label="at most")
