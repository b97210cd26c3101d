"""What is read off test pieces: the columns of the record that formulas are made of, and how they come about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from claybench.measure.properties.declaration import Input, Property, Ways
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import unit_sign
from claybench.terms import TABLES, Column, Fired, Piece

LEAST, MOST = 1e-6, 1e9
"""In mm and g: nothing outside is a test piece, and nothing within can overflow a formula."""

DRYING = Ways(
    column="dry_how",
    what="drying",
    words=("oven", "air"),
    long=("oven dry", "air dry"),
    short=("oven", "air"),
)
"""Dried in air and dried in the oven are not the same dry."""
SOAKING = Ways(
    column="soak_method",
    hours="soak_hours",
    what="soaking",
    words=("boil", "vacuum", "soak"),
    long=("boiled (as in ASTM C373)", "by vacuum (as in ISO 10545-3)", "soaked cold (no standard)"),
    short=("boiled", "vacuum", "soaked"),
)
"""Boiling, vacuum and plain soaking do not fill the same pores, nor do two hours what five do."""

BREAKING = Ways(
    what="breaking",
    words=("three_point", "four_point", "three_point_round", "four_point_round"),
    long=("three-point, rectangular", "four-point, rectangular", "three-point, round", "four-point, round"),
    short=("3-point", "4-point", "3-point round", "4-point round"),
)
"""Bars break at their weakest place between the supports: four-point and thick bars come out lower than others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One column that is read off a piece."""

    name: str
    table: str
    """`pieces`, or `fired` for what is read after a firing."""
    ways: Ways | None = None
    usual_way: str = ""
    """The way it has most often come about."""
    guide: str = ""
    """What the standard asks, in one line."""
    guides: Mapping[str, str] = field(default_factory=dict)
    """What the standard asks, by the way it is taken."""
    word: str = ""
    """What the piece was then, or what was read, in a word or two."""
    sized_by: tuple[str, ...] = ()
    """Readings of the same piece that it is held against, the best first."""
    loses: bool = False
    """Whether something is lost on the way from those, so that it is no heavier."""
    usual_share: tuple[float, float] | None = None
    """Share of the plastic reading that is usual, with its spread; common practice, no source."""
    dates: str = ""
    """Column that the first such reading dates."""
    own: Input | None = None
    """For what is no column: the input of a property that it is read for."""
    together: str = ""
    """What readings that belong together share, such as those of one break."""
    aliases: tuple[str, ...] = ()
    """What people put over its column in tables of their own."""

    @property
    def column(self) -> Column:
        """Its column in the dictionary, or what stands for one."""
        if self.own is None:
            return TABLES[self.table][self.name]
        return Column(
            name=self.name,
            kind="number",
            low=self.own.low,
            high=self.own.high,
            label=self.own.label or self.name.replace("_", " "),
            measured_in=self.own.unit,
        )

    @property
    def head(self) -> str:
        """Head of a narrow column.

        >>> READINGS["suspended_g"].head, READINGS["warp_pct"].head, READINGS["colour"].head
        ('hanging g', 'warp %', 'colour')
        """
        return f"{self.word.split()[0] if self.own is None else self.word} {self.unit}".rstrip()

    @property
    def unit(self) -> str:
        """Its unit as it is written; nothing for words."""
        return "" if self.column.unit == "1" else unit_sign(self.column.unit)

    @property
    def after_firing(self) -> bool:
        """Whether it is read after a firing."""
        return self.table == "fired"

    @property
    def chosen_with(self) -> str:
        """What shares its way when one is chosen: the two weighings of a soak; a dry length and a dry mass do not."""
        return self.dates if self.after_firing else self.name

    @property
    def is_number(self) -> bool:
        """Whether it is a number; else words."""
        return self.column.kind == "number"

    @property
    def is_size(self) -> bool:
        """Whether it is a length or a mass, from which properties follow."""
        return self.column.unit in ("mm", "g")

    @property
    def is_ratio(self) -> bool:
        """Whether it may be typed as a gap of a length: '0.4 of 130 mm'."""
        return self.column.unit == "%"

    @property
    def input(self) -> Input:
        """It, as it goes into a formula."""
        return Input(name=self.name, unit=self.column.unit, low=LEAST, high=MOST, label=self.column.label)

    def recorded(self, piece: Piece | None, fired: Fired | None) -> float | str | None:
        """What stands there for a piece, in one firing or before any."""
        row = fired if self.after_firing else piece
        value: float | str | None = getattr(row, self.name, None)
        return value

    def way_taken(self, piece: Piece | None, fired: Fired | None) -> str | None:
        """How it is taken where nobody says: as the record has it of the piece, else in the usual way."""
        row = fired if self.after_firing else piece
        recorded: str | None = getattr(row, self.ways.column, None) if self.ways is not None else None
        return recorded or next(iter(self.way_order), None)

    def guide_for(self, way: str | None) -> str:
        """What the standard asks of it, taken in one way."""
        return self.guides.get(way or "", self.guide)

    @property
    def way_order(self) -> tuple[str, ...]:
        """The ways it may have come about, the usual one first."""
        if self.ways is None:
            return ()
        return tuple(sorted(self.ways.words, key=lambda word: word != self.usual_way))


_ALL = (
    Reading(
        name="plastic_mm", table="pieces", word="plastic", dates="formed_at", aliases=("plastic", "wet length"),
        guide="ASTM C326: between the marks, at once; ten bars or more.",
    ),
    Reading(name="plastic_g", table="pieces", word="plastic", dates="formed_at", aliases=("plastic", "wet mass")),
    Reading(
        name="dry_mm", table="pieces", word="dry", ways=DRYING, usual_way="air", dates="dry_at",
        sized_by=("plastic_mm",), usual_share=(0.94, 0.02),
        aliases=("dry", "dry length"),
        guide="ASTM C326: between the marks, in the order of the plastic lengths.",
    ),
    Reading(
        name="dry_g", table="pieces", word="dry", ways=DRYING, usual_way="oven", dates="dry_at",
        sized_by=("plastic_g",), loses=True, usual_share=(0.80, 0.03),
        aliases=("dry", "dry mass"),
        guides={
            "oven": "110 °C to constant mass: water and loss are of this mass.",
            "air": "air dry: some moisture stays, so water comes out low and loss high.",
        },
    ),
    Reading(
        name="fired_mm", table="fired", word="fired", aliases=("fired", "fired length"),
        sized_by=("dry_mm", "plastic_mm"), usual_share=(0.88, 0.03),
        guide="ASTM C326: between the same marks.",
    ),
    Reading(
        name="fired_g", table="fired", word="fired", aliases=("fired", "fired mass"),
        sized_by=("dry_g", "plastic_g"), loses=True, usual_share=(0.74, 0.04),
    ),
    Reading(
        name="soaked_g", table="fired", word="soaked", ways=SOAKING, usual_way="boil", dates="soaked_at",
        sized_by=("fired_g",),
        aliases=("soaked", "boiled", "boiled mass", "saturated mass", "soaked mass"),
        guides={
            "boil": "ASTM C373: boiled 5 h, left in the water 24 h, wiped; five pieces or more of 50 g.",
            "vacuum": "ISO 10545-3: under vacuum. Not interchangeable with boiling.",
            "soak": "cold water alone, no standard: less gets in than by boiling or vacuum.",
        },
    ),
    Reading(
        name="suspended_g", table="fired", word="hanging in water", ways=SOAKING, usual_way="boil", dates="soaked_at",
        sized_by=("fired_g",),
        aliases=("hanging", "suspended", "mass in water", "submerged", "hanging in water"),
        guides={
            "boil": "ASTM C373: hanging in water, after the soak.",
            "vacuum": "ISO 10545-3: hanging in water, after the vacuum.",
            "soak": "hanging in water, after a cold soak; no standard.",
        },
    ),
    Reading(
        name="warp_pct", table="fired", word="warp",
        guide="ASTM C485: the gap at mid-length, % of the edge. '0.4 of 130 mm' is worked out.",
    ),
    Reading(name="colour", table="fired", word="colour", aliases=("color", "fired colour"), guide="in your own words"),
)  # fmt: skip
READINGS = {each.name: each for each in _ALL}
"""In the order of the work."""
LENGTHS = tuple(each for each in _ALL if each.column.unit == "mm")
"""What is measured between the marks, plastic, dry and fired."""
PLASTIC_LENGTH, DRY_LENGTH, FIRED_LENGTH = LENGTHS
FIRST_READ = (*LENGTHS, READINGS["soaked_g"])
"""What is asked for before the rest."""
STATES = ("plastic", "dry", "fired")
"""What a piece is in turn; the words of its lengths and masses."""
SIZES = tuple(each.name for each in _ALL if each.is_size)
"""The lengths and masses."""
WORDS_READ = tuple(each for each in _ALL if not each.is_number)
"""What is written of a piece in words."""
PIECE_SIZES = tuple(each.name for each in _ALL if each.is_size and not each.after_firing)
STANDARD_SOAKS = {
    "cold_soaked_g": Input(name="cold_soaked_g", unit="g", low=LEAST, high=MOST, label="mass after 24 h in cold water",
                           worked_out=True),
    "boiled_g": Input(name="boiled_g", unit="g", low=LEAST, high=MOST, label="mass after 5 h of boiling",
                      worked_out=True),
}  # fmt: skip
"""Soaked masses by the two soaks of ASTM C67, whichever of a piece's soaks they are."""
FIRED_SIZES = tuple(each.name for each in _ALL if each.is_size and each.after_firing)


