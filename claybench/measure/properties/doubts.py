"""What can hardly be among the readings of one piece: asked about, never refused.

The rules are few; what is possible and usual, what a reading is sized by and how a doubt is said stand with the
readings and the properties.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from claybench.later import Bools, Floats, np
from claybench.measure.properties.declaration import Property
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import LEAST, MOST, READINGS, SIZES
from claybench.quantity.plausible import usual_text
from claybench.quantity.shown import show

_SLIP = 5.0
"""Times what a reading is sized by, from which a digit is too many or few; common practice, no source."""
_ROOM = 1e-6
"""Share of a value within which rounding may bring it over a limit."""
Readings = Mapping[str, float | None]


def doubts(
    readings: Readings, properties: PropertySet, values: Mapping[str, float] | None = None
) -> Iterator[tuple[str, str]]:
    """The reading and a sentence for each doubt, the plainest first; `values` are the properties, where they are known.

    >>> from claybench.measure.properties.built_in import BUILT_IN
    >>> list(doubts({"plastic_mm": 100, "dry_mm": 104}, BUILT_IN))
    [('dry_mm', 'It grew in drying, from 100 mm to 104 mm. Is that right?')]
    """
    usable = {}
    for name, value in readings.items():
        if name not in READINGS:  # one of a piece's soaks under another name
            continue
        if value is not None and LEAST <= value <= MOST:
            usable[name] = value
        elif value is not None:
            yield name, f"{show(value, READINGS[name].column.unit)} cannot be measured. What was meant?"
    doubted = set()
    for name, text in (*_slips(usable), *_not_positive(usable, properties)):
        doubted.add(name)
        yield name, text
    known = properties.values_of(usable) if values is None else values
    for name in properties.by_readings:
        # one that cannot be counts nowhere, and is asked about all the same
        value = known[name] if name in known else properties.impossible_value(name, usable)
        own = properties[name]
        if value is None or own.is_usual(value) or any(each.worked_out for each in own.reads):
            continue
        asked, read = _asked_about(properties[name])
        # what follows from a reading that is in doubt already says nothing more
        if asked and not read & doubted:
            doubted.add(asked)
            yield asked, value_doubt(properties[name], value, usable)


def may_be_doubted(columns: Mapping[str, Floats], properties: PropertySet) -> Bools:
    """For each row of columns of readings whether `doubts` can have something to say; sizes by name, NaN where none.

    It is False only where there is no doubt: every reading can be measured, none is far from what it is sized by, and
    what follows from them is usual with room for rounding.
    """
    any_doubt = np.zeros(len(next(iter(columns.values()), ())), dtype=bool)
    for name, values in columns.items():
        any_doubt |= (values < LEAST) | (values > MOST)
        for basis in READINGS[name].sized_by:
            before = columns.get(basis)
            if before is not None:
                with np.errstate(all="ignore"):
                    ratio = values / before
                any_doubt |= ~((ratio >= 1 / _SLIP) & (ratio <= _SLIP)) & ~np.isnan(ratio)
                if READINGS[name].loses:
                    any_doubt |= values > before
    for name in properties.by_readings:
        low, high = properties[name].usual_ends
        for values, is_positive in properties.trees_of(name, columns):
            any_doubt |= ~is_positive
            room = _ROOM * np.maximum(np.abs(values), 1)
            any_doubt |= np.zeros_like(any_doubt) if low is None else values < low + room
            any_doubt |= np.zeros_like(any_doubt) if high is None else values > high - room
    return any_doubt


def _asked_about(declared: Property) -> tuple[str, set[str]]:
    """The last of the sizes that a property is made of, or nothing, and all that is read for it."""
    read = {each.name for each in declared.reads}
    return next((each for each in reversed(SIZES) if each in read), ""), read


def _not_positive(readings: Mapping[str, float], properties: PropertySet) -> Iterator[tuple[str, str]]:
    """What has to be more than nothing and is not."""
    for name, declared in properties.items():
        if declared.if_not_positive and properties.is_below_nothing(name, readings):
            yield _asked_about(declared)[0], _said(declared.if_not_positive, readings, "")


def _slips(readings: Mapping[str, float]) -> Iterator[tuple[str, str]]:
    """Readings that are far from those they are sized by, or heavier where something was lost on the way."""
    for name, after in readings.items():
        reading = READINGS[name]
        for basis in reading.sized_by:
            before, word = readings.get(basis), READINGS[basis].word
            if before is None:
                continue
            far = not 1 / _SLIP <= after / before <= _SLIP
            if not far and not (reading.loses and after > before):
                continue
            pair = f"{show(after, reading.column.unit)} after {show(before, reading.column.unit)}"
            if far:
                yield name, f"{pair} {word}: a digit too many or few, or another unit?"
            else:
                yield name, f"Heavier than {word}: {pair}. Is that right?"


def value_doubt(declared: Property, value: float, readings: Mapping[str, float | None]) -> str:
    """A sentence where a property would lie outside what is usual; empty where it would not."""
    if declared.is_usual(value):
        return ""
    low, high = declared.usual_ends
    if low is not None and value < low and declared.if_low:
        return _said(declared.if_low, readings, show(value, declared.sign, figures=2))
    if high is not None and value > high and declared.if_high:
        return _said(declared.if_high, readings, show(value, declared.sign, figures=2))
    shown = show(value, declared.sign, digits=declared.digits)
    return f"Its {declared.title} would be {shown}; {usual_text(low, high, declared.sign)}. Is that right?"


def _said(sentence: str, readings: Mapping[str, float | None], value: str) -> str:
    given = {
        name: show(each, READINGS[name].column.unit) for name, each in readings.items() if name in READINGS and each
    }
    return sentence.format(value=value, **given) + ". Is that right?"
