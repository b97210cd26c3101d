"""The formulas of properties: parsed by `grammar`, worked out by `values`, held to their units by `dimensions`, written
down by `tree`; never run as code."""

from claybench.measure.properties.expression.dimensions import dimension_of
from claybench.measure.properties.expression.grammar import FUNCTIONS, parse
from claybench.measure.properties.expression.tree import (
    Binary,
    Call,
    Constant,
    Name,
    Negative,
    Node,
    names_in,
    put_in,
    written,
)
from claybench.measure.properties.expression.values import array_of_values, value

__all__ = [
    "FUNCTIONS",
    "Binary",
    "Call",
    "Constant",
    "Name",
    "Negative",
    "Node",
    "array_of_values",
    "dimension_of",
    "names_in",
    "parse",
    "put_in",
    "value",
    "written",
]