def size_in_state(state: str, unit: str) -> Reading:
    """The length (mm) or mass (g) of a piece in one of `STATES`."""
    return next(each for each in _ALL if each.word == state and each.column.unit == unit)


def own_readings(declared: Property, together: str = "") -> dict[str, Reading]:
    """What is read off a piece for one property: its inputs that are no constants, columns among them, or itself.

    Readings of their own names share `together`, where the property takes more than one.
    """
    read = [each for each in declared.reads if each.constant is None and not each.worked_out]
    own = [each for each in read if each.name not in READINGS]
    shared = together if len(own) > 1 else ""
    readings = {}
    for each in read:
        readings[each.name] = READINGS.get(each.name) or Reading(
            name=each.name,
            table="fired" if declared.of == "fired" else "pieces",
            word=each.label or each.name.replace("_", " "),
            own=each,
            together=shared,
            guide=declared.standard or declared.source,
        )
    return readings


def names_read(properties: PropertySet) -> frozenset[str]:
    """Names under which readings are kept that are no column of a piece: inputs of their own, and properties."""
    inputs = {
        each.name
        for name in properties.by_readings
        for variant in properties.variants(name)
        for each in variant.inputs
        if each.constant is None and not each.worked_out
    }
    return frozenset((inputs | set(properties.by_readings)) - READINGS.keys())
