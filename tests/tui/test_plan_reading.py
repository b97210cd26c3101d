"""What is typed into a plan's form, understood without a screen: spans, hours, tables, what contradicts what."""

from __future__ import annotations

import dataclasses
import math
from datetime import UTC, date, datetime, time

import pytest

from claybench.ask.plan import PlanStart
from claybench.errors import BadInput
from claybench.exchange.plan_files import read_plan
from claybench.insight.plan.design.plan_request import FirstSetRequest
from claybench.quantity.shown import format_bounds
from claybench.terms import Material
from claybench.tui.plan.form_fields import first_set_fields, head_fields, plan_as_typed
from claybench.tui.plan.form_parser import FieldNote, ParsedPlanForm, parse_plan_form
from claybench.tui.plan.typed_ranges import bench_hours_text, parse_bench_hours, parse_bounds
from tests.docs.reference import DOCS

NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
START = PlanStart(
    families=("buff",),
    bodies=("B-01",),
    materials={
        name.casefold(): Material(material=name, kind=kind)
        for name, kind in (("Ball Clay", "clay"), ("Fire Clay", "clay"), ("Feldspar", "flux"))
    },
    recipes={"B-01": frozenset({"ball clay", "feldspar"}), "W-01": frozenset({"kaolin"})},
    bench=(time(8), time(18)),
    lab=None,
)
TYPED = {
    "title": "t",
    "family": "BUFF",
    "count": "4",
    "materials-0": "ball clay\t30-60",
    "materials-1": "fire clay\t20-50",
    "materials-2": "feldspar\t10-30",
}


def read(**changes: str) -> ParsedPlanForm:
    typed = TYPED | {name.replace("__", "-"): text for name, text in changes.items()}
    return parse_plan_form(typed, (*head_fields((), (), ""), *first_set_fields()), START, NOW)


def test_a_material_or_family_near_to_one_of_the_lab_is_a_doubt() -> None:
    parsed = read(family="bufff", fixed__0="fireclay\t1")
    assert parsed.notes["family"] == FieldNote("did you mean buff?", "doubt")
    assert parsed.notes["fixed-0"] == FieldNote("= 1 on top of the 100; did you mean Fire Clay?", "doubt")


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("30-60", (30, 60)), ("30 – 60", (30, 60)), ("30 to 60", (30, 60)), ("from 30 to 60", (30, 60)),
        ("30..60", (30, 60)), ("12,5-14", (12.5, 14)), ("up to 2", (0, 2)), ("<= 2", (0, 2)), ("≤2 %", (0, 2)),
        ("at least 5", (5, 100)), ("from 5", (5, 100)), ("40", (40, 40)), ("1 1/2-2", (1.5, 2)),
    ],
)  # fmt: skip
def test_spans_are_read_as_people_write_them(text: str, ends: tuple[float, float]) -> None:
    assert parse_bounds(text, 0, 100) == ends


