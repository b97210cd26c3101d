"""A share of the campaign: what holds on every lab, on one of them; the whole is `python -m tests.campaign`."""

from __future__ import annotations

import math
from datetime import timedelta
from pathlib import Path
from statistics import median

import pytest

from tests.campaign.changed import Looked, look, table as changed_table
from tests.campaign.measure import Campaign, one_lab, table
from tests.campaign.physics import Soak, evaporation_g_m2_h
from tests.campaign.questions import LIMIT, count_questions
from tests.campaign.simulate import make_lab
from tests.campaign.truth import SPOILINGS
from tests.campaign.watch import ask

pytestmark = pytest.mark.slow

SEED, HELD, DAYS = 3, 60, 45


@pytest.fixture(scope="module")
def campaign() -> Campaign:
    """One lab, its last sixty runs forecast, and one of its slabs spoiled half-way."""
    runs, held, watched = one_lab(SEED, HELD, DAYS)
    return Campaign(1, runs, held, [watched])


def test_intervals_hold_what_they_say(campaign: Campaign) -> None:
    """Of sixty 90 % intervals, 45 to 59 hold: beyond that, chance has less than one in two hundred (binomial)."""
    assert 45 <= sum(each.covered for each in campaign.held) <= 59
    assert campaign.score.wetness_coverage >= 75
    assert abs(campaign.score.bias) < 8


def test_errors_are_near_those_of_one_who_knows(campaign: Campaign) -> None:
    """The whole campaign asks for less; one lab scatters."""
    assert campaign.score.error_ratio < 2.2


def test_new_bodies_are_forecast_wider(campaign: Campaign) -> None:
    widths = {
        new: median(math.log(each.high_min / each.low_min) for each in campaign.held if (each.truth.nth == 0) == new)
        for new in (True, False)
    }
    assert widths[True] > 1.2 * widths[False]


def test_a_spoiled_slab_is_suspect_and_a_wet_one_is_not(campaign: Campaign) -> None:
    watched = campaign.watches[0]
    assert watched.until_suspect is not None
    assert watched.until_suspect <= 5
    assert len(watched.false_onsets) <= 2
    assert watched.called_wet >= 0.9 * watched.wet_looks
    assert not watched.false_wet_onsets


def test_a_slab_that_was_slow_from_the_start_has_not_gone_wrong() -> None:
    """Home-made slabs differ: P8 of this lab draws two thirds of what slabs usually do, and has from its first run."""
    lab = make_lab(35, days=60, spoil=SPOILINGS["quarter"])
    slab = lab.true_slabs["P8"]
    assert slab.spoiled_from is None
    assert slab.sorptivity < 2
    lifted = [run.ended_at for run in lab.runs if run.slab == "P8" and run.ended_at is not None]
    assert "suspect" not in {ask(lab, "P8", at + timedelta(seconds=1)) for at in lifted[6:20:3]}


def test_the_table_has_a_line_for_each_figure(campaign: Campaign) -> None:
    lines = list(table(campaign))
    assert all(line.count("|") == 4 for line in lines)
    assert "| 1, " in lines[2]


def test_a_made_up_lab_is_the_same_each_time() -> None:
    assert make_lab(5, days=8) == make_lab(5, days=8)
    assert make_lab(5, days=8).truth != make_lab(6, days=8).truth


def test_steps_come_to_the_square_root_law_where_it_holds() -> None:
    """t = (i/A)², 1/A² = 1/R² + 1/S², on a slab that hardly fills: 2.727 mm at A .9487 in 8.26 min."""
    soak = Soak(2.727, 1.0, 3.0, 0.0, 1e9, 20.0, 0.0, 1.08, 0.92)
    assert soak.until()[0] == pytest.approx((2.727**2) * (1 + 1 / 9), abs=0.3)
    assert soak.until()[0] == pytest.approx(8.26, abs=0.3)


def test_only_the_air_dries_what_a_full_slab_cannot_take() -> None:
    soak = Soak(4.0, 1.0, 3.0, 0.82, 10.0, 20.0, 0.002, 1.08, 0.92)
    minutes, taken = soak.until()
    assert taken == pytest.approx(1.0, abs=0.1)
    assert minutes == pytest.approx((4.0 - taken) / 0.002, rel=1e-3)


def test_open_water_dries_at_its_wet_bulb() -> None:
    """At 20 °C and 50 % the temperature of the air would give 2.9 times too much: psychrometry, from tables."""
    at_air = (25 + 19 * 0.5) * (0.01470 - 0.00726) * 1000  # ASHRAE: humidity ratios at 20 °C, saturated and half
    assert at_air / evaporation_g_m2_h(20.0, 50.0, 0.5) == pytest.approx(2.9, abs=0.3)


def test_a_sound_lab_is_hardly_asked_whether_it_means_it(tmp_path: Path) -> None:
    """A share of `python -m tests.campaign.questions`: at most two questions in a hundred acts."""
    asked = count_questions(make_lab(1, days=8), tmp_path)
    assert asked.acts > 100
    assert asked.in_a_hundred <= LIMIT, asked.examples


@pytest.fixture(scope="module")
def changed() -> Looked:
    """One lab in which a slab falls to a quarter of its sorptivity."""
    return look("own", "quarter", 1, 70)


def test_a_changed_slab_is_found_about_as_soon_as_the_oracle_finds_it(changed: Looked) -> None:
    assert changed.until_suspect <= changed.until_oracle + 1
    assert not changed.false_onsets


def test_after_a_change_intervals_hold_again(changed: Looked) -> None:
    """Of these few, all but three at most: beyond that chance has less than one in twenty (binomial, ten at 90 %)."""
    assert len(changed.after) >= 4
    assert sum(not each.covered for each in changed.after) <= 3
    assert abs(median(each.error for each in changed.after)) < 0.15


def test_the_table_of_changes_has_a_column_for_each_kind(changed: Looked) -> None:
    lines = list(changed_table([changed]))
    assert all(line.count("|") == 4 for line in lines)
    assert lines[2].endswith("| 1, " + str(changed.changed_runs) + " |")
