"""Which columns of numbers are materials, each with its parts or its mass: by their words, by units, and by whether all
of them come to a hundred or to the total beside them. What nothing tells is asked.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from claybench.exchange.reading.cell_values import bare_number, is_undecided
from claybench.exchange.reading.headings import fold_heading, split_heading, unit_of
from claybench.measure.properties.built_in import BUILT_IN
from claybench.mix.substances import is_named
from claybench.terms import TABLES


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


TOTALS = frozenset({"total", "totals", "sum", "check", "check sum", "total parts", "summe", "total mass", "sum parts"})
"""Headings of columns that say what all come to."""
_NEVER = _words(
    """
    year page price cost rating score stars temp temperature date day month week hour hours minutes humidity rh
    shrinkage absorption loi density gravity moisture porosity strength mor sg currency eur usd gbp formula tested
    """
)
"""Words of headings that no material has, whatever stands beside them; common practice, no source."""
_HARDLY = _words(
    """
    rank cone count mesh sieve bag time min hold ph length width height depth thickness volume code id index ref
    reference row line mean average avg marked tests pieces bars tiles yield loss waste value colour color age batches
    limit weight mass firing peak ramp rate kiln position pos size
    """
)
"""Words of headings that a material has only beside a word of the trade, as talc 325 mesh; common practice, no
source."""
_MORE_MATERIALS = _words(
    """
    ball china cornwall fibre fiber hydroxide oxide spar stone soda tin calcium magnesium strontium cordierite
    andalusite sillimanite schamotte quarz kreide ton argile argilla caolino quarzo
    """
)
"""Words that names of materials are made of, besides those of `substances`; common practice, no source."""
_MAY_BE = _words("water glaze slip")
"""What is weighed as well, and is a material of the recipe only in some tables; common practice, no source."""
_PROPERTIES = {fold_heading(word) for each in BUILT_IN.values() for word in (each.title, each.short, *each.aliases)}
"""What measured properties are called, which stand in such tables as well."""
_SLACK = 0.6
"""How far parts may be off a hundred by rounding; common practice, no source."""
_MOSTLY_SUM = 0.6
"""Share of the rows in which a column has to be the sum of the materials to be their total."""
_MOST = 0.8
"""Share of the rows whose parts have to come out for all columns to be materials."""


@dataclass(frozen=True, slots=True)
class MaterialColumns:
    """Columns of numbers that go to nothing else, by what they are."""

    materials: tuple[int, ...]
    asked: tuple[int, ...]
    """Those that may be one."""
    total: int | None
    """The column that says what all come to."""


def sort_columns(
    headings: Sequence[str],
    columns: Mapping[int, Sequence[str]],
    units: Mapping[int, str],
    unit: str,
    held: Collection[str],
) -> MaterialColumns:
    """What each column of numbers is.

    Parameters
    ----------
    headings
        All headings of the table.
    columns
        The cells of each column that goes to nothing else, by its number.
    units
        Units of columns from a row under the headings.
    unit
        The unit of what is wanted: of a mass, or "1" for parts.
    held
        Folded names of the lab's materials, and of headings that are said to be materials.
    """
    total = next((n for n in columns if fold_heading(split_heading(headings[n])[0]) in TOTALS), None)
    named = {n: _named_unit(headings[n], units.get(n, "")) for n in columns}
    fit = [n for n in columns if n != total and _fits(named[n], unit)]
    sure = [n for n in fit if _is_material(headings[n], held)]
    rest = [n for n in fit if n not in sure and not _never(headings[n])]
    if any(named[n] for n in sure):  # where the others name a unit, a bare number is something else
        rest = [n for n in rest if named[n]]
    if total is None and (sums := [n for n in rest if _is_sum([columns[each] for each in sure], columns[n])]):
        total = sums[0]
        rest.remove(total)
    if rest and _come_out([columns[n] for n in (*sure, *rest)], columns.get(total) if total is not None else None):
        sure, rest = [*sure, *rest], []
    return MaterialColumns(tuple(sorted(sure)), tuple(sorted(rest)), total)


def _named_unit(heading: str, under: str) -> str:
    return split_heading(heading)[1] or under


def _fits(named: str, unit: str) -> bool:
    """Whether a column with this unit may hold parts, or a mass."""
    if not named:
        return True
    given, wanted = unit_of(named), unit_of(unit)
    if given is None:
        return False
    return given.dimension == wanted.dimension if wanted else given.sign == "%" or given.dimension == "mass"


def _is_material(heading: str, held: Collection[str]) -> bool:
    words = set(re.findall(r"[^\W\d_]+", heading.casefold()))
    name = split_heading(heading)[0]
    if " ".join(name.casefold().split()) in held:
        return True
    said = is_named(name, None) or bool(words & _MORE_MATERIALS)
    return said and not words & (_NEVER | _MAY_BE) and fold_heading(name) not in _PROPERTIES


def _never(heading: str) -> bool:
    folded = fold_heading(split_heading(heading)[0])
    words = set(folded.split()) | set(re.findall(r"[^\W\d_]+", split_heading(heading)[0].casefold()))
    return not words or folded in TOTALS | _PROPERTIES | set(TABLES) or bool(words & (_NEVER | _HARDLY))


def _is_sum(columns: Sequence[Sequence[str]], total: Sequence[str]) -> bool:
    """Whether a column is the sum of two others or more, in most rows."""
    right = rows = 0
    for number, text in enumerate(total):
        values = [value for column in columns if (value := plain_number(column[number])) is not None]
        stated = plain_number(text)
        if len(values) > 1 and stated:
            rows += 1
            right += comes_to(sum(values), stated)
    return rows > 1 and right >= _MOSTLY_SUM * rows


def _come_out(columns: Sequence[Sequence[str]], totals: Sequence[str] | None) -> bool:
    """Whether the columns together come to a hundred, or to the total beside them, in most rows."""
    right = rows = 0
    for number in range(len(columns[0])):
        values = [value for column in columns if (value := plain_number(column[number])) is not None]
        if not values:
            continue
        rows += 1
        stated = plain_number(totals[number]) if totals is not None else None
        right += comes_to(sum(values), 100.0 if stated is None else stated)
    return rows > 0 and right >= _MOST * rows


def comes_to(value: float, total: float) -> bool:
    """Whether parts come to a total, rounding apart."""
    return abs(value - total) <= max(_SLACK if total == 100 else 0.005 * abs(total), 0.05)


def plain_number(text: str) -> float | None:
    """A number whatever its decimal mark; None for what is none or can be two."""
    try:
        return None if is_undecided(text) else float(bare_number(text).replace(",", "."))
    except ValueError:
        return None