@pytest.mark.parametrize(
    ("text", "words"),
    [("60-30", "Write 30-60"), ("30-160", "from 0 to 100"), ("much", "not a number"), ("1-2-3", "not two numbers")],
)
def test_a_span_that_cannot_be_used_says_what_works(text: str, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        parse_bounds(text, 0, 100)


def test_spans_are_written_back_as_they_are_read() -> None:
    for ends in ((30.0, 60.0), (12.5, 14.0), (40.0, 40.0)):
        assert parse_bounds(format_bounds(ends), 0, 100) == ends
    assert parse_bounds(format_bounds((5, math.inf)), 0, math.inf) == (5, math.inf)


def test_hours_of_a_week() -> None:
    bench = parse_bench_hours("mon-fri 9-17:30, sat 10 to 13, closed 1 Jan", NOW)
    assert bench.weekdays[0] == (time(9), time(17, 30)) and bench.weekdays[5] == (time(10), time(13))
    # A day without its year is one ahead: the first of January to come.
    assert bench.weekdays[6] is None and bench.closed == (date(2027, 1, 1),)
    assert parse_bench_hours(bench_hours_text(bench), NOW) == bench
    assert bench_hours_text(parse_bench_hours("8-18", NOW)) == "8:00-18:00"
    assert parse_bench_hours("Mondays 9am-5:30pm, wed noon to 17", NOW).weekdays[:3] == (
        (time(9), time(17, 30)), None, (time(12), time(17)),
    )  # fmt: skip
    assert parse_bench_hours("9-17, closed 11 Mar 2026, closed Sunday", NOW).closed == (
        date(2026, 3, 11),
        date(2026, 3, 15),
    )
    told = {
        "fri-mon 9-17": "backwards",
        "mon 17-9": "later",
        "moon 9-17": "names no day",
        "closed 1 Jan": "No day",
        "9-17, closed 29 Feb": "without its year. Write 29 Feb 2028",
        "9-24": "two times of a day",
        "\u0669-17": "two times of a day",
    }
    for wrong, words in told.items():
        with pytest.raises(BadInput, match=words):
            parse_bench_hours(wrong, NOW)


def test_a_plan_is_understood_with_the_labs_spelling() -> None:
    parsed = read(groups__0="clays\t65-85", fixed__0="bentonite\t1", absorption_pct="up to 2", peak_temp_c="2232 °F")
    asked = parsed.request
    assert asked is not None and not parsed.wrong and not parsed.problem
    assert asked.family == "buff" and list(asked.materials) == ["Ball Clay", "Fire Clay", "Feldspar"]
    assert asked.groups[0].materials == ("Ball Clay", "Fire Clay") and asked.fixed == {"bentonite": 1.0}
    assert asked.targets == {"absorption_pct": (0.0, 2.0)} and asked.peak_temp_c == pytest.approx(1222.2, abs=0.1)
    assert "; new: bentonite" in parsed.notes["fixed-0"].text and "new" not in parsed.notes["materials-0"].text
    # The clays' 65-85 leave at least 15 for the feldspar.
    assert "leave 15 to 30" in parsed.notes["materials-2"].text
    assert any("1 body of the lab is made of these: B-01" in line for line in parsed.remarks)


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"materials__3": "Fire clay\t1-2"}, "materials-3", "stands there already"),
        ({"materials__3": "grog\t"}, "materials-3", "Between what"),
        ({"materials__3": "\t5-10"}, "materials-3", "Of which material"),
        ({"fixed__0": "feldspar\t1"}, "fixed-0", "is varied above"),
        ({"fixed__0": "talc\tlots"}, "fixed-0", "lots"),
        ({"groups__0": "ball, grog\t40-60"}, "groups-0", "grog is not among"),
        ({"groups__0": "ball, ball clay\t40-60"}, "groups-0", "twice"),
        ({"cone": "6", "peak_temp_c": "1220 °C"}, "peak_temp_c", "cone or the temperature"),
        ({"base": "X-9"}, "base", "no body X-9"),
        ({"absorption_pct": "2"}, "absorption_pct", "never met exactly"),
        ({"first": "line", "between": "B-01"}, "between", "runs between 2"),
        ({"between": "B-01, B-02"}, "between", "Only a line"),
        ({"count": "0"}, "count", "1 or more"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field(changes: dict[str, str], field: str, words: str) -> None:
    parsed = read(**changes)
    assert parsed.request is None and parsed.notes[field].kind == "wrong" and words in parsed.notes[field].text


def test_bounds_that_contradict_each_other_are_each_named() -> None:
    parsed = read(materials__2="feldspar\t10-12", groups__0="ball, fire\t40-80")
    assert parsed.request is None and set(parsed.wrong) == {"materials-2", "groups-0"}
    assert "Feldspar at most 12" in parsed.problem and "Ball Clay + Fire Clay at most 80" in parsed.problem
    assert parsed.notes["materials-2"].text == "Feldspar at most 12: not with Ball Clay + Fire Clay at most 80"
    assert "two materials" in read(materials__1="", materials__2="").problem
    assert "Still missing: title" in read(title="").problem


def test_a_plan_goes_into_the_form_and_comes_back_the_same() -> None:
    asked = read_plan(DOCS / "less-shrinkage.toml")
    heads = (*head_fields((), (), ""), *first_set_fields())
    assert parse_plan_form(plan_as_typed(asked), heads, START, NOW).request is not None
    # What the form does not ask stays, as long as the kind does.
    held = dataclasses.replace(asked, first=FirstSetRequest(kind="lattice", degree=3), batch_g=1500.0)
    start = dataclasses.replace(START, materials={})
    assert parse_plan_form(plan_as_typed(held), heads, start, NOW, held).request == held
