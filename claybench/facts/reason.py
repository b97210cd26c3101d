"""Why a figure is what it is: formula, inputs with units, facts used, result.

A formula is a pure function marked with `formula`; its docstring is the one place
that states equation, units and sources. `explain` calls the function and reads that
docstring, so that the answer and its reason can never differ.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from claybench.facts.origin import Fact
from claybench.quantity.shown import show, unit_sign, with_sign

F = TypeVar("F", bound=Callable[..., Any])

FORMULAS: list[Callable[..., Any]] = []
"""Every marked function, for the test that holds docstrings to their contract."""

_PARAMETER = re.compile(r"^(\w+) : [^\[\n]*\[([^\]]+)\]", re.MULTILINE)
_RESULT = re.compile(r"^(\w+) : [^\[\n]*\[([^\]]+)\]", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a formula's docstring says of itself."""

    title: str
    equation: str
    units: dict[str, str]
    """Unit of each parameter."""
    result: str
    result_unit: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reason:
    """The answer to "why this number?" for one call of one formula."""

    title: str
    equation: str
    inputs: tuple[tuple[str, float | str | None, str], ...]
    """Name, value and unit of each input."""
    facts: tuple[Fact, ...]
    sources: tuple[str, ...]
    result: float
    unit: str

    def lines(self) -> list[str]:
        """Plain text, one thought a line, for screen, paper and JSON."""
        out = [self.title, f"  {self.equation}"]
        for name, value, unit in self.inputs:
            out.append(f"  {name.replace('_', ' ')} = {_written(value, unit)}")
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


def formula(*facts: Fact) -> Callable[[F], F]:
    """Mark a pure function as a formula and name the facts it uses."""

    def mark(function: F) -> F:
        function.__facts__ = facts  # type: ignore[attr-defined]
        FORMULAS.append(function)
        return function

    return mark


def sheet(function: Callable[..., Any]) -> Sheet:
    """Read title, equation, units and sources from a formula's docstring."""
    text = inspect.getdoc(function) or ""
    equation = re.search(r"^Formula: (.+(?:\n[ \t]+.+)*)", text, re.MULTILINE)
    parts = re.split(r"^(Parameters|Returns|Raises|Sources|Examples)\n-+\n", text, flags=re.MULTILINE)
    sections = dict(zip(parts[1::2], parts[2::2], strict=True))
    units = dict(_PARAMETER.findall(sections.get("Parameters", "")))
    returned = _RESULT.search(sections.get("Returns", ""))
    if equation is None or returned is None:
        raise ValueError(f"{function.__name__}: the docstring lacks its Formula or its Returns")
    sources = tuple(
        re.sub(r"\s+", " ", entry).strip()
        for entry in re.split(r"^\d+\. ", sections.get("Sources", ""), flags=re.MULTILINE)
        if entry.strip()
    )
    return Sheet(
        title=text.splitlines()[0].rstrip("."),
        equation=re.sub(r"\s+", " ", equation.group(1)),
        units=units,
        result=returned.group(1),
        result_unit=returned.group(2),
        sources=sources,
    )


def explain(function: Callable[..., float], /, *args: Any, **kwargs: Any) -> Reason:
    """Call a formula and give its result with the reason for it."""
    bound = inspect.signature(function).bind(*args, **kwargs)
    bound.apply_defaults()
    about = sheet(function)
    return Reason(
        title=about.title,
        equation=about.equation,
        inputs=tuple((name, value, about.units.get(name, "1")) for name, value in bound.arguments.items()),
        facts=getattr(function, "__facts__", ()),
        sources=about.sources,
        result=function(*args, **kwargs),
        unit=about.result_unit,
    )


def figure(function: Callable[..., float], /, *args: Any, **kwargs: Any) -> Figure:
    """Call a formula and wrap the result as a `Figure`."""
    why = explain(function, *args, **kwargs)
    return Figure(value=why.result, unit=why.unit, why=why)


def _written(value: object, unit: str) -> str:
    return show(value, unit) if isinstance(value, float) else with_sign(str(value), unit_sign(unit))
