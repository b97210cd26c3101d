"""Understanding a question as it is typed: `family buff, cone 6, absorption under 2, total shrinkage 11 to 13`."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime

from claybench import clock, quantity
from claybench.errors import BadInput
from claybench.insight.bodies.comparison.firing_heat import cone_text
from claybench.insight.bodies.query.query import TEXTS, BodyQuery, NumberRange, number_label, number_names
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import plain
from claybench.terms.naming import Names

EXAMPLE = "family buff, cone 6, absorption under 2, total shrinkage 11 to 13, since March"
_FIELD = "question"

_FIRST_WORDS = ("family", "cone", "firing", "contains", "without", "since", "until", "control", "set", "sort")
_NUMBER = r"[^\s%]+?"
_UNIT = r"\s*(?:%|percent|per cent|g/cm3|g/cm³|per kg)?"
_BETWEEN = re.compile(
    rf"(?:between |from )?({_NUMBER}){_UNIT}\s*(?:to|and|–|-|\.\.)\s*({_NUMBER}){_UNIT}", re.IGNORECASE
)
_ONE = re.compile(
    rf"(under|below|less than|fewer than|<=|≤|<|at most|up to|over|above|more than|>=|≥|>|at least|from)"
    rf"\s*({_NUMBER}){_UNIT}(?: or (less|fewer|more))?",
    re.IGNORECASE,
)
_BELOW = ("under", "below", "less than", "fewer than", "<")
_AT_MOST = ("<=", "≤", "at most", "up to")
_ABOVE = ("over", "above", "more than", ">")

_HIDE = {ord(mark): chr(0xE000 + place) for place, mark in enumerate(",; ")}
"""Marks that part what is typed, hidden where a name stands in quotes."""
_SHOW = {ord(hidden): chr(mark) for mark, hidden in _HIDE.items()}


@dataclass(frozen=True, slots=True)
class LabNames:
    """The names a lab knows, so that a slip of the finger is caught before it answers nothing."""

    families: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    firings: tuple[str, ...] = ()
    cones: tuple[str, ...] = ()
    test_sets: tuple[str, ...] = ()
    properties: PropertySet = BUILT_IN

    def numbers(self) -> dict[str, str]:
        """What can be asked with a number by what it is called, folded; the longest first."""
        own = self.properties
        called = {number_label(name, own).casefold(): name for name in number_names(own)} | own.aliases
        called |= {name.casefold(): name for name in own.compared if own[name].own}
        return dict(sorted(called.items(), key=lambda pair: -len(pair[0])))


def parse_query(text: str, known: LabNames, now: datetime) -> BodyQuery:
    """A question typed in one line, its parts between commas; a name that holds one stands in quotes.

    >>> lab, noon = LabNames(families=("buff",), cones=("6",)), datetime.fromisoformat("2026-06-12T12:00+00:00")
    >>> asked = parse_query("family buff, cone 6, absorption under 2,5, since March", lab, noon)
    >>> asked.families, asked.cone, asked.numbers[0][1].high, asked.since
    (('buff',), '6', 2.5, datetime.date(2026, 3, 1))
    """
    question = BodyQuery(properties=known.properties)
    line = re.sub(r'"([^"]*)"', lambda quoted: quoted.group(1).translate(_HIDE), text)
    for part in re.split(r"[;\n]|,(?!\d)", line):
        clause = " ".join(part.split())
        if clause:
            question = _with_clause(question, clause, known, now)
    if question.since and question.until and question.since > question.until:
        raise _wrong("It begins after it ends.", "Put the earlier day behind since.")
    return question


def parse_range(text: str) -> NumberRange:
    """What has to hold of a number.

    >>> parse_range("11–13 %").text(), parse_range("< 2").text(), parse_range("at least 3").text()
    ('11 to 13', 'under 2', 'at least 3')
    """
    typed = text.strip()
    both = _BETWEEN.fullmatch(typed)
    if both:
        low, high = (_number(end) for end in both.groups())
        if low > high:
            raise _wrong(f"From {plain(low)} to {plain(high)} is nothing.", f"Write {plain(high)} to {plain(low)}.")
        return NumberRange(low, high)
    one = _ONE.fullmatch(typed)
    if one is None:
        raise _wrong(f"'{typed}' is no limit.", "Write under 2, at least 3, or 11 to 13.")
    word, value = one.group(1).lower(), _number(one.group(2))
    if word in _BELOW:
        return NumberRange(high=value, below=True)
    if word in _AT_MOST:
        return NumberRange(high=value)
    return NumberRange(low=value, above=word in _ABOVE)


def _with_clause(question: BodyQuery, clause: str, known: LabNames, now: datetime) -> BodyQuery:
    numbers = known.numbers()
    called = next((each for each in numbers if re.match(rf"{re.escape(each)}(?![a-z_])", clause, re.I)), "")
    limit = _without_unit(clause[len(called) :].strip(), numbers[called], known.properties) if called else ""
    is_number = any(pattern.fullmatch(limit) for pattern in (_BETWEEN, _ONE))
    match = next(((read, match) for pattern, read in _CLAUSES if (match := pattern.fullmatch(clause))), None)
    if match is not None and not is_number:
        return match[0](question, match[1], known, now)
    if not called:
        raise _not_understood(clause, known)
    if not limit:
        raise _wrong(f"{clause}: how much?", f"Write {clause} under 2, or {clause} 11 to 13.")
    if numbers[called] in dict(question.numbers):
        label = number_label(numbers[called], known.properties)
        raise _wrong(f"{label} stands twice.", "Write both ends in one: 11 to 13.")
    try:
        wanted = parse_range(limit)
    except BadInput as error:
        raise _wrong(f"{called}: {error.reason}", error.remedy) from error
    return replace(question, numbers=(*question.numbers, (numbers[called], wanted)))


def _without_unit(limit: str, name: str, properties: PropertySet) -> str:
    """A limit without the unit that a lab's own property is declared in."""
    if name not in properties or not properties[name].own or not properties[name].sign:
        return limit
    units = "|".join(map(re.escape, (properties[name].unit, properties[name].sign)))
    return re.sub(rf"(?<=\d)\s*(?:{units})(?!\w)", "", limit, flags=re.I)


