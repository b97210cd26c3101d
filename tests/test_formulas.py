"""The contract of every formula: its docstring names what its signature has, with units that can be read."""

from __future__ import annotations

import ast
import doctest
import importlib
import inspect
import math
import pkgutil
from collections.abc import Callable
from typing import Any

import pytest

from claybench.facts.origin import Fact
from claybench.facts.reason import FORMULAS, explain, sheet

PACKAGES = ("mix", "water", "measure")


def _load() -> dict[str, Callable[..., Any]]:
    """Every formula of the pure packages by its full name, whichever module was imported first."""
    for name in PACKAGES:
        package = importlib.import_module(f"claybench.{name}")
        for module in pkgutil.walk_packages(package.__path__, f"claybench.{name}."):
            importlib.import_module(module.name)
    return {f"{each.__module__}.{each.__name__}": each for each in FORMULAS}


ALL = _load()


@pytest.fixture(params=ALL)
def function(request: pytest.FixtureRequest) -> Callable[..., Any]:
    """Each formula in turn."""
    return ALL[request.param]


def test_formulas_are_found_in_each_package() -> None:
    for name in PACKAGES:
        assert any(key.startswith(f"claybench.{name}.") for key in ALL), name


def test_parameters_are_those_of_the_signature(function: Callable[..., Any]) -> None:
    assert list(sheet(function).units) == list(inspect.signature(function).parameters)


def test_units_can_be_read(function: Callable[..., Any]) -> None:
    from claybench.quantity import unit

    about = sheet(function)
    for each in (*about.units.values(), about.result_unit, *(fact.unit for fact in function.__facts__)):
        unit(each)


def test_facts_and_sources_are_named(function: Callable[..., Any]) -> None:
    about = sheet(function)
    assert about.title and about.equation and about.sources
    assert all(isinstance(fact, Fact) for fact in function.__facts__)
    for section in ("Parameters", "Returns", "Raises", "Sources", "Examples"):
        assert f"\n{section}\n---" in (inspect.getdoc(function) or ""), section


def test_the_reason_gives_what_the_example_gives(function: Callable[..., Any]) -> None:
    calls = _example_calls(function)
    assert calls, "an example has to call the formula"
    for args, kwargs in calls:
        why = explain(function, *args, **kwargs)
        result = function(*args, **kwargs)
        assert why.result == result and (not isinstance(result, float) or math.isfinite(result))
        assert [name for name, _, _ in why.inputs] == list(inspect.signature(function).parameters)
        assert any(why.title in line for line in why.lines())


def _example_calls(function: Callable[..., Any]) -> list[tuple[list[Any], dict[str, Any]]]:
    """Arguments of every call of the formula itself in its doctest examples."""
    scope: dict[str, Any] = dict(vars(inspect.getmodule(function)))
    calls: list[tuple[list[Any], dict[str, Any]]] = []
    for example in doctest.DocTestParser().get_examples(inspect.getdoc(function) or ""):
        tree = ast.parse(example.source)
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == function.__name__:
                calls.append(
                    (
                        [_value(arg, scope) for arg in node.args],
                        {k.arg or "": _value(k.value, scope) for k in node.keywords},
                    )
                )
        exec(compile(tree, "<example>", "exec"), scope)
    return calls


def _value(node: ast.expr, scope: dict[str, Any]) -> Any:
    return eval(compile(ast.Expression(node), "<example>", "eval"), scope)
