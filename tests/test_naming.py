"""Names as typed, held against those of a lab: the same, near, or another."""

from __future__ import annotations

import csv

import pytest
from hypothesis import given, strategies as st

from claybench.cli.labs import sample_folder
from claybench.terms.naming import ASKED_ABOUT, Names, edit_distance, name_questions, near_name_notes

SAMPLE = sample_folder()
SHELF = Names(
    "material",
    (
        "kaolin",
        "ball clay",
        "ball clay 2",
        "talc",
        "talc 325 mesh",
        "potash feldspar",
        "grog 0.5",
        "fireclay",
        "Bentonit é",
    ),
    {"china clay 1": "kaolin", "flint": ""},
)


@pytest.mark.parametrize(
    ("typed", "near"),
    [
        ("kaol", "kaolin"),  # typed short
        ("koalin", "kaolin"),  # two letters swapped
        ("kaolen", "kaolin"),
        ("kaolins", "kaolin"),  # a plural
        ("ballclay", "ball clay"),
        ("Ball-Clay", "ball clay"),
        ("clay, ball", "ball clay"),  # words the other way round
        ("ball caly 2", "ball clay 2"),
        ("feldspar potash", "potash feldspar"),
        ("pot feld", "potash feldspar"),
        ("fire clay", "fireclay"),
        ("grog 0,5", "grog 0.5"),
        ("bentonit e", "Bentonit é"),
        ("chyna clay 1", "kaolin"),  # near to what it was called before
    ],
)
def test_a_name_typed_short_or_misspelt_is_near_to_the_one_that_is_meant(typed: str, near: str) -> None:
    found = SHELF.match(typed)
    assert found.is_new and found.near[0] == near
    (asked,) = name_questions(typed, SHELF, "material")
    assert (asked.kind, asked.field) == ("near_name", "material") and f"'{near}'" in asked.text and typed in asked.text
    (note,) = near_name_notes([typed], SHELF)
    assert near in note and typed in note


@pytest.mark.parametrize(
    "typed",
    [
        "quartz",
        "ball clay 3",
        "talc 200 mesh",
        "grog 5",
        "red clay",
        "soda feldspar",
        "kaolin 2",
        "kaolin A",
        "wollastonite",
    ],
)
def test_a_name_of_its_own_is_not_asked_about(typed: str) -> None:
    assert SHELF.match(typed).near == ()
    assert name_questions(typed, SHELF) == near_name_notes([typed], SHELF) == []
    assert SHELF.says(typed, made=True) == (f"new: {typed}", False)


def test_numbered_codes_are_not_near_to_each_other() -> None:
    bodies = Names("body", ("W-01", "W-08", "B-07a", "P12", "feldspar II"))
    assert all(bodies.match(code).near == () for code in ("W-09", "B-07b", "B-01", "P1-2", "X-08", "feldspar III"))
    assert bodies.match("W-1").near == bodies.match("w 01").near == ("W-01",)


def test_the_same_name_in_any_case_and_composition_is_the_one_that_is_held() -> None:
    assert SHELF.match("KAOLIN ").same == "kaolin" and SHELF.says("Kaolin", made=True) == ("= kaolin", False)
    assert SHELF.match("Bentonit e\u0301").same == "Bentonit é"
    assert SHELF.says("kaolin", made=True) == ("", False) and name_questions("KAOLIN", SHELF) == []


def test_a_name_that_was_given_up_says_what_became_of_it() -> None:
    assert SHELF.says("China Clay 1", made=True) == ("it is called kaolin now", True)
    assert SHELF.match("flint").gone and SHELF.says("FLINT", made=True)[1]


def test_one_that_is_not_made_by_its_name_offers_what_is_close_to_it_whatever_the_number() -> None:
    slabs = Names("slab", ("P1", "P2", "R1"))
    assert slabs.says("P9", made=False) == ("there is no slab P9; did you mean P2 or P1?", True)
    assert Names("slab").says("P9", made=False) == ("there is no slab P9", True)


@pytest.mark.parametrize(
    ("one", "other", "slips"),
    # kitten and sitting: the textbook pair of Wagner and Fischer's distance; the rest by counting
    [
        ("kitten", "sitting", 3),
        ("ca", "ac", 1),
        ("grog", "grog", 0),
        ("clay", "claay", 1),
        ("clay", "lay", 1),
        ("", "ab", 2),
    ],
)
def test_slips_are_counted(one: str, other: str, slips: int) -> None:
    assert edit_distance(one, other, 3) == edit_distance(other, one, 3) == slips


@given(st.lists(st.text(max_size=12), max_size=8, unique=True), st.text(max_size=12))
def test_any_text_can_be_held_against_any_names(held: list[str], typed: str) -> None:
    found = Names("material", tuple(held)).match(typed)
    assert set(found.near) <= set(held) and len(found.near) <= 3
    assert not (found.same and found.near)


def test_names_that_come_together_are_held_against_each_other_once() -> None:
    assert near_name_notes(["dolomite", "dolomyte", "whiting"], SHELF) == [
        "New material: dolomyte; did you mean dolomite?"
    ]


def test_the_names_of_the_sample_lab_are_entered_without_a_question() -> None:
    for table in ASKED_ABOUT:
        with (SAMPLE / f"{table}.csv").open(encoding="utf-8", newline="") as file:
            names = [row[0] for row in csv.reader(file)][1:]
        assert len(names) >= 3 and near_name_notes(names, Names("name")) == []