def _family(question: BodyQuery, match: re.Match[str], known: LabNames, _now: datetime) -> BodyQuery:
    chosen = _several(next(filter(None, match.groups())), " or ", known.families, "family", "families")
    return replace(question, families=tuple(dict.fromkeys((*question.families, *chosen))))


def _cone(question: BodyQuery, match: re.Match[str], known: LabNames, _now: datetime) -> BodyQuery:
    _refuse_second(question.cone is not None or question.firing is not None or question.before_firing, "A firing")
    return replace(question, cone=_known_name(cone_text(match.group(1)), known.cones, "firing to cone", "cones"))


def _firing(question: BodyQuery, match: re.Match[str], known: LabNames, _now: datetime) -> BodyQuery:
    _refuse_second(question.cone is not None or question.firing is not None or question.before_firing, "A firing")
    return replace(question, firing=_known_name(match.group(1), known.firings, "firing", "firings"))


def _before(question: BodyQuery, _found: re.Match[str], _known: LabNames, _now: datetime) -> BodyQuery:
    _refuse_second(question.cone is not None or question.firing is not None, "A firing")
    return replace(question, before_firing=True)


def _materials(text: str, known: LabNames) -> tuple[str, ...]:
    return _several(text, " and ", known.materials, "material", "materials")


def _several(text: str, between: str, names: tuple[str, ...], noun: str, nouns: str) -> tuple[str, ...]:
    """One name, or several; a name that holds the word between them is one all the same."""
    if text.translate(_SHOW).casefold() in {name.casefold() for name in names}:
        return (_known_name(text, names, noun, nouns),)
    return tuple(_known_name(each.strip(), names, noun, nouns) for each in re.split(between, text, flags=re.IGNORECASE))


def _contains(question: BodyQuery, match: re.Match[str], known: LabNames, _now: datetime) -> BodyQuery:
    return replace(question, contains=(*question.contains, *_materials(match.group(1), known)))


def _without(question: BodyQuery, match: re.Match[str], known: LabNames, _now: datetime) -> BodyQuery:
    return replace(question, without=(*question.without, *_materials(match.group(1), known)))


