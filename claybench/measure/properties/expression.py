"""The formulas of properties: numbers, names, + − × ÷, powers, brackets, sqrt and ln; parsed, and never run as code.

The screen's signs and a keyboard's are both read: × and *, ÷ and /, − and -, ² and ^2.
"""

from __future__ import annotations

import math
import operator
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from claybench.errors import BadInput, OutOfRange
from claybench.later import Floats, np
from claybench.quantity.dimensions import NUMBER, Dimension
from claybench.quantity.shown import plain

LONGEST = 400
"""Characters of a formula."""
DEEPEST = 30
"""Brackets within brackets."""

_TOKEN = re.compile(
    r"\s*(?:(?P<number>(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][+\-−]?\d{1,3})?)|(?P<name>[^\W\d⁰¹²³⁴⁵⁶⁷⁸⁹][^\W⁰¹²³⁴⁵⁶⁷⁸⁹]*)"
    r"|(?P<power>[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)|(?P<sign>\*\*|[+\-−–×*·÷/:^()√]))"
)
_SIGNS = {"−": "-", "–": "-", "×": "*", "·": "*", "÷": "/", ":": "/", "**": "^", "√": "sqrt"}
_RAISED = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")
_LOWERED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_WRITTEN = {"+": " + ", "-": " − ", "*": " × ", "/": " ÷ ", "^": "^"}
_RANK = {"+": 1, "-": 1, "*": 2, "/": 2, "^": 4}
_NEGATIVE = 3
LARGEST_POWER = 12
"""The highest power of what has a unit."""
FUNCTIONS = ("sqrt", "ln")


@dataclass(frozen=True, slots=True)
class Constant:
    """A number as it was written."""

    value: float
    text: str


@dataclass(frozen=True, slots=True)
class Name:
    """What a value is put in for."""

    name: str


@dataclass(frozen=True, slots=True)
class Negative:
    """Less than nothing by so much."""

    inner: Node


@dataclass(frozen=True, slots=True)
class Call:
    """The root or the natural logarithm."""

    function: str
    inner: Node


@dataclass(frozen=True, slots=True)
class Binary:
    """Two parts with + - * / or ^ between them."""

    sign: str
    left: Node
    right: Node


Node = Constant | Name | Negative | Call | Binary


def parse(text: str) -> Node:
    """The tree of a formula.

    Raises
    ------
    BadInput
        It is not written in the grammar, with the place where it stops being.

    >>> written(parse("100*(wet_mm - dry_mm)/wet_mm")), written(parse("sqrt(a^2 + b²) ÷ -2,5"))
    ('100 × (wet_mm − dry_mm) ÷ wet_mm', 'sqrt(a² + b²) ÷ (−2.5)')
    """
    if len(text) > LONGEST:
        raise BadInput(f"The formula has {len(text)} characters.", f"At most {LONGEST} are read.", field="formula")
    return _Parser(text).whole()


