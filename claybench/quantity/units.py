"""The units people write, by every name they write them, and the exact factors between them.

The common ones are a table (held against pint and NIST SP 811 in the tests), so that typing never waits for
a unit library; any other unit, as of a fact or a formula, goes to pint.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

from claybench.errors import BadInput


@dataclass(frozen=True, slots=True)
class KnownUnit:
    """One unit: its sign on the screen, its dimension, its size in the dimension's base unit."""

    sign: str
    dimension: str
    size: float
    names: tuple[str, ...]
    pint: str
    offset: float = 0.0


def _known(sign: str, dimension: str, size: float, names: str, pint: str, offset: float = 0.0) -> KnownUnit:
    return KnownUnit(sign, dimension, size, (sign, *names.split("|")), pint, offset)


_UNITS = (
    _known("g", "mass", 1.0, "gr|gm|gms|gram|grams|gramme|grammes", "g"),
    _known("kg", "mass", 1000.0, "kgs|kilo|kilos|kilogram|kilograms", "kg"),
    _known("mg", "mass", 0.001, "milligram|milligrams", "mg"),
    _known("t", "mass", 1e6, "tonne|tonnes", "tonne"),
    _known("lb", "mass", 453.59237, "lbs|pound|pounds|#", "lb"),
    _known("oz", "mass", 28.349523125, "ounce|ounces|ozs", "oz"),
    _known("mm", "length", 1.0, "millimetre|millimetres|millimeter|millimeters", "mm"),
    _known("cm", "length", 10.0, "centimetre|centimetres|centimeter|centimeters", "cm"),
    _known("m", "length", 1000.0, "metre|metres|meter|meters", "m"),
    _known("in", "length", 25.4, "inch|inches|\"|″|”|''", "inch"),
    _known("ft", "length", 304.8, "foot|feet|'|′|’", "foot"),
    _known("mL", "volume", 1.0, "ml|cc|cm3|cm³|millilitre|millilitres|milliliter|milliliters", "mL"),
    _known("L", "volume", 1000.0, "l|ltr|litre|litres|liter|liters|dm3|dm³", "L"),
    _known(
        "imp pint",
        "volume",
        568.26125,
        "imperial pint|imperial pints|uk pint|uk pints|imp pt",
        "imperial_pint",
    ),
    _known("US pint", "volume", 473.176473, "us pint|us pints|us pt|us liquid pint", "pint"),
    _known("imp quart", "volume", 1136.5225, "imperial quart|imperial quarts|uk quart|imp qt", "imperial_quart"),
    _known("US quart", "volume", 946.352946, "us quart|us quarts|us qt", "quart"),
    _known(
        "imp gal",
        "volume",
        4546.09,
        "imperial gallon|imperial gallons|uk gallon|uk gallons|uk gal|imp gallon",
        "imperial_gallon",
    ),
    _known("US gal", "volume", 3785.411784, "us gallon|us gallons", "gallon"),
    _known(
        "imp fl oz",
        "volume",
        28.4130625,
        "imperial fl oz|uk fl oz|imperial fluid ounce",
        "imperial_fluid_ounce",
    ),
    _known("US fl oz", "volume", 29.5735295625, "us fl oz|us fluid ounce|us fluid ounces", "fluid_ounce"),
    _known("cm²", "area", 1.0, "cm2|cm^2|cm**2|sq cm|square cm", "cm**2"),
    _known("m²", "area", 1e4, "m2|m^2|m**2|sq m", "m**2"),
    _known("mm²", "area", 0.01, "mm2|mm^2|mm**2|sq mm", "mm**2"),
    _known("in²", "area", 6.4516, "in2|in^2|in**2|sq in|square inch|square inches", "inch**2"),
    _known("ft²", "area", 929.0304, "ft2|ft^2|ft**2|sq ft|square feet|square foot", "foot**2"),
    _known("min", "time", 1.0, "mins|minute|minutes|'min", "minute"),
    _known("s", "time", 1 / 60, "sec|secs|second|seconds", "second"),
    _known("h", "time", 60.0, "hr|hrs|hour|hours", "hour"),
    _known("d", "time", 1440.0, "day|days", "day"),
    _known("°C", "temperature", 1.0, "degc|deg c|c|celsius|ºc|° c", "degC"),
    _known("°F", "temperature", 5 / 9, "degf|deg f|f|fahrenheit|ºf|° f", "degF", -160 / 9),
    _known("m/s", "speed", 1.0, "mps|metres per second", "m/s"),
    _known("km/h", "speed", 1 / 3.6, "kmh|kph", "km/hour"),
    _known("mph", "speed", 0.44704, "mi/h", "mile/hour"),
    _known("ft/min", "speed", 0.00508, "fpm", "foot/minute"),
    _known("N", "force", 1.0, "newton|newtons", "newton"),
    _known("kN", "force", 1000.0, "kilonewton|kilonewtons", "kilonewton"),
    _known("kgf", "force", 9.80665, "kp|kilogram force|kilograms force", "kilogram_force"),
    _known("lbf", "force", 4.4482216152605, "pound force|pounds force", "pound_force"),
    _known("MPa", "pressure", 1.0, "mpa|N/mm2|N/mm²|megapascal|megapascals", "megapascal"),
    _known("kPa", "pressure", 0.001, "kpa|kilopascal|kilopascals", "kilopascal"),
    _known("psi", "pressure", 0.00689475729316836, "lb/in2|lb/in²|lbf/in2", "psi"),
    _known("%", "share", 1.0, "percent|per cent|pct|% rh|%rh", "percent"),
    _known("g/mL", "density", 1.0, "g/ml|g/cm3|g/cm³|g/cc|kg/l|kg/dm3|g/cm^3", "g/mL"),
    _known("g/L", "density", 0.001, "g/l|kg/m3|kg/m³|kg/m^3", "g/L"),
    _known("lb/ft³", "density", 0.016018463373960142, "lb/ft3|pcf", "lb/foot**3"),
    _known("1/kg", "price", 1.0, "per kg|/kg|kg^-1", "1/kg"),
    _known("1/lb", "price", 2.2046226218487757, "per lb|/lb", "1/lb"),
)
_MEASURES = {
    **dict.fromkeys(("pint", "pints", "pt", "liquid pint", "liquid pints"), "pint"),
    **dict.fromkeys(("quart", "quarts", "qt", "qts", "liquid quart"), "quart"),
    **dict.fromkeys(("gallon", "gallons", "gal", "gals"), "gal"),
    **dict.fromkeys(("fl oz", "floz", "fluid ounce", "fluid ounces", "fluid oz", "fl ounce", "fl ounces"), "fl oz"),
}
_COUNTRIES = {"us": "US", "usa": "US", "american": "US", "uk": "imp", "imp": "imp", "imperial": "imp", "british": "imp"}
_TWO_THINGS = {
    **dict.fromkeys(("ton", "tons"), ("1016.05 or 907.18 kg, or a tonne of 1000 kg", "kg, lb, or t for a tonne")),
    **dict.fromkeys(("°", "º", "deg", "degs", "degree", "degrees"), ("°C or °F", "°C or °F")),
}
_CASED = {name: known for known in _UNITS for name in (known.sign, *known.names)}
_FOLDED = {name.lower(): known for known in reversed(_UNITS) for name in known.names}
_SIGNS = {known.sign: known for known in _UNITS}
_PLAIN = {"": "1", "1": "1", "-": "1", "dimensionless": "1"}


