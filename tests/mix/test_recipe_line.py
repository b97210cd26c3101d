"""A recipe in one line: names that end in a number, quotes, and the line read back."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given, strategies as st

from claybench.errors import BadInput
from claybench.mix.doses import named_number, read_doses
from claybench.mix.recipe_line import doubt_recipe, echo_recipe, read_line, read_recipe, write_recipe
from claybench.terms.naming import Names, fold_name, tidy_name

SHELF = Names("material", ("kaolin", "ball clay", "ball clay 2", "talc 325 mesh", "grog 1", "clay, red", "soda+lime 3"))


@pytest.mark.parametrize(
    ("text", "name", "parts"),
    [
        ("ball clay 2 50", "ball clay 2", 50),
        ("Talc 325 Mesh 10", "talc 325 mesh", 10),
        ("clay, red 30", "clay, red", 30),
        ("soda+lime 3 2,5", "soda+lime 3", 2.5),
        ("30 clay, red", "clay, red", 30),
        ("kaolin 1 1/2", "kaolin", 1.5),
        ("kaolin 1 200", "kaolin", 1200),
        ("ball  clay   30", "ball clay", 30),
        ("12 x grog 1", "grog 1", 12),
        ("30 % kaolin", "kaolin", 30),
        ("kaolin 30 %", "kaolin", 30),
    ],
)
def test_the_names_of_the_lab_decide_first(text: str, name: str, parts: float) -> None:
    assert read_recipe(text, SHELF) == [(name, parts)]


@pytest.mark.parametrize(
    ("text", "name", "parts"),
    [
        ("ball clay 2 50", "ball clay 2", 50),
        ("talc 325 mesh 10", "talc 325 mesh", 10),
        ("grog 0.5 12.5", "grog 0.5", 12.5),
        ("nepheline syenite 270: 20", "nepheline syenite 270", 20),
        ("grog 1 = 200", "grog 1", 200),
        ("grog = 1 200", "grog", 1200),
        ("grog 1\t200", "grog 1", 200),
        ('"grog 1" 200', "grog 1", 200),
        ('200 "grog 1"', "grog 1", 200),
        ('"5 ""fine"" grog; 2+3" 7', '5 "fine" grog; 2+3', 7),
        ("30½ kaolin", "kaolin", 30.5),
    ],
)
def test_else_a_mark_decides_and_else_the_last_number_is_the_parts(text: str, name: str, parts: float) -> None:
    assert read_recipe(text) == [(name, parts)]


@pytest.mark.parametrize(
    ("text", "names", "one", "other"),
    [
        ("grog 1 200", Names("material"), "200 of 'grog 1'", "1 200 of 'grog'"),
        ("feldspar 4 1/2", Names("material"), "1/2 of 'feldspar 4'", "4 1/2 of 'feldspar'"),
        ("10 grog 20", Names("material"), "20 of '10 grog'", "10 of 'grog 20'"),
        ("ball clay 2 500", SHELF, "500 of 'ball clay 2'", "2 500 of 'ball clay'"),
    ],
)
def test_what_can_be_read_in_two_ways_is_refused_with_both_named(text: str, names: Names, one: str, other: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_recipe(text, names)
    assert one in str(refused.value) and other in str(refused.value)


def test_the_same_rule_holds_for_additions_and_for_the_parts_of_a_command() -> None:
    assert named_number("talc 325 10", "--part") == ("talc 325", 10.0)
    doses = read_doses("ball clay 2 1 %, silicate 0,3 %")
    assert [(each.material, each.pct) for each in doses] == [("ball clay 2", 1.0), ("silicate", 0.3)]
    assert read_line("ball clay 2: 1 %", unit="%") == ("ball clay 2", 1.0)
    with pytest.raises(BadInput, match="--part: .*can be read as"):
        named_number("grog 1 200", "--part")


def test_the_echo_says_how_numbered_names_were_read_and_which_names_are_new() -> None:
    said = echo_recipe("ball clay 2 50, quartz 50", SHELF)
    assert said == "= 2 materials, 100 parts; 50 of ball clay 2; new: quartz"
    assert doubt_recipe("kaol 50, quartz 50", SHELF) == "kaol: did you mean kaolin?"
    assert doubt_recipe("kaolin 50, quartz 50", SHELF) == ""


@pytest.mark.parametrize("text", ["kaolin", "30", "kaolin 0", "kaolin 30, KAOLIN 20", "kaolin -3", '"kaolin 30'])
def test_what_is_no_recipe_is_refused(text: str) -> None:
    with pytest.raises(BadInput):
        read_recipe(text, SHELF)


def _names() -> st.SearchStrategy[str]:
    """Names the record takes: tidy, not empty, nothing that cannot be seen; letters, digits and marks mixed."""
    marks = st.sampled_from(list("aB é0123459 .,;:=+x×%/½\"'-\u00a0"))
    other = st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp", "Cn"))
    text = st.one_of(st.text(marks, min_size=1, max_size=12), st.text(other, min_size=1, max_size=8))
    return text.map(tidy_name).filter(lambda name: name != "" and unicodedata.normalize("NFC", name) == name)


PARTS = st.floats(min_value=1e-9, max_value=1e6, allow_nan=False)


@given(
    st.lists(st.tuples(_names(), PARTS), min_size=1, max_size=5, unique_by=lambda line: fold_name(line[0])),
    st.lists(_names(), max_size=4),
)
def test_what_a_form_offers_reads_back_as_the_same_recipe_whatever_the_names(
    lines: list[tuple[str, float]], others: list[str]
) -> None:
    own = [name for name, _ in lines]
    taken = {fold_name(name) for name in own}
    names = Names(
        "material", (*own, *{fold_name(name): name for name in others if fold_name(name) not in taken}.values())
    )
    assert read_recipe(write_recipe(lines, names), names) == lines


@given(st.text(max_size=40), st.lists(_names(), max_size=4))
def test_any_text_is_read_or_refused(text: str, held: list[str]) -> None:
    try:
        lines = read_recipe(text, Names("material", tuple(held)))
    except BadInput:
        return
    assert all(parts > 0 for _, parts in lines)
