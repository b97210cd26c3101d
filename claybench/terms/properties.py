"""Properties that a lab declares for itself, what they are worked out from, and the targets that are set for them."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.terms.column import CODE_LENGTH, LARGEST, code, number, ref, table, text, whole, word

SUBJECTS = ("piece", "fired", "batch", "body", "run", "slab", "lot", "material", "firing")
"""What a property can be of; `fired` is a piece after one firing."""
NAME = r"[^\W\d]\w*"
"""How a name that stands in a formula is written."""


@table("properties", "property", ("property",), order=(("low", "high"), ("usual_low", "usual_high")))
@dataclass(frozen=True, slots=True, kw_only=True)
class DeclaredProperty:
    """Something that is measured: of what, in which unit, and by which formula from which readings."""

    property: str = code()
    title: str | None = text()
    of: str = word(
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
    kind: str = word("number", "score", "word", required=True)
    unit: str | None = text(longest=CODE_LENGTH)
    formula: str | None = text(help="empty: read directly")
    digits: int | None = whole(possible=(None, 12), label="digits after the point")
    low: float | None = number(low=-LARGEST, label="least possible")
    high: float | None = number(low=-LARGEST, label="greatest possible")
    usual_low: float | None = number(low=-LARGEST, label="usually from")
    usual_high: float | None = number(low=-LARGEST, label="usually to")
    better: str | None = word("more", "less", "none", label="which way is better")
    standard: str | None = text()
    source: str | None = text()
    note: str | None = text()


@table("property_inputs", "input of a property", ("property", "position"), order=(("low", "high"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyInput:
    """One reading that a property is worked out from."""

    property: str = ref("properties", required=True)
    position: int = whole(required=True)
    input: str = text(
        required=True,
        longest=CODE_LENGTH,
        form=NAME,
        form_says="a letter, then letters, digits and _",
        names="properties",
        help="a column such as dry_mm, a property, or a name of its own",
    )
    unit: str | None = text(longest=CODE_LENGTH)
    low: float | None = number(low=-LARGEST, label="least possible")
    high: float | None = number(low=-LARGEST, label="greatest possible")
    label: str | None = text()


@table("property_words", "score of a property", ("property", "score"))
@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyWords:
    """What one score of a property means, in words."""

    property: str = ref("properties", required=True)
    score: int = whole(required=True, low=-100.0, high=100.0)
    words: str = text(required=True)


@table("profiles", "profile", ("profile",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """A set of targets under a name: what a body should be like."""

    profile: str = code()
    title: str | None = text()
    family: str | None = ref("families")
    cone: str | None = text(help="as written: 06 is not 6")
    peak_temp_c: float | None = number(low=-50.0, high=2000.0, usual=(500, 1400), label="peak temperature")
    note: str | None = text()


@table("profile_targets", "target of a profile", ("profile", "property"), order=(("low", "high"),))
@dataclass(frozen=True, slots=True, kw_only=True)
class ProfileTarget:
    """The range that a profile wants of one property."""

    profile: str = ref("profiles", required=True)
    property: str = text(required=True, longest=CODE_LENGTH, names="properties", help="built in, or the lab's own")
    low: float | None = number(low=-LARGEST, label="at least")
    high: float | None = number(low=-LARGEST, label="at most")
