"""Every fact, formula and worked example of the program with where it comes from, and the page made of them."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Mapping

import claybench.facts
from claybench.facts.fact import AS_READ, Fact, Origin
from claybench.facts.formula import FORMULAS, Formula
from claybench.measure.properties.built_in import BUILT_IN
from claybench.quantity.shown import show

_FORMULA_ROOMS = ("mix", "water", "measure")

_SAID = {
    Origin.PUBLISHED: "Read in the named document at the named place.",
    Origin.DERIVED: "Follows from the document named, from definitions, or from other facts, by the arithmetic given.",
    Origin.COMMON_PRACTICE: "What is usually done, or a choice of this program; nobody's document says so here.",
    Origin.FROM_MEMORY: "Believed, and not read for this program. A document named beside it is where to look.",
}


def facts() -> dict[str, Fact]:
    """Every fact by the name of its module and its own."""
    by_name = {}
    for module in pkgutil.iter_modules(claybench.facts.__path__):
        for name, value in vars(importlib.import_module(f"claybench.facts.{module.name}")).items():
            for number, fact in enumerate(_facts_in(value)):
                by_name[f"{module.name}.{name}.{number}"] = fact
    return by_name


def _facts_in(value: object) -> list[Fact]:
    """The facts of a fact, a mapping or a sequence of them."""
    if isinstance(value, Fact):
        return [value]
    held = value.values() if isinstance(value, Mapping) else value if isinstance(value, tuple | list) else ()
    return [fact for each in held for fact in _facts_in(each)]


def formulas() -> list[Formula]:
    """Every formula, by its room, module and place there."""
    for room in _FORMULA_ROOMS:
        package = importlib.import_module(f"claybench.{room}")
        for module in pkgutil.walk_packages(package.__path__, f"claybench.{room}."):
            importlib.import_module(module.name)
    named = {f"{each.function.__module__}.{each.function.__name__}": each for each in FORMULAS}
    return sorted(named.values(), key=_place)


def page() -> str:
    """`docs/facts.md`: where each number comes from."""
    lines = _OPENING.splitlines()
    named = facts()
    counted = {origin: [each for each in named.values() if each.origin is origin] for origin in Origin}
    lines += ["", f"{', '.join(f'{len(each)} {origin}' for origin, each in counted.items())}."]
    for origin, own in counted.items():
        lines += [
            "",
            f"## {_heading(origin)}",
            "",
            _SAID[origin],
            "",
            "| what | value | range | from |",
            "|---|---|---|---|",
        ]
        lines += [_fact_row(each) for each in sorted(own, key=lambda fact: fact.name.lower())]
    lines += ["", "## Formulas", "", _FORMULAS, "", "| formula | from | worked example |", "|---|---|---|"]
    lines += [_formula_row(each) for each in formulas()]
    lines += ["", "## Measured properties", "", _PROPERTIES, "", "| property | standard | from |", "|---|---|---|"]
    lines += [f"| {each.title} | {each.standard} | {each.source} |" for each in BUILT_IN.values()]
    return "\n".join(lines) + "\n"


def _place(each: Formula) -> tuple[str, int]:
    return each.function.__module__, inspect.unwrap(each.function).__code__.co_firstlineno


def _heading(origin: Origin) -> str:
    return origin.value[0].upper() + origin.value[1:]


def _fact_row(fact: Fact) -> str:
    rest = f" (from {', '.join(each.name for each in fact.rests_on)})" if fact.rests_on else ""
    return f"| {fact.name} | {show(fact.value, fact.unit, figures=AS_READ)} | {fact.span} | {fact.cited}{rest} |"


def _formula_row(each: Formula) -> str:
    examples = "; ".join(dict.fromkeys(one.source.cite() if one.source else "by hand" for one in each.examples))
    return f"| {each.title} | {'; '.join(source.cite() for source in each.sources)} | {examples} |"


_OPENING = """\
# Where each number comes from

<!-- Written by `python -m tests.docs.reference`; a test fails when it is not up to date. -->

Every constant that the program computes with, by how it came to be known. *Why* beside a figure on the screen names the
ones it rests on in the same words. Numbers of the models (priors, spreads, limits of evidence) stand with them in
[the models](models.md)."""
_FORMULAS = (
    "What a formula rests on, and whose its worked example is, which the tests hold it to; *by hand* is worked out for "
    "the test and shows only that the formula is written down right."
)
_PROPERTIES = "The properties every lab has. Standards named here were not at hand: what they say is from memory."
