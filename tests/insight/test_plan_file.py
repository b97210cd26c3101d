"""The plan file: the form users' files have, every fault in plain words, and back again unchanged."""

from __future__ import annotations

import math
import tomllib
import unicodedata
from datetime import date, time
from typing import Any

import pytest
from hypothesis import given, settings, strategies as st

from claybench.errors import BadInput
from claybench.insight.plan.design.plan_file import KEYS, format_plan, parse_plan
from claybench.insight.plan.design.plan_request import BenchHoursRequest, FirstSetRequest, PlanRequest
from claybench.insight.plan.design.region import Group
from claybench.measure.properties.built_in import BUILT_IN

pytestmark = pytest.mark.slow

PLAN = """\
title = "less shrinkage, same colour"
family = "buff"
count = 6
cone = "6"
[materials]
"ball clay" = [30, 60]
"fire clay" = [20, 50]
"feldspar"  = [10, 30]
[fixed]
"bentonite" = 1.0
[[groups]]
materials = ["ball clay", "fire clay"]
between = [65, 85]
[targets]
total_shrinkage_pct = [11, 12.5]
absorption_pct = [0, 2]
[bench]
hours = ["09:00", "17:30"]
sat = [10, 13]
sun = []
closed = [2026-12-24]
"""


def test_a_plan_is_read() -> None:
    usual = (time(9), time(17, 30))
    assert parse_plan(PLAN) == PlanRequest(
        title="less shrinkage, same colour",
        family="buff",
        count=6,
        cone="6",
        materials={"ball clay": (30, 60), "fire clay": (20, 50), "feldspar": (10, 30)},
        fixed={"bentonite": 1},
        groups=(Group(("ball clay", "fire clay"), 65, 85),),
        targets={"total_shrinkage_pct": (11, 12.5), "absorption_pct": (0, 2)},
        bench=BenchHoursRequest((*(usual,) * 5, (time(10), time(13)), None), (date(2026, 12, 24),)),
    )
    # Feldspar is held by the group: 100 less 65 to 85.
    assert parse_plan(PLAN).region().reachable_bounds()["feldspar"] == (15, 30)


def test_a_base_alone_is_a_plan() -> None:
    plan = parse_plan('base = "B-12"\ncount = 4\npeak_temp_c = 1220\n[targets]\ncost_per_kg = [0, 1.2]\n')
    assert (plan.base, plan.family, plan.materials, plan.peak_temp_c) == ("B-12", None, {}, 1220)


