"""Why a figure is what it is: formula, inputs with units, facts used, result, made of a formula's declaration."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from claybench.facts.formula import Param, formula_of
from claybench.facts.origin import Fact
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
        sources=about.sources,
        result=float(result),
        unit=about.unit,
    )


def figure(function: Callable[..., float], /, *args: Any) -> Figure:
    """Call a formula and wrap the result as a `Figure`."""
    why = explain(function, *args)
    return Figure(value=why.result, unit=why.unit, why=why)


def _named(name: str, param: Param) -> str:
    """An input as a reason lists it: its symbol, and what it is."""
    meaning = param.meaning or field_name(name).lower()
    return meaning if param.symbol in meaning.split() else f"{param.symbol}, {meaning}"


def _written(value: object, unit: str) -> str:
    return show(value, unit) if isinstance(value, float) else with_sign(str(value), unit_sign(unit))
