"""Why a figure is what it is: formula, inputs with units, facts used, result, made of a formula's declaration."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from claybench.facts.fact import Fact
from claybench.facts.formula import Param, formula_of
from claybench.facts.ranges import field_name
from claybench.quantity.shown import show, unit_sign, with_sign


@dataclass(frozen=True, slots=True)
class Reason:
    """The answer to "why this number?" for one call of one formula."""

    title: str
    equation: str
    inputs: tuple[tuple[str, float | str | None, str], ...]
    """What it is, value and unit of each input."""
    facts: tuple[Fact, ...]
    sources: tuple[str, ...]
    result: float
    unit: str

    def lines(self) -> list[str]:
        """Plain text, one thought a line, for screen, paper and JSON."""
        out = [self.title, f"  {self.equation}"]
        out.extend(f"  {name} = {_written(value, unit)}" for name, value, unit in self.inputs)
        out.extend(f"  {fact.cite()}" for fact in self.facts)
        out.extend(f"  source: {source}" for source in self.sources)
        out.append(f"  result {_written(self.result, self.unit)}")
        return out


@dataclass(frozen=True, slots=True)
class Figure:
    """A computed number as it is shown: value, unit, what the inputs leave open, and why."""

    value: float
    unit: str
    why: Reason
    low: float | None = None
    high: float | None = None

    def with_range(self, low: float, high: float) -> Figure:
        """With what the inputs leave open, bounds in either order; as it is where that is nothing."""
        if abs(high - low) <= 1e-9 * abs(self.value):
            return self
        return replace(self, low=min(low, high, self.value), high=max(low, high, self.value))

    def with_spread(self, share: float) -> Figure:
        """Give or take a share of itself."""
        return self.with_range(self.value * (1 - share), self.value * (1 + share))


class Worksheet:
    """Formulas worked out one after the other, each kept with its inputs under the name of its figure."""

    __slots__ = ("_steps",)

    def __init__(self) -> None:
        self._steps: dict[str, tuple[Callable[..., float], tuple[Any, ...], float]] = {}

    def work(self, name: str, function: Callable[..., float], *args: Any) -> float:
        """What a formula gives, noted under a name."""
        result = function(*args)
        self._steps[name] = (function, args, result)
        return result

    def note(self, name: str, function: Callable[..., float], *args: Any, result: float) -> None:
        """Note what a formula gives for inputs that were found by another way."""
        self._steps[name] = (function, args, result)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of what was noted, in order."""
        return tuple(self._steps)

    def figure(self, name: str) -> Figure:
        """The figure that was noted under a name."""
        function, args, result = self._steps[name]
        return formula_figure(function, *args, result=result)

    def lines(self) -> list[str]:
        """The reasons of all its figures as text."""
        return [line for name in self._steps for line in self.figure(name).why.lines()]


def explain(function: Callable[..., float], /, *args: Any) -> Reason:
    """Call a formula and give its result with the reason for it."""
    return reason_for(function, args, function(*args))


def reason_for(function: Callable[..., float], args: tuple[Any, ...], result: float) -> Reason:
    """The reason for what a formula gave, from the arguments it was called with."""
    about = formula_of(function)
    if len(args) < len(about.params):
        defaults = [each.default for each in inspect.signature(function).parameters.values()]
        args = (*args, *defaults[len(args) :])
    return Reason(
        title=about.title,
        equation=about.equation,
        inputs=tuple(
            (_named(name, param), value, param.unit)
            for (name, param), value in zip(about.params.items(), args, strict=True)
        ),
        facts=about.facts,
        sources=tuple(source.cite() for source in about.sources),
        result=float(result),
        unit=about.unit,
    )


def formula_figure(function: Callable[..., float], /, *args: Any, result: float | None = None) -> Figure:
    """The figure of a formula: called, or with its result where that is known already."""
    why = reason_for(function, args, function(*args) if result is None else result)
    return Figure(why.result, why.unit, why)


def entered_figure(value: float, unit: str, title: str = "As entered") -> Figure:
    """A number that was entered, or that follows from an entry without a formula."""
    return Figure(value, unit, Reason(title, "taken as it is", (), (), (), value, unit))


def _named(name: str, param: Param) -> str:
    """An input as a reason lists it: its symbol, and what it is."""
    meaning = param.meaning or field_name(name).lower()
    return meaning if param.symbol in meaning.split() else f"{param.symbol}, {meaning}"


def _written(value: object, unit: str) -> str:
    return show(float(value), unit) if isinstance(value, int | float) else with_sign(str(value), unit_sign(unit))
