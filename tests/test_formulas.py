"""The contract of every formula: its declaration names what its signature has, and its ranges and examples hold."""

from __future__ import annotations

import importlib
import inspect
import math
import pkgutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from claybench.errors import OutOfRange
from claybench.facts.fact import Fact
from claybench.facts.formula import FORMULAS, Example, Formula, Param
from claybench.facts.reason import explain

PACKAGES = ("mix", "water", "measure")


def _load() -> dict[str, Formula]:
    """Every formula of the pure packages by its full name, whichever module was imported first."""
    for name in PACKAGES:
        package = importlib.import_module(f"claybench.{name}")
        for module in pkgutil.walk_packages(package.__path__, f"claybench.{name}."):
            importlib.import_module(module.name)
    return {f"{each.function.__module__}.{each.function.__name__}": each for each in FORMULAS}


ALL = _load()
EXAMPLES = [pytest.param(each, example, id=name) for name, each in ALL.items() for example in each.examples]
BOUNDS = [
    pytest.param(each, name, id=f"{full}:{name}")
    for full, each in ALL.items()
    for name, param in each.params.items()
    if param.bounded
]


@pytest.fixture(params=ALL)
def declared(request: pytest.FixtureRequest) -> Formula:
    """Each formula in turn."""
    return ALL[request.param]


def test_formulas_are_found_in_each_package() -> None:
    for name in PACKAGES:
        assert any(key.startswith(f"claybench.{name}.") for key in ALL), name


def test_parameters_are_those_of_the_signature(declared: Formula) -> None:
    assert list(declared.params) == list(inspect.signature(declared.function).parameters)


def test_units_can_be_read(declared: Formula) -> None:
    from claybench.quantity import canonical_unit

    for each in (*declared.params.values(), declared, *declared.facts):
        canonical_unit(each.unit)


def test_everything_is_said(declared: Formula) -> None:
    assert declared.title and declared.equation and all(declared.sources) and declared.examples
    assert all(isinstance(fact, Fact) for fact in declared.facts)
    assert declared.title in (declared.function.__doc__ or "")


def test_each_symbol_stands_in_the_equation(declared: Formula) -> None:
    for name, param in declared.params.items():
        assert param.symbol in declared.equation, name


@pytest.mark.parametrize(("declared_", "example"), EXAMPLES)
def test_the_example_is_what_the_formula_gives(declared_: Formula, example: Example) -> None:
    result = declared_.function(*example.inputs)
    assert (result if example.digits is None else round(result, example.digits)) == example.gives


@pytest.mark.parametrize(("declared_", "example"), EXAMPLES)
def test_the_reason_gives_what_the_formula_gives(declared_: Formula, example: Example) -> None:
    why = explain(declared_.function, *example.inputs)
    assert why.result == declared_.function(*example.inputs) and math.isfinite(why.result)
    assert len(why.inputs) == len(declared_.params)
    assert declared_.title in why.lines()


@pytest.mark.parametrize(("declared_", "name"), BOUNDS)
def test_the_declared_range_is_the_one_that_is_checked(declared_: Formula, name: str) -> None:
    """Just outside either end, and what is no number, is refused with the field and what would work; the ends of the
    range itself pass its own check."""
    param = declared_.params[name]
    for value in (*_outside(param), math.nan, math.inf):
        with pytest.raises(OutOfRange) as refused:
            _call(declared_, name, value)
        assert refused.value.field == (param.field or name) and refused.value.remedy
    for value in _inside(param):
        param.check(name, value)


def _outside(param: Param) -> list[float]:
    low, high = _ends(param)
    return [
        low if param.above is not None else math.nextafter(low, -math.inf),
        high if param.below is not None else math.nextafter(high, math.inf),
    ]


def _inside(param: Param) -> list[float]:
    low, high = _ends(param)
    return [
        low if param.above is None else math.nextafter(low, math.inf),
        high if param.below is None else math.nextafter(high, -math.inf),
    ]


def _ends(param: Param) -> tuple[float, float]:
    low = param.above if param.above is not None else param.least if param.least is not None else -1e9
    high = param.below if param.below is not None else param.most if param.most is not None else 1e9
    return low, high


def _call(declared: Formula, name: str, value: float) -> Any:
    """The formula by its first example, with one input changed."""
    inputs = dict(zip(declared.params, declared.examples[0].inputs, strict=False))
    return declared.function(**{**inputs, name: value})


def test_a_declaration_that_is_not_the_function_s_is_refused() -> None:
    from claybench.facts.formula import formula

    with pytest.raises(TypeError, match="declared are"):

        @formula("Half", "half = x / 2", "1", y=Param("x", "1"), sources="Arithmetic", examples=Example(2, gives=1))
        def half(x: float) -> float:
            return x / 2


OPTIMISED = """
from tests.test_formulas import ALL
from claybench.facts.reason import explain
from claybench.mix.slab_sizing import size_slab
from claybench.mix.slab_figures import slab_figures
from claybench.mix.slab_request import SlabRequest

for each in ALL.values():
    for example in each.examples:
        why = explain(each.function, *example.inputs)
        if (why.result if example.digits is None else round(why.result, example.digits)) != example.gives:
            raise SystemExit(f"{each.title}: {why.result}")
    print(why.lines()[0])
figures = slab_figures(size_slab(SlabRequest(length_mm=600, width_mm=400, depth_mm=50)))
print(figures["plaster_g"].why.equation)
print(size_slab.__doc__)
"""


def test_reasons_are_there_without_docstrings() -> None:
    """`python -OO` takes docstrings and asserts away, and leaves declarations."""
    answer = subprocess.run(
        [sys.executable, "-OO", "-c", OPTIMISED],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[1],
        timeout=120,
    )
    *titles, equation, docstring = answer.stdout.splitlines()
    assert sorted(titles) == sorted(each.title for each in ALL.values())
    assert equation.startswith("plaster = ") and docstring == "None"
