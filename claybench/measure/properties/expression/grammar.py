"""The grammar of formulas: numbers, names, + − × ÷, powers, brackets, sqrt and ln.

The screen's signs and a keyboard's are both read: × and *, ÷ and /, − and -, ² and ^2.
"""

from __future__ import annotations

import math
import re

from claybench.errors import BadInput
from claybench.measure.properties.expression.tree import Binary, Call, Constant, Name, Negative, Node

LONGEST = 400
"""Characters of a formula."""
DEEPEST = 30
"""Brackets within brackets."""
FUNCTIONS = ("sqrt", "ln")

_TOKEN = re.compile(
    r"\s*(?:(?P<number>(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][+\-−]?\d{1,3})?)|(?P<name>[^\W\d⁰¹²³⁴⁵⁶⁷⁸⁹][^\W⁰¹²³⁴⁵⁶⁷⁸⁹]*)"
    r"|(?P<power>[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)|(?P<sign>\*\*|[+\-−–×*·÷/:^()√]))"
)
_SIGNS = {"−": "-", "–": "-", "×": "*", "·": "*", "÷": "/", ":": "/", "**": "^", "√": "sqrt"}
_RAISED = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")


def parse(text: str) -> Node:
    """The tree of a formula.

    Raises
    ------
    BadInput
        It is not written in the grammar, with the place where it stops being.

    >>> from claybench.measure.properties.expression.tree import written
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
