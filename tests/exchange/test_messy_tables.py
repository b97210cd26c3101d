"""Messy tables, all invented, against what a person would expect of every row: nothing is silently wrong."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from claybench.record.lab import Lab
from tests.docs.reference import DOCS
from tests.exchange.tables.outcomes import HERE, open_workshop, read_one, table_names, total_of, understand

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """The lab of an invented workshop."""
    lab = open_workshop(tmp_path_factory.mktemp("workshop"))
    yield lab
    lab.close()


def test_no_row_of_any_table_is_silently_wrong_and_the_page_says_what_was_measured(workshop: Lab) -> None:
    outcomes = [read_one(workshop, name) for name in table_names()]
    assert {each.name: each.remarks for each in outcomes if each.wrong} == {}
    total = total_of(outcomes)
    assert total.refused <= 0.05 * total.rows
    page = (DOCS / "reading-a-table.md").read_text(encoding="utf-8")
    said = re.search(
        r"(\d+) tables with (\d+) rows.*?(\d+) rows at once.*?(\d+) after.*?(\d+) left.*?(\d+) refused.*?"
        r"(\d+) silently wrong",
        " ".join(page.split()),
    )
    assert said is not None
    measured = (len(outcomes), total.rows, total.at_once, total.answered, total.left, total.refused, total.wrong)
    assert tuple(map(int, said.groups())) == measured


def test_a_table_that_can_be_read_two_ways_asks_one_question_with_its_options(workshop: Lab) -> None:
    for name, kind, option in (
        ("lots_undecided", "lots", "--decimal comma"),
        ("dates_ambiguous", "lots", '--dates "day first"'),
        ("bars_inches_unsigned", "pieces", "--unit in"),
        ("firing_log", "firings", '--unit "°F"'),
        ("batches_kilograms", "batches", "--unit kg"),
        ("recipes_long", "recipe-lines", "--fill-down Recipe"),
        ("recipes_wide_slip", "bodies", "--leave-out shelf"),
        ("recipes_spellings", "recipe-lines", '--same "ball caly=ball clay"'),
    ):
        (asked,) = understand(workshop, HERE / f"{name}.csv", {"as": kind}, {}).asked
        assert option in asked and "?" in asked
