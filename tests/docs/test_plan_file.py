"""The plan file of the docs says what the form would write, and the sample lab answers it."""

from __future__ import annotations

from claybench.ask.plan import plan_next_set
from claybench.exchange.plan_files import read_plan
from claybench.insight.plan.design.plan_file import format_plan, parse_plan
from claybench.record.lab import Lab
from tests.docs.reference import DOCS
from tests.sample import END


def test_the_plan_of_the_docs_is_answered_by_the_sample_lab(sample_lab: Lab) -> None:
    asked = read_plan(DOCS / "less-shrinkage.toml")
    assert parse_plan(format_plan(asked)) == asked
    found = plan_next_set(sample_lab, asked, as_of=END)
    assert len(found.bodies) == asked.count and found.bodies[0].chance > 0.5 and found.calendar