def find_unit(text: str) -> KnownUnit | None:
    """The unit of the table that a name stands for; BadInput for one that means two things."""
    name = " ".join(text.replace("\u00a0", " ").split()).rstrip(".")
    folded = name.lower()
    return _CASED.get(name) or _FOLDED.get(folded) or _of_a_country(text)


def refuse_doubtful(name: str) -> None:
    """Refuse a unit that a person may have typed for two things, though in a formula it stands for one."""
    if name == "Mg":
        raise BadInput("'Mg' means two things: milligrams or megagrams.", "Write mg or t.")
    if name.lower() in _TWO_THINGS:
        meant, remedy = _TWO_THINGS[name.lower()]
        raise BadInput(f"'{name}' means more than one thing: {meant}.", f"Write {remedy}.")


def _of_a_country(text: str) -> KnownUnit | None:
    """Pints, quarts, gallons and fluid ounces, the country before or after them; refused without one."""
    words = re.sub(r"[().]", "", text.lower()).split()
    measure = _MEASURES.get(" ".join(word for word in words if word not in _COUNTRIES))
    if measure is None:
        return None
    countries = {_COUNTRIES[word] for word in words if word in _COUNTRIES}
    if len(countries) == 1:
        return _SIGNS[f"{countries.pop()} {measure}"]
    first, second = _SIGNS[f"imp {measure}"], _SIGNS[f"US {measure}"]
    raise BadInput(
        f"'{text.strip()}' means two things: {first.size:.1f} or {second.size:.1f} mL.",
        f"Write {first.sign} or {second.sign}.",
    )


def canonical_unit(text: str) -> str:
    """Canonical name of a unit; "1" for none.

    >>> canonical_unit("degC"), canonical_unit("cm**2"), canonical_unit("g/cm3"), canonical_unit("mm/min**0.5")
    ('°C', 'cm²', 'g/mL', 'mm/min**0.5')
    """
    if text.strip() in _PLAIN:
        return "1"
    known = find_unit(text)
    if known is not None:
        return known.sign
    _by_pint(text)
    return text.strip()


