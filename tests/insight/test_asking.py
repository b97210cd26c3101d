"""Questions after bodies: what is understood of a typed line, and that the right bodies answer it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from hypothesis import given, strategies as st

from claybench.ask.body_table import body_table
from claybench.ask.comparison import side_by_side
from claybench.ask.data_frames import pieces_frame
from claybench.errors import BadInput
from claybench.insight.bodies.query.matching import match_bodies, sort_lines
from claybench.insight.bodies.query.parsing import EXAMPLE, LabNames, parse_query
from claybench.insight.bodies.query.query import BodyQuery, NumberRange, describe_query, format_query, number_names
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.declaration import Property
from claybench.measure.properties.property_set import PropertySet
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Family, Fired, Firing, FiringCone, Piece
from claybench.work.pieces import add_firing, form_pieces
from claybench.work.recipes import add_body, add_family, mix_batch
from tests.sample import END

NOW = datetime(2026, 6, 12, 12, tzinfo=UTC)
KNOWN = LabNames(
    families=("buff", "White", "red or brown"),
    materials=("ball clay", "feldspar, potash", "grog"),
    firings=("F-01", "F-02"),
    cones=("06", "6"),
    test_sets=("S-2",),
)


def read(text: str) -> BodyQuery:
    return parse_query(text, KNOWN, NOW)


def test_a_plain_line_is_understood() -> None:
    asked = read("Family buff or white, cone 06, absorption under 2,5 %; total shrinkage 11–13, contains Ball clay")
    assert asked.families == ("buff", "White") and asked.cone == "06"
    assert dict(asked.numbers) == {
        "absorption_pct": NumberRange(high=2.5, below=True),
        "total_shrinkage_pct": NumberRange(11.0, 13.0),
    }
    assert asked.contains == ("ball clay",) and asked.speaks_of_firings
    assert read("since March").since == date(2026, 3, 1)
    assert read("since September").since == date(2025, 9, 1)  # none this year yet
    assert read("until February 2024").until == date(2024, 2, 29)
    assert read("since 2025, until 12 Mar").until == date(2026, 3, 12)
    assert read('contains "feldspar, potash", without grog').contains == ("feldspar, potash",)
    assert read("sort by loss on ignition falling").sort_by == "loi_pct"
    assert read(" , ") == BodyQuery() and describe_query(BodyQuery()) == "every body"
    assert not read("water at least 22").speaks_of_firings and not read("before firing, drying > 5").speaks_of_firings
    assert read("batches at least 2").numbers == (("batches", NumberRange(low=2.0)),)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("family bluff", "Did you mean buff"),
        ("cone 7", "cones: 06, 6"),
        ("firing X", "firings: F-01, F-02"),
        ("absorbtion under 2", "Did you mean absorption"),
        ("absorption", "how much"),
        ("absorption 2", "Write under 2"),
        ("absorption under two", "Write a number"),
        ("total 13 to 11", "Write 11 to 13"),
        ("absorption under 2, absorption over 1", "stands twice"),
        ("cone 6, firing F-01", "stands twice"),
        ("since someday", "Write March"),
        ("until December 9999", "The year 9999 cannot be meant"),
        ("since 0000", "not a date of the calendar"),
        ("since 29 Feb", "without its year"),
        ("since marble", "Write March"),
        ("since May, until March", "ends"),
        ("sort by colour", "Sort by body"),
        ("nice ones", "Write for example"),
    ],
)
def test_what_is_not_understood_says_what_would_work(text: str, words: str) -> None:
    with pytest.raises(BadInput) as wrong:
        read(text)
    assert words in str(wrong.value) and wrong.value.field == "question"


limits = st.builds(
    lambda low, wide, kind: (
        NumberRange(low, low + wide),
        NumberRange(high=low, below=True),
        NumberRange(low=low, above=True),
    )[kind],
    st.integers(0, 400).map(lambda whole: whole / 8),
    st.integers(0, 80).map(lambda whole: whole / 8),
    st.integers(0, 2),
)
questions = st.builds(
    BodyQuery,
    families=st.lists(st.sampled_from(KNOWN.families), unique=True, max_size=2).map(tuple),
    cone=st.sampled_from([None, *KNOWN.cones]),
    contains=st.lists(st.sampled_from(KNOWN.materials), unique=True, max_size=2).map(tuple),
    without=st.lists(st.sampled_from(KNOWN.materials), unique=True, max_size=2).map(tuple),
    test_set=st.sampled_from([None, "S-2"]),
    control=st.booleans(),
    since=st.none() | st.dates(date(2020, 1, 1), date(2022, 1, 1)),
    until=st.none() | st.dates(date(2022, 1, 2), date(2026, 1, 1)),
    numbers=st.dictionaries(st.sampled_from(number_names()), limits, max_size=3).map(lambda held: tuple(held.items())),
    sort_by=st.sampled_from([None, "made", "firing", *number_names()]),
)


def _declared(*titles: str) -> LabNames:
    own = [
        Property(name=f"own_{at}", title=title, unit="MPa", own=True, digits=2) for at, title in enumerate(titles, 1)
    ]
    return replace(KNOWN, properties=PropertySet([*BUILT_IN.values(), *own]))


@pytest.mark.parametrize(
    ("title", "label"),
    [
        ("crushing strength", "crushing strength"),
        ("Firing colour", "Firing colour"),  # begins as another part of a question does
        ("with steam", "with steam"),
        ("wet, crushed", "own_1"),  # cannot stand between commas
        ("Total shrinkage", "own_1"),  # every lab has that one
        ("batches", "own_1"),
    ],
)
def test_a_property_of_the_labs_own_is_asked_for_by_its_title_or_its_name(title: str, label: str) -> None:
    known = _declared(title, "something else")
    for typed in (f"own_1 over 11, sort by {label}", f"{label.upper()} over 11 MPa, sort by own_1"):
        asked = parse_query(typed, known, NOW)
        assert asked.numbers == (("own_1", NumberRange(low=11.0, above=True)),) and asked.sort_by == "own_1"
        assert asked.speaks_of_firings and asked.columns()[0] == "own_1"
        assert format_query(asked) == f"{label} over 11, sort by {label}"
        assert parse_query(format_query(asked), known, NOW) == asked
        assert describe_query(asked) == f"{label} over 11 MPa; by {label}, rising"
    assert parse_query("own_1 11 MPa to 12 MPa", known, NOW).numbers == (("own_1", NumberRange(11.0, 12.0)),)
    assert parse_query("firing F-01", known, NOW).firing == "F-01"
    with pytest.raises(BadInput, match="not understood"):
        read("own_1 over 11")


@given(questions)
def test_a_question_written_out_reads_the_same(question: BodyQuery) -> None:
    assert read(format_query(question)) == question


def test_a_cone_is_asked_for_however_it_is_written(lab: Lab) -> None:
    """The cone is the one written, else the one that bent, as in a comparison; that firings of one cone are called
    "6", "cone 6" and "^6" is common practice, no source."""
    add_family(lab, Family(family="buff"))
    add_body(lab, Body(body="A", family="buff"), [])
    mix_batch(lab, Batch(batch="A-1", body="A", mixed_at=NOW), [])
    form_pieces(lab, [Piece(piece="A1", batch="A-1", formed_at=NOW, plastic_mm=100.0)])
    for number, cone in enumerate(("6", "Cone 6", "^6", "c6", None, "06", None)):
        add_firing(lab, Firing(firing=f"F{number}", fired_on=NOW, cone=cone), ["A1"])
        with lab.acting("Measured") as act:
            act.change(Fired, ("A1", f"F{number}"), {"fired_mm": 88.0})
    with lab.acting("Looked at the cones") as act:
        act.add(FiringCone(firing="F4", cone="6", place="middle", bent="down"))
    held = body_table(lab)
    for asked, wanted in (("6", "F0 F1 F2 F3 F4"), ("^6", "F0 F1 F2 F3 F4"), ("cone 06", "F5")):
        lines = match_bodies(held.lines, parse_query(f"cone {asked}", held.known, held.at))
        assert sorted(line.firing.firing for line in lines if line.firing) == wanted.split()
    assert held.known.cones == ("06", "6")
    levels = [each.level for each in side_by_side(lab, ["A"]).heats.values()]
    assert levels.count("cone 6") == 5


def test_the_right_bodies_answer(sample_lab: Lab) -> None:
    """Held against pandas: the mean of the batch means, from the table of pieces."""
    held = body_table(sample_lab)
    asked = parse_query("family buff, cone 6, absorption under 3, total shrinkage 11 to 12.3", held.known, held.at)
    found = {(line.body.body, line.firing.firing if line.firing else "") for line in match_bodies(held.lines, asked)}

    pieces = pieces_frame(sample_lab)
    by_batch = pieces.groupby(["body", "firing", "batch"])[["absorption_pct", "total_shrinkage_pct"]].mean()
    means = by_batch.groupby(["body", "firing"]).mean()
    fits = means[(means.absorption_pct < 3) & means.total_shrinkage_pct.between(11, 12.3)]
    buff = {line.body.body for line in held.lines if line.body.family == "buff"}
    cone6 = {line.firing.firing for line in held.lines if line.firing and line.firing.cone == "6"}
    assert found == {(body, firing) for body, firing in fits.index if body in buff and firing in cone6}
    assert len(found) > 3
    for line in match_bodies(held.lines, asked):
        assert line.firing is not None
        expected = means.loc[(line.body.body, line.firing.firing)]
        assert line.number("absorption_pct") == pytest.approx(expected.absorption_pct)


def test_made_since_contains_and_cost(sample_lab: Lab) -> None:
    held = body_table(sample_lab)

    def codes(text: str) -> set[str]:
        return {line.body.body for line in match_bodies(held.lines, parse_query(text, held.known, END))}

    late = codes("since 2026-09-01")
    assert late == {line.body.body for line in held.lines if line.made and line.made[-1] >= date(2026, 9, 1)} and late
    assert codes("contains grog, without grog") == set()
    assert codes("contains grog") | codes("without grog") == {line.body.body for line in held.lines}
    cheap = codes("cost under 0.57")
    assert cheap and all(line.cost_per_kg < 0.57 for line in held.lines if line.body.body in cheap)  # type: ignore[operator]
    assert codes("until 2020") == set()


def test_sorted_either_way_what_is_missing_comes_last(sample_lab: Lab) -> None:
    lines = body_table(sample_lab).lines
    for falling in (False, True):
        values = [line.number("bulk_density") for line in sort_lines(lines, "bulk_density", falling=falling)]
        known = [value for value in values if value is not None]
        assert known == sorted(known, reverse=falling) and len(known) > 3
        assert None in values and values[len(known) :] == [None] * (len(values) - len(known))


def test_the_past_is_asked_as_it_was(sample_lab: Lab) -> None:
    early = body_table(sample_lab, as_of=datetime(2026, 5, 1, tzinfo=UTC))
    now = body_table(sample_lab)
    assert len(early.lines) < len(now.lines)
    assert all(day <= date(2026, 5, 1) for line in early.lines for day in line.made)


def test_the_example_is_one(sample_lab: Lab) -> None:
    held = body_table(sample_lab)
    assert parse_query(EXAMPLE, held.known, END).numbers
