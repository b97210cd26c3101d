"""How a formula is declared: its equation, symbols, units, ranges, sources and worked examples, as data beside it.

    @formula(
        "Water absorbed, of dry mass",
        "A = 100 · (M − D) / D",
        "%",
        dry_g=Param("D", "g", "mass of the dry fired piece", above=0),
        soaked_g=Param("M", "g", "mass soaked and wiped", above=0),
        sources=from_memory("ASTM C373 / C20, ISO 10545-3"),
        examples=Example(360, 385, gives=6.9444, digits=4),
    )
    def absorption(dry_g: float, soaked_g: float) -> float:
        return 100 * (soaked_g - dry_g) / dry_g

A call outside a declared range raises `OutOfRange`, which names the range; what depends on two parameters at once is
checked in the body. Answers to "why this number?" are made of the declaration in `facts.reason`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import update_wrapper
from math import isfinite
from types import FunctionType
from typing import Any, TypeVar, cast

from claybench.errors import OutOfRange
from claybench.facts.fact import Fact, Source
from claybench.facts.ranges import LARGEST, check_positive, check_within, field_name
from claybench.quantity.shown import plain, show, unit_sign, with_sign

F = TypeVar("F", bound=Callable[..., Any])

FORMULAS: list[Formula] = []
"""Every formula declared so far, for the test that holds them to their contract."""


@dataclass(frozen=True, slots=True)
class Param:
    """One input of a formula; with a bound it has to be a number up to ±`LARGEST`, without any it is not checked."""

    symbol: str
    """As it stands in the equation."""
    unit: str
    """A unit that `quantity` can parse; "1" where there is none."""
    meaning: str = ""
    """What it is, where its name does not say it all."""
    above: float | None = None
    """Lowest value, itself not allowed."""
    least: float | None = None
    """Lowest value, itself allowed."""
    below: float | None = None
    """Highest value, itself not allowed."""
    most: float | None = None
    """Highest value, itself allowed."""
    remedy: str | Callable[[float], str] = ""
    """What to do outside the range; a sentence is made of the range where this is empty."""
    field: str = ""
    """The field that a refusal names, where it is not the parameter's own name."""

    @property
    def bounded(self) -> bool:
        """Whether it has a range at all."""
        return any(bound is not None for bound in (self.above, self.least, self.below, self.most))

    def condition(self, name: str) -> str:
        """Its range as a Python expression of its name."""
        low = f"{self.above!r} < " if self.above is not None else f"{_or(self.least, -LARGEST)!r} <= "
        high = f" < {self.below!r}" if self.below is not None else f" <= {_or(self.most, LARGEST)!r}"
        return f"{low}{name}{high}"

    def range_text(self) -> str:
        """Its range in words: "more than 0 g", "20 to 200", "0 to less than 100 %"."""
        return with_sign(self._bounds_text(), unit_sign(self.unit))

    def _bounds_text(self) -> str:
        low, high = _or(self.least, self.above), _or(self.most, self.below)
        if low is None or high is None:
            words = (("more than", self.above), ("at least", self.least), ("less than", self.below))
            said = [f"{word} {plain(bound)}" for word, bound in (*words, ("at most", self.most)) if bound is not None]
            return "".join(said) or "any number"
        if self.above is not None:
            return f"more than {plain(low)}, {'less than' if self.most is None else 'at most'} {plain(high)}"
        return f"{plain(low)} to {'less than ' if self.most is None else ''}{plain(high)}"

    def check(self, name: str, value: float) -> None:
        """Raise `OutOfRange` for what is no number, or lies outside the range."""
        low = value > self.above if self.above is not None else value >= _or(self.least, -LARGEST)
        if low and (value < self.below if self.below is not None else value <= _or(self.most, LARGEST)):
            return
        field = self.field or name
        if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
            raise OutOfRange(f"{field_name(field)} is not a number.", f"It is {self.range_text()}.", field=field)
        remedy = self.remedy(value) if callable(self.remedy) else self.remedy
        if self.above == 0 and self.below is None:
            check_positive(value, field, self.unit, _or(self.most, LARGEST), remedy if value > 0 else "")
        elif self.least is not None and self.most is not None:
            check_within(value, self.least, self.most, field, self.unit, remedy)
        raise OutOfRange(
            f"{field_name(field)} of {show(value, self.unit)} cannot be.",
            remedy or f"It is {self.range_text()}.",
            field=field,
        )


