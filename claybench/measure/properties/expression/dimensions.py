"""What kind of quantity a formula comes to, and what cannot be added, raised or taken a logarithm of."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction

from claybench.errors import BadInput
from claybench.measure.properties.expression.tree import Binary, Call, Constant, Name, Negative, Node, names_in, written
from claybench.measure.properties.expression.values import value
from claybench.quantity.dimensions import NUMBER, Dimension
from claybench.quantity.shown import plain

LARGEST_POWER = 12
"""The highest power of what has a unit."""


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
