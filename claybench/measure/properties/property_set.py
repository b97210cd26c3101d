"""Properties together: formulas with those they name put in, and values, reasons and columns from readings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from claybench.errors import BadInput, OutOfRange
from claybench.facts.reason import Reason
from claybench.later import Bools, Floats, np
from claybench.measure.properties.declaration import EXACT, OF_PIECES, Input, Property
from claybench.measure.properties.expression import Name, Node, array_of_values, names_in, parse, put_in, value, written
from claybench.measure.properties.near_ends import settle_at_ends
from claybench.measure.shared_rounding import rounding_variance_each
from claybench.quantity.shown import capitalize_first


@dataclass(frozen=True, slots=True)
class Variant:
    """A formula that is ready for values: of its readings alone, with those of other properties put in."""

    way: str | None
    """The way it stands for; None where a column of the record says it, or there is one way only."""
    tree: Node
    positive: tuple[Node, ...]
    """What has to be more than nothing for there to be a value."""
    inputs: tuple[Input, ...]

    def is_read_in(self, columns: Mapping[str, Floats]) -> bool:
        """Whether the columns hold all that is read for it; what is made of constants alone is read off nothing."""
        read = [each.name for each in self.inputs if each.constant is None]
        return bool(read) and all(name in columns for name in read)


class PropertySet(Mapping[str, Property]):
    """Properties by name, in the order in which they are shown; formulas are parsed once, when they are first used."""

    def __init__(self, declared: Iterable[Property]) -> None:
        self._declared = {each.name: each for each in declared}
        self._variants: dict[str, tuple[Variant, ...]] = {}

    def __getitem__(self, name: str) -> Property:
        return self._declared[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._declared)

    def __len__(self) -> int:
        return len(self._declared)

    def __eq__(self, other: object) -> bool:
        return self is other

    def __hash__(self) -> int:  # a set never changes, so that it may be a default
        return id(self)

    @cached_property
    def compared(self) -> tuple[str, ...]:
        """Names of what pieces are compared by."""
        return tuple(name for name in self.targets if self[name].formulas and self[name].of in OF_PIECES)

    @cached_property
    def targets(self) -> tuple[str, ...]:
        """Names of what a plan may aim at."""
        bodies = (*OF_PIECES, "body")
        return tuple(name for name, each in self.items() if each.compared and each.kind != "word" and each.of in bodies)

    @cached_property
    def independent(self) -> tuple[str, ...]:
        """Names of what is compared and does not follow from the others."""
        return tuple(name for name in self.compared if not self[name].follows)

    @property
    def leading(self) -> str:
        """The name that stands first where there is room for one."""
        return self.leading_names(1)[0]

    def get_compared(self, name: str) -> Property:
        """One property that bodies are compared by.

        Raises
        ------
        BadInput
            There is none of that name.
        """
        if name not in self.compared:
            raise BadInput(f"'{name}' is not a property.", f"Choose one of {', '.join(self.compared)}.")
        return self[name]

    @cached_property
    def aliases(self) -> dict[str, str]:
        """Names by what they are called besides."""
        return {alias: name for name, each in self.items() for alias in each.aliases}

    @cached_property
    def by_readings(self) -> tuple[str, ...]:
        """Names of what follows from readings."""
        return tuple(name for name, each in self.items() if each.formulas)

    def first(self, count: int, *, among: Iterable[str] | None = None) -> tuple[str, ...]:
        """So many of the names that come first where there is room for a few, in the order of the set."""
        names = tuple(self.compared if among is None else among)
        ranked = sorted(names, key=lambda name: self[name].rank)[:count]
        return tuple(name for name in names if name in ranked)

    def leading_names(self, count: int) -> tuple[str, ...]:
        """So many of the names that come first, the foremost first."""
        return tuple(sorted(self.compared, key=lambda name: self[name].rank)[:count])

    def variants(self, name: str) -> tuple[Variant, ...]:
        """The formulas of a property, ready for values.

        Raises
        ------
        BadInput
            A formula that cannot be parsed, or that rests on itself.
        """
        if name not in self._variants:
            own = self[name]
            self._variants[name] = tuple(self._variant(own, way, text) for way, text in own.formulas)
        return self._variants[name]

    def _variant(self, own: Property, way: str | None, text: str) -> Variant:
        inputs: dict[str, Input] = {}
        tree = self._resolved(own, parse(text) if own.formula or own.by_way else Name(own.name), inputs, ())
        more = tuple(self._resolved(own, parse(each), {}, ()) for each in own.positive)
        used = names_in(tree)
        kept = tuple(each for each in more if set(names_in(each)) <= set(used))
        return Variant(way, tree, kept, tuple(inputs[each] for each in used))

    def _resolved(self, own: Property, tree: Node, inputs: dict[str, Input], above: tuple[str, ...]) -> Node:
        """The formula with those of the properties that it names put in; what is left is read."""
        if own.name in above:
            raise BadInput(f"'{own.name}' rests on itself.", "Name readings in its formula.", field="formula")
        given = {each.name: each for each in own.reads}
        names: dict[str, Node] = {}
        for name in names_in(tree):
            other = self._declared.get(name)
            if other is not None and other.formula:
                names[name] = self._resolved(other, parse(other.formula), inputs, (*above, own.name))
            elif name in given:
                inputs.setdefault(name, given[name])
            else:
                known = ", ".join(given) or "none is declared"
                raise BadInput(f"'{name}' is not among the inputs ({known}).", "Declare it as one.", field="formula")
        return put_in(tree, names)

    # -- values ------------------------------------------------------------------------------------

    def value_of(self, name: str, readings: Mapping[str, float | None]) -> tuple[float, str | None] | None:
        """One property of one piece, and the way that its readings tell; None while a reading is missing or it cannot
        be.

        `readings` are by the names of inputs, in their units.
        """
        found = self._worked_out(name, readings)
        return found if found is not None and self[name].is_possible(found[0]) else None

    def impossible_value(self, name: str, readings: Mapping[str, float | None]) -> float | None:
        """What the readings of a property come to where that cannot be; None where it can, or a reading is missing."""
        found = self._worked_out(name, readings)
        return None if found is None or self[name].is_possible(found[0]) else found[0]

    def _worked_out(self, name: str, readings: Mapping[str, float | None]) -> tuple[float, str | None] | None:
        for variant in self.variants(name):
            given = _usable(variant, readings)
            if given is None:
                continue
            own = self[name]
            try:
                if all(value(each, given) > 0 for each in variant.positive):
                    return self._settled(own, variant, given, value(variant.tree, given)), variant.way
            except OutOfRange:
                pass
            return None  # the first formula whose readings are all there is the one that counts
        return None

    def _settled(self, own: Property, variant: Variant, given: Mapping[str, float], result: float) -> float:
        """A value without the noise of arithmetic, on the end where it passes it by the steps of its readings only."""
        rounded = own.rounded(result)
        if own.is_possible(rounded):
            return rounded
        columns = {name: np.array([each]) for name, each in given.items()}
        return float(settle_at_ends(np.array([rounded]), variant.tree, columns, variant.inputs, own.ends)[0])

    def is_below_nothing(self, name: str, readings: Mapping[str, float | None]) -> bool:
        """Whether what has to be more than nothing is not, though every reading is there."""
        for variant in self.variants(name):
            given = _usable(variant, readings)
            if given is not None:
                return not all(value(each, given) > 0 for each in variant.positive)
        return False

    def values_of(self, readings: Mapping[str, float | None]) -> dict[str, float]:
        """Every property whose readings are there."""
        values = {name: self.value_of(name, readings) for name in self.by_readings}
        return {name: each[0] for name, each in values.items() if each is not None}

    def arrays_of(self, name: str, columns: Mapping[str, Floats]) -> Iterator[tuple[str | None, Floats]]:
        """One property for every row of columns, by each of its formulas whose columns are there: its way and the
        values, NaN where `value_of` gives none."""
        own, told = self[name], None
        for variant in self.variants(name):
            if not variant.is_read_in(columns):
                continue
            given = {each.name: _column(each, columns) for each in variant.inputs}
            values = array_of_values(variant.tree, given).round(own.digits + EXACT)
            for each in variant.positive:
                values = np.where(array_of_values(each, given) > 0, values, math.nan)
            there = np.all([~np.isnan(column) for column in np.broadcast_arrays(*given.values())], axis=0)
            values = settle_at_ends(values, variant.tree, given, variant.inputs, own.ends)
            values = possible_values(values, own.low, own.high)
            yield variant.way, values if told is None else np.where(told, math.nan, values)
            told = there if told is None else told | there

    def trees_of(self, name: str, columns: Mapping[str, Floats]) -> Iterator[tuple[Floats, Bools]]:
        """What each formula of a property comes to for every row of columns, as it is worked out, and whether all is
        more than nothing that has to be; NaN, and True, where a reading is missing."""
        for variant in self.variants(name):
            if all(each.name in columns or each.constant is not None for each in variant.inputs):
                given = {
                    each.name: columns[each.name] if each.constant is None else np.full(1, each.constant)
                    for each in variant.inputs
                }
                positive = np.ones(1, dtype=bool)
                for each in variant.positive:
                    positive = positive & ~(array_of_values(each, given) <= 0)
                yield array_of_values(variant.tree, given), positive

    def rounding_of(self, name: str, columns: Mapping[str, Floats], steps: Mapping[str, Floats]) -> Iterator[Floats]:
        """Variance that the steps of its readings leave in each value that `arrays_of` gives, formula by formula.

        A reading that moves by its step moves the value by so much; each reading is rounded for itself.
        """
        for variant in self.variants(name):
            if not variant.is_read_in(columns):
                continue
            given = {each.name: _column(each, columns) for each in variant.inputs}
            as_read = array_of_values(variant.tree, given)
            variance = np.zeros(len(as_read))
            for each in variant.inputs:
                if each.constant is None and each.name in steps:
                    moved = array_of_values(variant.tree, given | {each.name: given[each.name] + steps[each.name]})
                    variance += rounding_variance_each(np.nan_to_num(moved - as_read, posinf=0.0, neginf=0.0))
            yield variance

    def reason_of(self, name: str, readings: Mapping[str, float | None]) -> Reason | None:
        """Why a property is what it is: its formula with one piece's readings in it; None where there is no value."""
        own, found = self[name], self.value_of(name, readings)
        if found is None:
            return None
        variant = next(
            each for each in self.variants(name) if each.way == found[1] and _usable(each, readings) is not None
        )
        given = _usable(variant, readings) or {}
        labels = {each.name: each.label or each.name.replace("_", " ") for each in variant.inputs}
        return Reason(
            title=capitalize_first(own.title),
            equation=f"{own.title} = {written(variant.tree, labels)}",
            inputs=tuple((labels[each.name], given[each.name], each.unit) for each in variant.inputs),
            facts=(),
            sources=tuple(filter(None, (own.standard, own.source))),
            result=found[0],
            unit=own.unit,
        )


def _usable(variant: Variant, readings: Mapping[str, float | None]) -> dict[str, float] | None:
    """The readings a formula needs; None where one is missing or cannot be."""
    given = {}
    if all(each.constant is not None for each in variant.inputs):
        return None  # of numbers alone: it tells nothing of any piece
    for each in variant.inputs:
        number = readings.get(each.name) if each.constant is None else each.constant
        if number is None or not each.is_possible(number):
            return None
        given[each.name] = number
    return given


def _column(each: Input, columns: Mapping[str, Floats]) -> Floats:
    if each.constant is not None:
        return np.full(1, each.constant)
    return possible_values(columns[each.name], each.low, each.high)


def possible_values(column: Floats, low: float | None, high: float | None) -> Floats:
    """A column with NaN for what cannot be."""
    if low is None and high is None:
        return column
    least, most = -math.inf if low is None else low, math.inf if high is None else high
    return np.where((column >= least) & (column <= most), column, math.nan)