def convert_unit(value: float, from_: str, to: str) -> float:
    """A value in another unit of the same kind.

    >>> convert_unit(25, "lb", "g"), convert_unit(68, "°F", "°C")
    (11339.80925, 20.0)
    """
    if from_ == to or canonical_unit(from_) == canonical_unit(to):
        return value
    first, second = find_unit(from_), find_unit(to)
    if first is None or second is None:
        return _convert_by_pint(value, from_, to)
    if first.dimension != second.dimension:
        raise BadInput(f"{first.sign} cannot be turned into {second.sign}.")
    base = value * first.size + first.offset
    converted = (base - second.offset) / second.size
    return round(converted, 12) if first.dimension == "temperature" else converted


def units_for(want: str) -> tuple[str, ...]:
    """Units in which such a quantity may be typed.

    >>> units_for("g")
    ('g', 'kg', 'mg', 't', 'lb', 'oz')
    """
    known = find_unit(want)
    return tuple(each.sign for each in _UNITS if known is not None and each.dimension == known.dimension)


def near_units(text: str, want: str) -> tuple[str, ...]:
    """Units of the wanted kind whose names are like a mistyped one."""
    if len(text) < 3:
        return ()  # one or two letters are like anything
    dimension = known.dimension if (known := find_unit(want)) is not None else ""
    names = {name.lower(): each.sign for each in _UNITS if each.dimension == dimension for name in each.names}
    names_near = difflib.get_close_matches(text.lower(), names, n=2, cutoff=0.65)
    return tuple(dict.fromkeys(names[name] for name in names_near))


@lru_cache(maxsize=1)
def _registry() -> Any:
    import pint

    registry: Any = pint.UnitRegistry()
    registry.define("percent = 0.01 = %")
    return registry


_NAMED = re.compile(r"[^\W\d]+|%|°[A-Za-z]?|1")
_COMPOSED = re.compile(
    rf"""(?:\(|\s)*(?:{_NAMED.pattern})
    (?:(?:\^|\*\*)\s*(?:-?\d{{1,2}}(?:\.\d{{1,4}})?|\(-?\d{{1,2}}(?:[./]\d{{1,4}})?\)))?(?:\)|\s)*
    (?:[*/·](?=.)|(?<=\s)(?=.)|$)""".replace("\n    ", "")
)


def _is_composed(text: str) -> bool:
    """Whether it is units, small powers, products and quotients: whatever else it may be, no library computes it."""
    place = 0
    while place < len(text):
        match = _COMPOSED.match(text, place)
        if match is None or match.end() == place:
            return False
        place = match.end()
    return text.count("(") == text.count(")")


@lru_cache(maxsize=512)
def _by_pint(text: str) -> Any:
    plain = text.replace("²", "**2").replace("³", "**3").replace("^", "**").strip()
    for known in _UNITS:
        if plain == known.sign:
            plain = known.pint
    refused = BadInput(f"'{text[:40]}' is not a unit.", "Write one such as g, kg, lb, mm, in, mL or °C.")
    if len(text) > 40 or not _is_composed(plain):
        raise refused
    import tokenize

    try:
        return _registry().parse_units(plain)
    except (AttributeError, ValueError, TypeError, KeyError, SyntaxError, ArithmeticError, AssertionError) as error:
        raise refused from error
    except tokenize.TokenError as error:
        raise refused from error


_BASES = {"meter": "m", "kilogram": "kg", "second": "s", "kelvin": "K", "ampere": "A", "candela": "cd", "mole": "mol"}


def base_units(name: str) -> tuple[float, dict[str, Fraction]]:
    """How many of its base units one of a unit is, and their powers; temperatures are differences.

    >>> size, powers = base_units("g/mL")
    >>> round(size, 9), {base: int(power) for base, power in powers.items()}
    (1000.0, {'kg': 1, 'm': -3})
    """
    if name == "1":
        return 1.0, {}
    known = find_unit(name)
    if known is not None and known.dimension == "temperature":
        return known.size, {"K": Fraction(1)}
    one = _registry().Quantity(1.0, _by_pint(known.pint if known is not None else name)).to_base_units()
    powers = {
        _BASES.get(base, base): Fraction(power).limit_denominator(100) for base, power in one.units._units.items()
    }
    powers.pop("radian", None)  # an angle is a plain number
    return float(one.magnitude), powers


def _convert_by_pint(value: float, from_: str, to: str) -> float:
    registry = _registry()
    start, end = _by_pint(from_), _by_pint(to)
    if start.dimensionality != end.dimensionality:
        raise BadInput(f"{from_} cannot be turned into {to}.")
    converted = float(registry.Quantity(value, start).to(end).magnitude)
    if not math.isfinite(converted):
        raise BadInput(f"{value:g} {from_} is too large a number.")
    return converted
