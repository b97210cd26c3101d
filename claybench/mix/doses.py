"""Additions on top of a body: how a dose is typed, kept in the record until it is weighed, and what dose is usual.

A dose is dry active mass in per cent of the body's dry mass, unless it says "as supplied": then it is the mass of
what comes out of the sack or the bottle, its water included.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from claybench.errors import BadInput, OutOfRange, Question
from claybench.mix.recipe_line import read_line, split_recipe
from claybench.quantity import parse_quantity
from claybench.quantity.inputs import possible_range
from claybench.quantity.plausible import usual_text
from claybench.quantity.shown import plain
from claybench.terms.sizing import ADDITION_DOSE, DEFLOCCULANT_DOSE, SizingInput

_BAGS = re.compile(r"\s*(half(?: a)?|a|\d+(?:[.,]\d+)?|1/2|½)?\s*bags?\s*")


def plaster_in_hand(text: str, bag_g: float) -> float:
    """Plaster in grams: a quantity, or bags of the size the lab uses.

    >>> plaster_in_hand("half a bag", 25_000), plaster_in_hand("2 bags", 22_680), plaster_in_hand("25 lb", 25_000)
    (12500.0, 45360.0, 11339.80925)
    """
    bags = _BAGS.fullmatch(text.lower())
    if bags is None:
        return parse_quantity(text, "g").value
    word = (bags.group(1) or "1").replace(",", ".")
    share = 0.5 if word.startswith("half") or word in ("1/2", "½") else 1.0 if word == "a" else float(word)
    return share * bag_g


def named_number(text: str, what: str = "", unit: str = "%") -> tuple[str, float]:
    """`ball clay 30` or `ball clay = 30`; refused where the number may begin one word earlier.

    >>> named_number("sodium silicate 0,3 %"), named_number("kaolin = 1/2")
    (('sodium silicate', 0.3), ('kaolin', 0.5))
    """
    try:
        return read_line(text, unit=unit, field=what)
    except BadInput as error:
        raise BadInput(f"{what}: {error.reason}" if what else error.reason, error.remedy, field=what) from error


MARK = "to add: "
"""What the note of a dose begins with in a batch's log."""
_OF_DRY = " % of dry mass"
_AS_SUPPLIED = ", as supplied"
_NOTED = re.compile(rf"{MARK}(?P<pct>\d+(?:\.\d+)?(?:e-?\d+)?){_OF_DRY}(?P<wet>{_AS_SUPPLIED})?")
_BASIS = re.compile(
    r"\s+(?:(?P<wet>as[ -]supplied|as it comes|wet|moist)|(?P<dry>dry(?: mass)?|active|of (?:the )?dry(?: mass)?))$",
    re.I,
)
_DEFLOCCULANTS = re.compile(
    r"\b(?:sodium|potassium|lithium) (?:silicate|carbonate|polyacrylate)\b|^silicate\b|\bwater ?glass\b|\bsoda ash\b"
    r"|hexametaphosphate|pyrophosphate|tripolyphosphate|polyacrylate|deflocculant|dispersant",
    re.I,
)
"""Names by which a material that the lab does not know is one; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Dose:
    """What is to be added of one material."""

    material: str
    pct: float
    """Per cent of the body's dry mass."""
    as_supplied: bool = False
    """Whether it is of the material as it comes, water and all, and not of its dry mass."""
    deflocculant: bool | None = None
    """Whether it was said to be one; None leaves it to the lab, or to its name."""

    def dry_pct(self, moisture_pct: float | None) -> float:
        """Its dry mass in per cent of the body's dry mass; what has no known moisture counts as dry."""
        return self.pct * (1 - (moisture_pct or 0.0) / 100) if self.as_supplied else self.pct

    @property
    def text(self) -> str:
        """The dose with its basis, as someone would type it again.

        >>> Dose("sodium silicate", 0.3).text, Dose("sodium silicate", 0.8, as_supplied=True).text
        ('sodium silicate 0.3 % dry', 'sodium silicate 0.8 % as supplied')
        """
        return f"{self.material} {plain(self.pct)} % {'as supplied' if self.as_supplied else 'dry'}"

    @property
    def note(self) -> str:
        """What stands in the batch's log until it is weighed.

        >>> Dose("sodium silicate", 0.3).note
        'to add: 0.3 % of dry mass'
        """
        return f"{MARK}{self.pct!r}{_OF_DRY}{_AS_SUPPLIED if self.as_supplied else ''}"


def dose_of_note(material: str | None, note: str | None) -> Dose | None:
    """The dose that a line of a batch's log speaks of, if any.

    >>> dose_of_note("silicate", Dose("silicate", 0.8, as_supplied=True).note)
    Dose(material='silicate', pct=0.8, as_supplied=True, deflocculant=None)
    >>> dose_of_note("silicate", "to add: a little") is None
    True
    """
    match = _NOTED.fullmatch(note or "")
    if material is None or match is None:
        return None
    return Dose(material, float(match["pct"]), as_supplied=match["wet"] is not None)


def read_doses(text: str, what: str = "", deflocculant: bool | None = None) -> list[Dose]:
    """Several doses in one line, each a name and a per cent of the dry mass.

    >>> [each.text for each in read_doses("sodium silicate 0,3 %; frit 2 % as supplied")]
    ['sodium silicate 0.3 % dry', 'frit 2 % as supplied']
    """
    return [_dose(part, what, deflocculant) for part in split_recipe(text)]


def _dose(text: str, what: str, deflocculant: bool | None) -> Dose:
    tidy = " ".join(text.split())
    basis = _BASIS.search(tidy)
    name, pct = named_number(tidy[: basis.start()] if basis else tidy, what)
    if pct < 0:
        raise BadInput(f"{name}: less than nothing cannot be added.", "Leave it out.", field=what)
    return Dose(name, pct, as_supplied=bool(basis and basis["wet"]), deflocculant=deflocculant)


def is_deflocculant(material: str, kind: str | None, said: bool | None = None) -> bool:
    """Whether a material thins slip: as it was said, else by its kind in the lab, else by its name.

    >>> is_deflocculant("sodium silicate", None), is_deflocculant("zirconium silicate", None)
    (True, False)
    """
    if said is not None:
        return said
    return kind == "deflocculant" if kind else bool(_DEFLOCCULANTS.search(material))


def check_dose(material: str, dry_pct: float, deflocculant: bool) -> None:
    """Refuse a dose that no slip takes, naming the range."""
    asked = DEFLOCCULANT_DOSE if deflocculant else ADDITION_DOSE
    if not asked.within(dry_pct):
        raise OutOfRange(
            f"{material}: {plain(dry_pct)} % of the dry mass lies outside {possible_range(asked)}.",
            asked.remedy,
            field=asked.name,
        )


def unusual_dose(material: str, dry_pct: float, deflocculant: bool) -> Question | None:
    """A dose that is possible and not usual, as a question."""
    asked: SizingInput = DEFLOCCULANT_DOSE if deflocculant else ADDITION_DOSE
    if asked.is_usual(dry_pct) or dry_pct == 0:
        return None
    low, high = asked.usual
    said = f"{material}: {plain(dry_pct)} % of the dry mass; {usual_text(low or None, high, '%')}"
    return Question("unusual", f"{said} for {'a deflocculant' if deflocculant else 'an addition'}.", field=asked.name)
