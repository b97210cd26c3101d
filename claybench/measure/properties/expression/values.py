"""What a formula comes to, for single readings and for columns of them."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from claybench.errors import OutOfRange
from claybench.later import Floats, np
from claybench.measure.properties.expression.tree import Binary, Call, Constant, Name, Negative, Node
from claybench.quantity.shown import plain


def value(node: Node, values: Mapping[str, float]) -> float:
    """What a formula comes to.

    Raises
    ------
    OutOfRange
        It divides by nothing, takes the root of less than nothing or the logarithm of nothing, or is too large.

    >>> from claybench.measure.properties.expression.grammar import parse
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
