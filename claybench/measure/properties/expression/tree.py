"""A formula as a tree: its nodes, the names in it, and how it is written."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

_LOWERED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_WRITTEN = {"+": " + ", "-": " − ", "*": " × ", "/": " ÷ ", "^": "^"}
_RANK = {"+": 1, "-": 1, "*": 2, "/": 2, "^": 4}
_NEGATIVE = 3


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


def names_in(node: Node) -> tuple[str, ...]:
    """The names a formula asks for, each once, in the order they stand there.

    >>> names_in(Binary("+", Name("a"), Name("b")))
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

    >>> written(put_in(Binary("*", Constant(2, "2"), Name("x")), {"x": Binary("+", Name("a"), Name("b"))}))
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


def written(node: Node, names: Mapping[str, str] | None = None) -> str:
    """A formula with the signs of the screen; with words in place of names where they are given.

    >>> from claybench.measure.properties.expression.grammar import parse
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