@pytest.mark.parametrize(
    ("old", "new", "says", "works"),
    [
        ("count = 6", "cuont = 6", "A plan has no 'cuont'", "Did you mean count?"),
        ("count = 6", "", "how many bodies", "count = 6"),
        ("count = 6", "count = 0", "count is 0", "1 to 200"),
        ("count = 6", "count = 2.5", "not a whole number", "count = 6"),
        ("count = 6", "count = true", "not a whole number", "count = 6"),
        ("count = 6", f"count = {10**400}", "count is 1000", "1 to 200"),
        ("count = 6", f"count = {'9' * 5000}", "cannot be read", ""),
        ("count = 6", "count == 6", "cannot be read as TOML", "line 3"),
        ("count = 6", f"count = {'[' * 20_000}", "cannot be read as TOML", ""),
        ('family = "buff"', "", "names no family", "base body"),
        ('family = "buff"', "family = 3", "family is 3, not text", "quotes"),
        ('family = "buff"', 'family = " "', "family is empty", "name"),
        ('family = "buff"', 'family = "a\\nb"', "control characters", "40 letters"),
        ('cone = "6"', 'cone = "6"\npeak_temp_c = 1220', "a cone and a peak temperature", "the one"),
        ('cone = "6"', "peak_temp_c = 12200", "peak_temp_c is 12200", "100 to 2000"),
        ('"ball clay" = [30, 60]', '"ball clay" = [60, 30]', "from 60 to 30", "[30, 60]"),
        ('"ball clay" = [30, 60]', '"ball clay" = 30', "not two numbers", "[10, 20]"),
        ('"ball clay" = [30, 60]', '"ball clay" = [30, 160]', "is 160", "0 to 100"),
        ('"ball clay" = [30, 60]', '"ball clay" = ["30", 60]', "not a number", "no unit"),
        ('"ball clay" = [30, 60]', '"ball clay" = [nan, 60]', "not a number", "no unit"),
        ('"ball clay" = [30, 60]', '"ball clay" = [30, 60]\n"Ball Clay" = [1, 2]', "twice", "once"),
        ('"ball clay" = [30, 60]', '"ball clay" = [70, 80]', "contradict", "ball clay at least 65"),
        ('[fixed]\n"bentonite" = 1.0', '[fixed]\n"Feldspar" = 1.0', "varied and fixed", "under"),
        ('"bentonite" = 1.0', '"bentonite" = -1', "bentonite is -1", "0 to 100"),
        ('"bentonite" = 1.0', '"bentonite" = 1.0\nbase = 2', "base stands under [fixed]", "above the first"),
        ("[[groups]]", "[groups]", "groups is one table", "[[groups]]"),
        ("between = [65, 85]", "betwen = [65, 85]", "no 'betwen'", "Did you mean between?"),
        ("between = [65, 85]", "", "lacks", "between"),
        ('["ball clay", "fire clay"]', '["ball clay", "fire caly"]', "no bounds", "Did you mean fire clay?"),
        ('["ball clay", "fire clay"]', '["ball clay", "BALL CLAY"]', "twice", "once"),
        ('["ball clay", "fire clay"]', "[]", "lacks its materials", "materials ="),
        ("absorption_pct", "absorbtion_pct", "no 'absorbtion_pct'", "Did you mean absorption_pct?"),
        ("absorption_pct = [0, 2]", "absorption_pct = [2, 0]", "from 2 to 0", "[0, 2]"),
        ("absorption_pct = [0, 2]", "absorption_pct = 2", "not two numbers", "lowest"),
        ("absorption_pct = [0, 2]", "count = 3", "count stands under [targets]", "above the first"),
        ('["09:00", "17:30"]', '["17:30", "09:00"]', "opens at 17:30", "same day"),
        ('["09:00", "17:30"]', '["9 am", "17:30"]', "not a time of day", "09:30"),
        ('["09:00", "17:30"]', "8", "not hours", "09:00"),
        ("sun = []", "sunday = []", "no 'sunday'", "Did you mean sun?"),
        ("[2026-12-24]", '["yule"]', "not a day", "2026-12-24"),
        ("[2026-12-24]", "2026-12-24", "closed is", "list"),
    ],
)
def test_faults_are_said_with_what_would_work(old: str, new: str, says: str, works: str) -> None:
    assert old in PLAN
    with pytest.raises(BadInput) as refused:
        parse_plan(PLAN.replace(old, new, 1))
    assert says in refused.value.reason
    assert works in str(refused.value)


@pytest.mark.parametrize("key", KEYS)
def test_every_key_is_held_against_what_it_should_be(key: str) -> None:
    for wrong in ("[[1]]", "true", "1979-05-27"):
        table = {"count": "6", "base": '"B-1"'} | {key: wrong}
        with pytest.raises(BadInput):
            parse_plan("".join(f"{name} = {value}\n" for name, value in table.items()))


names = st.text(st.characters(exclude_categories=["Cc", "Cs"]), min_size=1, max_size=12).map(str.strip).filter(bool)


@pytest.mark.parametrize(
    ("lines", "asked"),
    [
        (
            'kind = "Triangle"\nbetween = ["B-1", "B-2", "B-3"]',
            FirstSetRequest(kind="triangle", between=("B-1", "B-2", "B-3")),
        ),
        ('kind = "i-optimal"\nmodel = "quadratic"', FirstSetRequest(kind="I-optimal", model="quadratic")),
        ('kind = "lattice"\ndegree = 3', FirstSetRequest(kind="lattice", degree=3)),
        ("", FirstSetRequest()),
    ],
)
def test_a_first_set_is_read_and_written_back(lines: str, asked: FirstSetRequest) -> None:
    plan = parse_plan(f"{PLAN}\n[first]\n{lines}\n".replace("count = 6", "count = 6\nbatch_g = 1500"))
    assert plan.first == asked and plan.batch_g == 1500
    assert parse_plan(format_plan(plan)) == plan