def _test_set(question: BodyQuery, match: re.Match[str], known: LabNames, _now: datetime) -> BodyQuery:
    return replace(question, test_set=_known_name(match.group(1), known.test_sets, "test set", "test sets"))


def _control(question: BodyQuery, _found: re.Match[str], _known: LabNames, _now: datetime) -> BodyQuery:
    return replace(question, control=True)


def _since(question: BodyQuery, match: re.Match[str], _known: LabNames, now: datetime) -> BodyQuery:
    _refuse_second(question.since is not None, "since")
    return replace(question, since=_period(match.group(1), now)[0])


def _until(question: BodyQuery, match: re.Match[str], _known: LabNames, now: datetime) -> BodyQuery:
    _refuse_second(question.until is not None, "until")
    return replace(question, until=_period(match.group(1), now)[1])


def _sort(question: BodyQuery, match: re.Match[str], known: LabNames, _now: datetime) -> BodyQuery:
    name = match.group(1).casefold()
    by = known.numbers().get(name, name if name in TEXTS else None)
    if by is None:
        labels = [number_label(each, known.properties) for each in number_names(known.properties)]
        raise _wrong(f"Nothing is sorted by '{match.group(1)}'.", f"Sort by {', '.join([*TEXTS, *labels])}.")
    word = (match.group(2) or "").casefold()
    return replace(question, sort_by=by, falling=word in ("falling", "descending", "down"))


_Read = Callable[[BodyQuery, re.Match[str], LabNames, datetime], BodyQuery]
_CLAUSES: tuple[tuple[re.Pattern[str], _Read], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), read)
    for pattern, read in (
        (r"famil(?:y|ies) (.+)|(.+) family", _family),
        (r"cone (.+)", _cone),
        (r"before firing|unfired", _before),
        (r"firing (?!shrinkage\b)(.+)", _firing),
        (r"(?:contains|containing|contain|with|has) (.+)", _contains),
        (r"(?:without|no) (.+)", _without),
        (r"(?:test )?set (.+)", _test_set),
        (r"controls?(?: only| bodies)?", _control),
        (r"(?:made )?(?:since|after) (.+)", _since),
        (r"(?:made )?(?:until|before) (.+)", _until),
        (r"(?:sort(?:ed)? )?by (.+?)(?: (rising|ascending|up|falling|descending|down))?", _sort),
    )
)


def _period(text: str, now: datetime) -> tuple[date, date]:
    """The first and the last day of a day, a month or a year."""
    try:
        return clock.parse_period(text, now)
    except BadInput as error:
        raise _wrong(error.reason, "Write March, 12 Mar, 2026 or 2026-03-12.") from error


def _number(text: str) -> float:
    try:
        return quantity.parse_number(text)
    except BadInput as error:
        raise _wrong(error.reason, "Write a number such as 2 or 2.5.") from error


def _known_name(name: str, names: Iterable[str], noun: str, nouns: str) -> str:
    name = name.translate(_SHOW)
    lab_names = Names(noun, tuple(names))
    if spelt := lab_names.spelt(name):
        return spelt
    if near := lab_names.close(name, 1):
        raise _wrong(f"There is no {noun} '{name}'.", f"Did you mean {near[0]}?")
    if not lab_names.held:
        raise _wrong(f"There is no {noun} '{name}'; this lab has no {nouns} yet.")
    some = list(lab_names)
    more = f" and {len(some) - 8} more" if len(some) > 8 else ""
    raise _wrong(f"There is no {noun} '{name}'.", f"The lab's {nouns}: {', '.join(some[:8])}{more}.")


def _refuse_second(there: bool, what: str) -> None:
    if there:
        raise _wrong(f"{what} stands twice.", "Leave one out.")


def _not_understood(clause: str, known: LabNames) -> BadInput:
    first = clause.split(maxsplit=1)[0].casefold()
    words = {*known.numbers(), *_FIRST_WORDS}
    near = difflib.get_close_matches(first, sorted(words), n=1, cutoff=0.7)
    remedy = f"Did you mean {near[0]}?" if near else f"Write for example: {EXAMPLE}."
    return _wrong(f"'{clause}' is not understood.", remedy)


def _wrong(reason: str, remedy: str = "") -> BadInput:
    return BadInput(reason, remedy, field=_FIELD)