class _Parser:
    """Reads from left to right; a method for each rank of the grammar."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.place = 0
        self.depth = 0
        self.kind, self.token = "", ""
        self.start = 0
        self.advance()

    def advance(self) -> None:
        """The next token."""
        self.start = self.place
        if not self.text[self.place :].strip():
            self.kind, self.token = "end", ""
            return
        match = _TOKEN.match(self.text, self.place)
        if match is None:
            raise self.wrong(f"'{self.text[self.place :].strip()[0]}' cannot stand in a formula")
        self.place = match.end()
        self.kind = match.lastgroup or ""
        self.token = match.group(self.kind)
        if self.kind == "sign":
            self.token = _SIGNS.get(self.token, self.token)

    def wrong(self, what: str) -> BadInput:
        """A fault with the place it stands at."""
        before = self.text[: self.start].strip()
        after = f" after '…{before[-20:]}'" if before else ""
        remedy = "Write numbers, names, + − × ÷ ^, brackets, sqrt(…) and ln(…), as in 100 × (wet_mm − dry_mm) ÷ wet_mm."
        return BadInput(f"{what}{after}.", remedy, field="formula")

    def whole(self) -> Node:
        """Everything, with nothing left over."""
        if self.kind == "end":
            raise self.wrong("The formula is empty")
        node = self.sum()
        if self.kind == "end":
            return node
        if self.token == ")":
            raise self.wrong("A bracket is closed that was not opened")
        raise self.wrong(f"There is no sign before '{self.token}'")

    def sum(self) -> Node:
        """Terms with + and - between them."""
        node = self.product()
        while self.kind == "sign" and self.token in "+-":
            sign = self.token
            self.advance()
            node = Binary(sign, node, self.product())
        return node

    def product(self) -> Node:
        """Factors with * and / between them."""
        node = self.factor()
        while self.kind == "sign" and self.token in "*/":
            sign = self.token
            self.advance()
            node = Binary(sign, node, self.factor())
        return node

    def factor(self) -> Node:
        """A power, or a sign and what it belongs to."""
        if self.kind == "sign" and self.token in "+-":
            self._deeper(1)
            sign = self.token
            self.advance()
            inner = self.factor()
            self._deeper(-1)
            return Negative(inner) if sign == "-" else inner
        node = self.atom()
        if self.kind == "power":
            raised = self.token.translate(_RAISED)
            if not re.fullmatch(r"-?\d+", raised):
                raise self.wrong(f"'{self.token}' is not a power")
            self.advance()
            number: Node = Constant(float(raised.lstrip("-")), raised.lstrip("-"))
            return Binary("^", node, Negative(number) if raised.startswith("-") else number)
        if self.kind == "sign" and self.token == "^":
            self.advance()
            self._deeper(1)
            node = Binary("^", node, self.factor())
            self._deeper(-1)
        return node

    def atom(self) -> Node:
        """A number, a name, a function or a bracket."""
        kind, token = self.kind, self.token
        if kind == "number":
            self.advance()
            return _constant(token)
        if kind == "name" or token == "sqrt":
            self.advance()
            if token.lower() in FUNCTIONS:
                return Call(token.lower(), self.bracket(f"'{token}' needs a bracket"))
            if self.token == "(":
                raise self.wrong(f"'{token}' is no function, and a × is missing if it is to be multiplied")
            return Name(token)
        return self.bracket("Something is missing" if kind == "end" else f"'{token}' stands where a value should")

    def bracket(self, otherwise: str) -> Node:
        """What stands in brackets."""
        if self.token != "(":
            raise self.wrong(otherwise)
        self._deeper(1)
        self.advance()
        node = self.sum()
        if self.token != ")":
            raise self.wrong("A bracket is not closed")
        self._deeper(-1)
        self.advance()
        return node

    def _deeper(self, by: int) -> None:
        self.depth += by
        if self.depth > DEEPEST:
            raise self.wrong("Too many brackets stand within each other")


def _constant(text: str) -> Constant:
    value = float(text.replace(",", ".").replace("−", "-"))
    if not math.isfinite(value):
        raise BadInput(f"'{text}' is too large a number.", field="formula")
    return Constant(value, text.replace(",", "."))


def names_in(node: Node) -> tuple[str, ...]:
    """The names a formula asks for, each once, in the order they stand there.

    >>> names_in(parse("a × (b − a) + 2"))
    ('a', 'b')
    """
    return tuple(dict.fromkeys(_names(node)))


def _names(node: Node) -> list[str]:
    match node:
        case Name(name):
            return [name]
        case Negative(inner) | Call(_, inner):
            return _names(inner)
        case Binary(_, left, right):
            return _names(left) + _names(right)
    return []


def put_in(node: Node, names: Mapping[str, Node]) -> Node:
    """The formula with other formulas in place of some names.

    >>> written(put_in(parse("2 × x"), {"x": parse("a + b")}))
    '2 × (a + b)'
    """
    match node:
        case Name(name):
            return names.get(name, node)
        case Negative(inner):
            return Negative(put_in(inner, names))
        case Call(function, inner):
            return Call(function, put_in(inner, names))
        case Binary(sign, left, right):
            return Binary(sign, put_in(left, names), put_in(right, names))
    return node


# -- values ----------------------------------------------------------------------------------------


def value(node: Node, values: Mapping[str, float]) -> float:
    """What a formula comes to.

    Raises
    ------
    OutOfRange
        It divides by nothing, takes the root of less than nothing or the logarithm of nothing, or is too large.

    >>> value(parse("3 × F × L ÷ (2 × b × d²)"), {"F": 200.0, "L": 100.0, "b": 20.0, "d": 10.0})
    15.0
    """
    try:
        result = float(_evaluated(node, values.__getitem__, _SINGLE))
    except OverflowError:
        result = math.inf
    if not math.isfinite(result):
        raise OutOfRange("The formula comes to too large a number.", "Check the readings.")
    return result


def array_of_values(node: Node, columns: Mapping[str, Floats]) -> Floats:
    """What a formula comes to for each row of some columns of one length; NaN where `value` would refuse."""
    with np.errstate(all="ignore"):
        result = np.asarray(_evaluated(node, columns.__getitem__, _ARRAYS), dtype=float)
    return np.where(np.isfinite(result), result, math.nan)


@dataclass(frozen=True, slots=True)
class _Arithmetic:
    """Division, power and the functions, for single numbers or for arrays; the other signs are the same for both."""

    divide: Callable[[Any, Any], Any]
    power: Callable[[Any, Any], Any]
    sqrt: Callable[[Any], Any]
    ln: Callable[[Any], Any]


def _evaluated(node: Node, value_of: Callable[[str], Any], arithmetic: _Arithmetic) -> Any:
    match node:
        case Constant(number, _):
            return number
        case Name(name):
            return value_of(name)
        case Negative(inner):
            return -_evaluated(inner, value_of, arithmetic)
        case Call(function, inner):
            argument = _evaluated(inner, value_of, arithmetic)
            return arithmetic.sqrt(argument) if function == "sqrt" else arithmetic.ln(argument)
        case Binary(sign, left, right):
            first, second = _evaluated(left, value_of, arithmetic), _evaluated(right, value_of, arithmetic)
            if sign == "/":
                return arithmetic.divide(first, second)
            if sign == "^":
                return arithmetic.power(first, second)
            return {"+": operator.add, "-": operator.sub, "*": operator.mul}[sign](first, second)
    raise AssertionError(node)


def _divide(first: float, second: float) -> float:
    if second == 0:
        raise OutOfRange("The formula divides by nothing.", "Check the readings below the ÷.")
    return first / second


def _power(base: float, power: float) -> float:
    if base < 0 and power != int(power):
        raise OutOfRange(f"{plain(base)} has no power of {plain(power)}.", "Check the readings under the power.")
    if base == 0 and power < 0:
        raise OutOfRange("The formula divides by nothing.", "Check the readings under the power.")
    return math.pow(base, power)


def _sqrt(number: float) -> float:
    if number < 0:
        raise OutOfRange(f"{plain(number)} has no square root.", "Check the readings under the root.")
    return math.sqrt(number)


def _ln(number: float) -> float:
    if number <= 0:
        raise OutOfRange(f"{plain(number)} has no logarithm.", "It takes more than nothing: check the readings in ln.")
    return math.log(number)


_SINGLE = _Arithmetic(_divide, _power, _sqrt, _ln)


def _divide_each(first: Any, second: Any) -> Any:
    return np.where(np.equal(second, 0), math.nan, np.divide(first, second))


def _power_each(base: Any, power: Any) -> Any:
    power_of = np.float_power(base, power)  # what is no number stays none, though it has a power of nothing
    return np.where(np.isnan(base) | np.isnan(power) | np.isinf(power_of), math.nan, power_of)


def _sqrt_each(numbers: Any) -> Any:
    return np.sqrt(numbers)


def _ln_each(numbers: Any) -> Any:
    return np.where(np.less_equal(numbers, 0), math.nan, np.log(numbers))


_ARRAYS = _Arithmetic(_divide_each, _power_each, _sqrt_each, _ln_each)


# -- dimensions ------------------------------------------------------------------------------------


def dimension_of(node: Node, units: Mapping[str, Dimension]) -> Dimension:
    """What kind of quantity a formula comes to.

    Raises
    ------
    BadInput
        A name without a unit, unlike quantities added, or a root, logarithm or power that has no meaning.
    """
    match node:
        case Constant():
            return NUMBER
        case Name(name):
            if name not in units:
                known = ", ".join(units) or "none is declared"
                raise BadInput(f"'{name}' is not among the inputs ({known}).", "Declare it as one.", field="formula")
            return units[name]
        case Negative(inner):
            return dimension_of(inner, units)
        case Call(function, inner):
            argument = dimension_of(inner, units)
            if function == "sqrt":
                return argument ** Fraction(1, 2)
            if not argument.is_number:
                text = f"A logarithm is taken of a plain number; '{written(inner)}' is {argument.words()}."
                raise BadInput(text, "Divide it by something of its own kind.", field="formula")
            return NUMBER
        case Binary("^", left, right):
            return _raised(node, dimension_of(left, units), dimension_of(right, units), right)
        case Binary(sign, left, right):
            first, second = dimension_of(left, units), dimension_of(right, units)
            if sign == "*":
                return first * second
            if sign == "/":
                return first / second
            return _added(node, first, second)
    raise AssertionError(node)


def _raised(node: Node, base: Dimension, power: Dimension, right: Node) -> Dimension:
    if not power.is_number:
        text = f"A power is a plain number; '{written(right)}' is {power.words()}."
        raise BadInput(text, "Divide it by something of its own kind.", field="formula")
    if base.is_number:
        return NUMBER
    if names_in(right):
        text = f"'{written(node)}' is of another kind with every reading."
        raise BadInput(text, "A quantity with a unit takes a power written as a number.", field="formula")
    exact = Fraction(value(right, {})).limit_denominator(1000)
    if abs(exact) > LARGEST_POWER:
        text = f"'{written(node)}' is a power that no quantity has."
        raise BadInput(text, f"Powers of what has a unit go up to {LARGEST_POWER}.", field="formula")
    return base**exact


def _added(node: Binary, first: Dimension, second: Dimension) -> Dimension:
    if first.powers != second.powers:
        text = f"'{written(node.left)}' is {first.words()} and '{written(node.right)}' is {second.words()}"
        raise BadInput(f"{text}: they cannot be added or taken away.", "Add like to like.", field="formula")
    if first.size is None or second.size is None:
        return Dimension(first.powers, None)
    if not math.isclose(first.size, second.size, rel_tol=1e-9):
        times = f"one of '{written(node.left)}' is {plain(first.size / second.size)} of '{written(node.right)}'"
        remedy = "Give both in one unit, or multiply one of them."
        raise BadInput(f"The two are not in one unit: {times}.", remedy, field="formula")
    return first


# -- in words --------------------------------------------------------------------------------------


def written(node: Node, names: Mapping[str, str] | None = None) -> str:
    """A formula with the signs of the screen; with words in place of names where they are given.

    >>> written(parse("a/(b*c)"), {"a": "dry mass"}), written(parse("a-(b-c)")), written(parse("-a^2")), written(
    ...     parse("(-a)^2"))
    ('dry mass ÷ (b × c)', 'a − (b − c)', '−a²', '(−a)²')
    """
    return _written(node, names or {})[0]


def _written(node: Node, names: Mapping[str, str]) -> tuple[str, int]:
    """The text and the rank of its loosest sign."""
    match node:
        case Constant(_, text):
            return text.replace("-", "−"), 9
        case Name(name):
            return names.get(name, name), 9
        case Call(function, inner):
            return f"{function}({_written(inner, names)[0]})", 9
        case Negative(inner):
            text, rank = _written(inner, names)
            return f"−{text if rank > _NEGATIVE else f'({text})'}", _NEGATIVE
        case Binary("^", left, right):
            return _written_power(left, right, names), _RANK["^"]
        case Binary(sign, left, right):
            rank = _RANK[sign]
            before, own = _written(left, names)
            after, other = _written(right, names)
            if own < rank or own == _NEGATIVE:
                before = f"({before})" if own < rank or sign in "*/" else before
            if other < rank or (other == rank and sign in "-/") or other == _NEGATIVE:
                after = f"({after})"
            return before + _WRITTEN[sign] + after, rank
    raise AssertionError(node)


def _written_power(left: Node, right: Node, names: Mapping[str, str]) -> str:
    base, rank = _written(left, names)
    if rank <= _RANK["^"] or " " in base:
        base = f"({base})"
    power, rank = _written(right, names)
    if re.fullmatch(r"−?\d+", power):
        return base + power.replace("−", "-").translate(_LOWERED)
    return f"{base}^{power if rank > _RANK['^'] else f'({power})'}"
