"""A share of `python -m tests.campaign.wetness_campaign`: how wet slabs are said to be, on a lab of each simulator."""

from __future__ import annotations

import math
from statistics import mean, median

import pytest

from claybench.insight.slab_water.wetness import BY_SOAKING
from claybench.terms import SlabEvent
from tests.campaign.makings import MAKINGS, MadeDifferently
from tests.campaign.physics import START
from tests.campaign.replay import known_at
from tests.campaign.simulate import Simulation
from tests.campaign.wetness_campaign import OTHER, Looked, look_at_lab, measure, table

pytestmark = pytest.mark.slow


@pytest.mark.parametrize(("making", "widest"), [("as ever", 0.15), (OTHER, 0.5)])
def test_intervals_of_wetness_hold_what_they_say(making: str, widest: float) -> None:
    """Of 90 % intervals at least seven in ten in a single lab, where all looks at one slab miss together; and they are
    narrow enough to tell a damp slab from a dry one."""
    looks = look_at_lab(7, making, days=45, looks=5, pours=20)
    assert len(looks) > 40
    assert mean(each.holds for each in looks) >= 0.7
    assert median(each.width for each in looks) < widest


def test_a_slab_weighed_soaked_full_is_known_better_than_by_its_layers() -> None:
    """What a made-up slab truly holds is on its card once it was soaked, and layers move it little from there."""
    lab = Simulation(5, days=20).live()
    slab, at = lab.slabs[0].slab, lab.truth[-1].started_at
    true = lab.true_slabs[slab]
    before = known_at(lab, at).wetnesses[slab]
    soaked = SlabEvent(slab=slab, at=START, event="soaked", mass_g=round(true.dry_g + true.capacity_g))
    lab.events.append(soaked)
    after = known_at(lab, at).wetnesses[slab]
    assert after.capacity_basis == BY_SOAKING
    assert abs(math.log(after.capacity_g / true.capacity_g)) < 0.05
    assert after.capacity_log_sd < 0.5 * before.capacity_log_sd


def test_makings_are_what_they_say() -> None:
    """Thin slabs are thin, a coarse scale shows tens, cards without a mix ratio have none; and one life is one life."""
    thin, coarse, unknown = (
        MadeDifferently(4, MAKINGS[name], days=5, looks=2).live()
        for name in ("thin slabs", "scale of 10 g", "mix ratio not known")
    )
    assert max(slab.thickness_mm for slab in thin.slabs) <= 28
    assert all(event.mass_g % 10 == 0 for event in coarse.events if event.mass_g is not None)
    assert all(slab.mix_ratio is None for slab in unknown.slabs)
    assert (
        MadeDifferently(4, MAKINGS["as ever"], days=5, looks=2).live()
        == MadeDifferently(4, MAKINGS["as ever"], days=5, looks=2).live()
    )


def test_each_making_has_its_line(capsys: pytest.CaptureFixture[str]) -> None:
    found = {"one": [Looked(at_pour, 0.1, 0.2, 0.3, 0.25) for at_pour in (True, False)]}
    assert list(table(found))[2] == "| one | 100.0 % | 100.0 % | 0.200 | 0.200 | -0.050 | -0.050 |"
    assert measure([], ["as ever"]) == {"as ever": []}
    capsys.readouterr()