class Example:
    """A worked example: the inputs, and what the formula gives for them, rounded to so many digits; else exactly.

    `source` says whose it is; without one it was worked by hand here.
    """

    __slots__ = ("digits", "gives", "inputs", "source")

    def __init__(self, *inputs: Any, gives: float, digits: int | None = None, source: Source | None = None) -> None:
        self.inputs, self.gives, self.digits, self.source = inputs, gives, digits, source


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula's declaration, and the function that it declares."""

    title: str
    equation: str
    unit: str
    """Unit of the result."""
    params: dict[str, Param]
    """By the names and in the order of the function's own."""
    facts: tuple[Fact, ...]
    sources: tuple[Source, ...]
    examples: tuple[Example, ...]
    function: Callable[..., Any]


def formula(
    title: str,
    equation: str,
    unit: str,
    *,
    sources: Source | tuple[Source, ...],
    examples: Example | tuple[Example, ...],
    facts: tuple[Fact, ...] = (),
    **params: Param,
) -> Callable[[F], F]:
    """Declare a pure function as a formula, and check its inputs against their ranges before each call."""

    def declare(function: F) -> F:
        checked = _checked(function, params)
        checked.__doc__ = _doc(title, equation, params)
        checked.formula = Formula(  # type: ignore[attr-defined]
            title=title,
            equation=equation,
            unit=unit,
            params=params,
            facts=facts,
            sources=(sources,) if isinstance(sources, Source) else sources,
            examples=(examples,) if isinstance(examples, Example) else examples,
            function=checked,
        )
        FORMULAS.append(checked.formula)  # type: ignore[attr-defined]
        return checked

    return declare


def formula_of(function: Callable[..., Any]) -> Formula:
    """The declaration of a function that is one."""
    declared: Formula = function.formula  # type: ignore[attr-defined]
    return declared


def _checked(function: F, params: dict[str, Param]) -> F:
    """The function behind a check of its ranges.

    The check is written out as source, as dataclasses write their `__init__`: a loop over the parameters would take
    longer than most formulas do. It is compiled at the first call, so that loading a module waits for none.
    """
    names = function.__code__.co_varnames[: function.__code__.co_argcount]
    if names != tuple(params):
        raise TypeError(f"{function.__name__}: declared are {list(params)}, not {list(names)}")
    conditions = [param.condition(name) for name, param in params.items() if param.bounded]
    if not conditions:
        return function

    def refuse(*values: Any) -> None:
        for (name, param), value in zip(params.items(), values, strict=True):
            if param.bounded:
                param.check(name, value)

    def write_out() -> Callable[..., Any]:
        given = ", ".join(names)
        source = f"lambda {given}: function({given}) if {' and '.join(conditions)} else refuse({given})"
        checked.__code__ = eval(compile(source, f"<ranges of {function.__name__}>", "eval")).__code__
        checked.__defaults__ = function.__defaults__
        return checked

    checked = FunctionType(_at_first.__code__, {"function": function, "refuse": refuse, "write_out": write_out})
    update_wrapper(checked, function)
    return cast(F, checked)


def _at_first(*given: Any, **named: Any) -> Any:
    """What runs in place of a formula until its check is written out."""
    return write_out()(*given, **named)  # type: ignore[name-defined]  # noqa: F821 - a global of each formula's own


def _doc(title: str, equation: str, params: dict[str, Param]) -> str:
    """What `help` shows of a formula."""
    lines = [f"{title}.", "", equation, ""]
    for name, param in params.items():
        lines.append(f"{name} [{param.unit}]: {param.symbol}{f', {param.meaning}' if param.meaning else ''}")
    return "\n".join(lines)


def _or(value: float | None, otherwise: Any) -> Any:
    return otherwise if value is None else value
