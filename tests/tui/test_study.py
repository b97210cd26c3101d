"""A measurement study made with keys: the order, the hands, the result, and going on after the program was closed."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.pieces import repeat_studies
from claybench.insight.pieces.measurement_study import StudyPlan
from claybench.record.opening import open_lab
from claybench.terms import Measurement
from claybench.tui.drafts import Drafts
from claybench.tui.pieces.study import drop_study, keep_study, load_study
from tests.tui.driver import Driver, opened
from tests.tui.test_measuring import AT, bars, record

pytestmark = pytest.mark.slow

LENGTHS = {"3A": 19.1, "3C": 19.25}
HANDS = {"k": 0.0, "m": 0.1}


async def read_next(driver: Driver) -> str:
    """Read the bar the screen names, with the hand it names: the same as before, and a little off by round."""
    said = driver.said("#turn")
    hand, rest = said.split(": ", 1)
    code = rest.split(" of ", 1)[1].split()[0]
    value = LENGTHS[code] + HANDS[hand] + (0.02 if "round 2" in said else 0.0)
    await driver.write(f"{value:.2f}")
    await driver.press("enter")
    return f"{hand} {code}"


async def test_a_study_from_its_form_to_its_result(lab_path: Path) -> None:
    bars(lab_path)
    async with opened(lab_path) as driver:
        await driver.press("4", "s")
        assert "Take five to ten bars" in driver.text()
        await driver.press("n")
        await driver.fill(pieces="3A, 9Z", hands="k, m")
        await driver.press("ctrl+s")
        assert "There is no bar 9Z" in driver.text()
        await driver.fill(pieces="3A, 3C")
        await driver.press("ctrl+s")
        assert "k: dry length of 3A   round 1 of 2, 1 of 8" in driver.said("#turn")
        await driver.press("down")
        assert "dry length of 3C" in driver.said("#turn")
        read = [await read_next(driver) for _ in range(3)]
        await driver.press("escape")
        assert "under way" in driver.said("#under-way")
    assert read == ["k 3C", "m 3A", "m 3C"]
    async with opened(lab_path) as driver:
        await driver.press("4", "s", "enter")
        assert "k: dry length of 3A   round 1 of 2, 4 of 8" in driver.said("#turn")
        await driver.write("91.1")
        await driver.press("enter")
        assert "91.1 is far from what was read off 3A before" in driver.text()
        await driver.press("ctrl+y")
        assert "round 2 of 2, 5 of 8" in driver.said("#turn")
        await driver.press("ctrl+z")
        assert "k: dry length of 3A   round 1 of 2, 4 of 8" in driver.said("#turn")
        for _ in range(5):
            await read_next(driver)
        assert "All 8 readings of the dry length are in" in driver.said("#turn")
        assert "8 readings of 2 pieces by k, m" in driver.said("#found")
    with record(lab_path) as found:
        rows = found.rows(Measurement)
        assert sorted((row.by, row.piece) for row in rows) == sorted(
            [("k", "3A"), ("k", "3C"), ("m", "3A"), ("m", "3C")] * 2
        )
    lab = open_lab(lab_path)
    (study,) = repeat_studies(lab)
    lab.close()
    assert study.gauge is not None and study.gauge.operator is not None
    # By hand: the hands' means lie 0.1 apart, so 0.1²/2 less a fourth of the repeats' variance (0.02²·8/4/5).
    repeat = 8 * 0.01**2 / 5
    assert abs(study.gauge.repeatability - repeat) < 1e-9
    assert abs(study.gauge.operator - (0.1**2 / 2 - repeat / 4)) < 1e-9


def test_each_round_has_an_order_of_its_own_that_stays() -> None:
    plan = StudyPlan("dry_mm", tuple("abcdefgh"), ("k", "m"), 2, None, AT)
    turns = plan.turns()
    assert len(turns) == 32
    orders = [
        "".join(turn.piece for turn in turns if (turn.round, turn.operator) == key)
        for key in ((1, "k"), (2, "k"), (2, "m"))
    ]
    assert orders[0] == "abcdefgh" and len(set(orders)) == 3
    assert all(sorted(order) == list("abcdefgh") for order in orders)
    drafts = Drafts("a lab")
    assert load_study(drafts) is None
    keep_study(drafts, plan)
    assert load_study(drafts) == plan and plan.turns() == turns
    drop_study(drafts)
    assert load_study(drafts) is None
    assert StudyPlan("dry_mm", ("a", "a"), ("k",), 2, None, AT).turns()
