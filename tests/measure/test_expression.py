"""The grammar of formulas: what is read, what it comes to, and that nothing typed is ever run."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import example, given, strategies as st

from claybench.errors import BadInput, ClaybenchError, OutOfRange
from claybench.measure.properties.expression import (
    Binary,
    Call,
    Constant,
    Name,
    Negative,
    Node,
    array_of_values,
    dimension_of,
    names_in,
    parse,
    value,
    written,
)
from claybench.quantity.dimensions import dimension

VALUES = {"a": 2.0, "b": 3.0, "c": 5.0, "longer_name": 7.0}
_LEAVES = st.builds(lambda n: Constant(float(n), str(n)), st.integers(0, 99)) | st.sampled_from([*map(Name, VALUES)])
NODES: st.SearchStrategy[Node] = st.recursive(
    _LEAVES,
    lambda inner: (
        st.builds(Negative, inner)
        | st.builds(Call, st.sampled_from(["sqrt", "ln"]), inner)
        | st.builds(Binary, st.sampled_from("+-*/"), inner, inner)
        | st.builds(Binary, st.just("^"), inner, st.builds(lambda n: Constant(float(n), str(n)), st.integers(0, 4)))
    ),
    max_leaves=12,
)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("a + b × c", 17.0),
        ("(a + b) * c", 25.0),
        ("c - b - a", 0.0),
        ("c ÷ b ÷ a", 5 / 6),
        ("-a^2", -4.0),
        ("(-a)²", 4.0),
        ("a^-1", 0.5),
        ("a⁻¹", 0.5),
        ("a^b^0", 2.0),
        ("a ** b", 8.0),
        ("2 · −b", -6.0),
        ("sqrt(a + 7) + ln(1)", 3.0),
        ("√(4)", 2.0),
        ("1,5 × a", 3.0),
        (".5a_b", None),
        ("2.5e2", 250.0),
        ("(1 + 0.5)", 1.5),
        ("longer_name : 7", 1.0),
    ],
)
def test_it_is_read_as_it_is_written_on_paper(text: str, wanted: float | None) -> None:
    if wanted is None:
        with pytest.raises(BadInput):
            parse(text)
    else:
        assert value(parse(text), VALUES) == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("a b", "no sign before 'b'"),
        ("2(a)", "no sign before '('"),
        ("f(a)", "'f' is no function"),
        ("a +", "missing"),
        ("(a", "not closed"),
        ("a)", "was not opened"),
        ("a $ b", "'$' cannot stand"),
        ("sqrt a", "needs a bracket"),
        ("a × ÷ b", "'/' stands where a value should"),
        ("1e999", "too large"),
        ("(" * 60 + "a" + ")" * 60, "Too many brackets"),
        ("-" * 60 + "a", "Too many brackets"),
        ("a+" * 300 + "a", "characters"),
        ("__import__('os')", "is no function"),
        ("a.real", "'.' cannot stand"),
        ("a if b else c", "no sign before"),
        ("a[0]", "'[' cannot stand"),
        ("lambda: a", "missing"),
    ],
)
def test_what_is_no_formula_is_refused_in_one_sentence(text: str, words: str) -> None:
    if text == "lambda: a":  # a name divided by a name, and nothing else
        assert names_in(parse(text)) == ("lambda", "a")
        return
    with pytest.raises(BadInput) as refused:
        parse(text)
    assert words in refused.value.reason and refused.value.field == "formula"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a ÷ (b − b)", "divides by nothing"),
        ("(b − b)^-1", "divides by nothing"),
        ("sqrt(a − b)", "has no square root"),
        ("ln(a − a)", "has no logarithm"),
        ("(a − b)^0.5", "has no power"),
        ("9^9^9", "too large"),
        ("1e300 × 1e300", "too large"),
    ],
)
def test_what_comes_to_nothing_says_so_and_is_no_value_in_a_column(text: str, words: str) -> None:
    with pytest.raises(OutOfRange, match=words):
        value(parse(text), VALUES)
    columns = {name: np.array([number]) for name, number in VALUES.items()}
    assert np.isnan(array_of_values(parse(text), columns)).all()


@given(NODES)
def test_written_and_read_again_it_comes_to_the_same(node: Node) -> None:
    again = parse(written(node))
    assert names_in(again) == names_in(node)
    try:
        wanted = value(node, VALUES)
    except OutOfRange:
        with pytest.raises(OutOfRange):
            value(again, VALUES)
    else:
        assert value(again, VALUES) == pytest.approx(wanted, rel=1e-12)


@given(NODES)
def test_columns_come_to_what_single_values_come_to(node: Node) -> None:
    found = np.broadcast_to(array_of_values(node, {key: np.array([one, one]) for key, one in VALUES.items()}), (2,))
    try:
        wanted = value(node, VALUES)
    except OutOfRange:
        wanted = math.nan
    assert found == pytest.approx([wanted] * 2, rel=1e-9, nan_ok=True)


@given(st.text(alphabet="ab_1 2.,+-−×*÷/^²⁻()sqrtlne$\n√", max_size=60) | st.text(max_size=40))
@example("²")
@example("a⁻")
@example("1e5")
@example("a^-999")
def test_whatever_is_typed_is_read_or_refused(text: str) -> None:
    """A fuzz: no other error than the house's own, and what is read can be written and given values."""
    try:
        tree = parse(text)
        value(tree, dict.fromkeys(names_in(tree), 1.5))
        dimension_of(tree, dict.fromkeys(names_in(tree), dimension("mm")))
    except ClaybenchError:
        return
    assert parse(written(tree)) is not None


def test_units_go_through_a_formula() -> None:
    units = {"f": dimension("N"), "l": dimension("mm"), "b": dimension("mm"), "share": dimension("%")}
    strength = dimension_of(parse("3 × f × l ÷ (2 × b × b²)"), units)
    assert strength.powers == dimension("MPa").powers and strength.size is None
    exact = dimension_of(parse("f ÷ b²"), units)
    assert exact.size == pytest.approx(dimension("MPa").size)
    assert dimension_of(parse("sqrt(b × l)"), units).powers == dimension("mm").powers
    assert dimension_of(parse("1 − share ÷ 100"), units).is_number


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("mm + g", "cannot be added"),
        ("mm + cm", "not in one unit"),
        ("mm + 1", "cannot be added"),
        ("mm^g", "power is a plain number"),
        ("mm^share", "another kind with every reading"),
        ("ln(mm)", "plain number"),
        ("kg", "not among the inputs"),
    ],
)
def test_unlike_quantities_are_not_put_together(text: str, words: str) -> None:
    units = {"mm": dimension("mm"), "cm": dimension("cm"), "g": dimension("g"), "share": dimension("%")}
    with pytest.raises(BadInput, match=words):
        dimension_of(parse(text), units)
