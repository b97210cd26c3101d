"""The calendar of a plan: bodies with their weights, a box for each thing to do, one look a day."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from claybench.ask.plan import plan_next_set
from claybench.errors import BadInput
from claybench.insight.plan.design.plan_file import parse_plan
from claybench.insight.plan.next_set.next_set import NextSet
from claybench.insight.plan.schedule.calendar_words import rows_by_day
from claybench.paper.plan_calendar import write_plan_calendar
from claybench.record.lab import Lab
from tests.paper.reading import NASTY, PAPERS, flat, outside, sizes_of, text_of
from tests.sample import END

BUFF = """
title = "[/b] & <b>less</b> °½"
family = "buff"
count = 3
cone = "6"
batch_g = 1000
[materials]
"fire clay" = [20, 50]
"ball clay" = [20, 50]
"feldspar" = [10, 30]
[fixed]
"bentonite" = 2
[targets]
total_shrinkage_pct = [11, 12.5]
absorption_pct = [0, 2]
"""


@pytest.fixture(scope="module")
def planned(sample_lab: Lab) -> NextSet:
    return plan_next_set(sample_lab, parse_plan(BUFF), as_of=END)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_body_and_everything_to_do_is_on_it(planned: NextSet, tmp_path: Path, paper: str) -> None:
    path = tmp_path / "plan.pdf"
    write_plan_calendar(planned, path, paper=paper)
    assert all(size == pytest.approx(PAPERS[paper], abs=0.1) for size in sizes_of(path))
    assert outside(path, paper) == []
    said = flat(text_of(path))
    assert flat("[/b] & <b>less</b> °½") in said and flat("one batch of 1000 g dry each") in said
    assert flat("wanted: total shrinkage 11-12.5 %; absorption up to 2 % at cone 6") in said
    for body in planned.bodies:
        for name, part in {**body.parts, **body.fixed}.items():
            # Grams of a batch of 1000 g, 2 of its 102 parts being the addition.
            assert flat(f"{name} {1000 * part / 102:.0f}") in said
    for row in planned.calendar:
        if row.what == "dry" and row.until is None:
            continue  # a slab that stays dry enough asks for nothing
        assert flat(row.text) in said and f"{row.at:%H:%M}" in said
    for day in rows_by_day(planned.calendar):
        assert flat(day) in said
    assert {"weigh_out", "soak", "mix", "weigh", "pour", "touch", "lift"} <= {row.what for row in planned.calendar}
    # Weighing the bare slab and pouring on it are one line.
    boxes = (
        sum(row.what in ("weigh_out", "mix", "pour", "touch", "lift", "turn") for row in planned.calendar)
        + len(planned.bodies)
        + len(planned.repeats)
    )
    assert said.count("☐") == boxes
    assert all(flat(note) in said for note in planned.notes)


def test_a_plan_without_a_slab_still_prints_what_to_make(planned: NextSet, tmp_path: Path) -> None:
    bare = replace(
        planned,
        calendar=(),
        bodies=tuple(replace(body, slab=None, start=None, layers=()) for body in planned.bodies),
        notes=(NASTY,),
    )
    write_plan_calendar(bare, tmp_path / "plan.pdf")
    said = flat(text_of(tmp_path / "plan.pdf"))
    assert said.count(flat("slab left open")) == len(bare.bodies) and flat(NASTY) in said
    assert len(sizes_of(tmp_path / "plan.pdf")) == 1


def test_other_paper_is_refused(planned: NextSet, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no paper known here"):
        write_plan_calendar(planned, tmp_path / "plan.pdf", paper="A3")