@pytest.mark.parametrize(
    ("lines", "says", "works"),
    [
        ('kind = "latice"', "laid out as 'latice'", "Did you mean lattice?"),
        ('kind = "zzz"', "laid out as 'zzz'", "D-optimal"),
        ('kind = "corners"\ndegree = 2', "degree says nothing to a set laid out as corners", 'kind = "lattice"'),
        ("degree = 2", "laid out as the plan chooses", 'kind = "lattice"'),
        ('kind = "line"\nbetween = ["B-1"]', "between is ['B-1']", "Name 2"),
        ('kind = "D-optimal"\nmodel = "cubic"', "no mixture model 'cubic'", "special_cubic"),
        ('kin = "line"', "[first] has no 'kin'", "Did you mean kind?"),
    ],
)
def test_a_first_set_that_is_none_is_refused(lines: str, says: str, works: str) -> None:
    with pytest.raises(BadInput) as refused:
        parse_plan(f"{PLAN}\n[first]\n{lines}\n")
    assert says in refused.value.reason and works in refused.value.remedy


parts = st.floats(0, 100)
clocks = st.times().map(lambda at: at.replace(second=0, microsecond=0))


def ordered(ends: st.SearchStrategy[Any]) -> st.SearchStrategy[tuple[Any, Any]]:
    return st.tuples(ends, ends).map(lambda pair: (min(pair), max(pair)))


@st.composite
def plans(draw: st.DrawFn) -> PlanRequest:
    """Any plan whose bounds leave something."""
    drawn = draw(st.lists(names, min_size=1, max_size=6, unique_by=tidy))
    own = [tidy_name(name) for name in drawn if tidy_name(name) not in KEYS]
    cut = draw(st.integers(0, len(own)))
    varied, fixed = own[:cut], own[cut:]
    weights = draw(st.lists(st.integers(1, 9), min_size=len(varied), max_size=len(varied)))
    inside = {name: 100 * weight / sum(weights) for name, weight in zip(varied, weights, strict=True)}
    # A hair's breadth of room, so that what rounds in the sum does not contradict.
    bounds = {
        name: (max(math.floor(part) - draw(parts), 0.0), min(math.ceil(part) + draw(parts), 100.0))
        for name, part in inside.items()
    }
    members = draw(st.lists(st.sampled_from(varied), min_size=1, unique=True)) if varied else []
    hours = st.none() | ordered(clocks).filter(lambda pair: pair[0] < pair[1])
    week = draw(st.lists(hours, min_size=7, max_size=7))
    bench = BenchHoursRequest(tuple(week), tuple(draw(st.lists(st.dates(), max_size=2)))) if any(week) else None
    target = ordered(st.floats(allow_nan=False))
    return PlanRequest(
        title=tidy_name(draw(st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=20))),
        family=draw(st.just("buff") | names.map(tidy_name)),
        count=draw(st.integers(1, 200)),
        cone=draw(st.none() | st.sampled_from(["06", "6", "10"])),
        base=draw(st.none() | names.map(tidy_name)) if varied else "B-1",
        materials=bounds,
        fixed={name: draw(parts) for name in fixed},
        groups=(Group(tuple(members), 0.0, 100.0),) if members else (),
        targets=draw(st.dictionaries(st.sampled_from(BUILT_IN.targets), target)),
        bench=bench,
    )


def tidy_name(name: str) -> str:
    return unicodedata.normalize("NFC", name).strip()


def tidy(name: str) -> str:
    return tidy_name(name).casefold()


@settings(max_examples=200, deadline=None)
@given(plans())
def test_what_is_written_reads_back_the_same(plan: PlanRequest) -> None:
    text = format_plan(plan)
    assert parse_plan(text) == plan
    assert format_plan(parse_plan(text)) == text


@settings(max_examples=200, deadline=None)
@given(st.dictionaries(st.sampled_from([*KEYS, "kount"]), st.sampled_from(["1", '"x"', "[]", "{}", "[1, 2]", "inf"])))
def test_anything_is_read_or_refused_in_words(table: dict[str, str]) -> None:
    text = "".join(f"{key} = {value}\n" for key, value in table.items())
    assert set(tomllib.loads(text)) == set(table)
    try:
        assert parse_plan(text).count == 1
    except BadInput as refused:
        assert refused.reason.endswith(".")
