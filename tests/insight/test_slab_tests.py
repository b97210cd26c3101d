"""Ring tests and dry masses as evidence: slow rings are named, wet ones are not; a moved dry mass says which way."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from claybench.ask.slabs import slab_list
from claybench.errors import OutOfRange
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.lab_rows import LabRows
from claybench.insight.settings import Settings
from claybench.insight.slab_condition.ring_and_dry_mass import dry_mass_evidence, ring_evidence, ring_sorptivity
from claybench.record.lab import Lab
from claybench.terms import Slab, SlabEvent
from claybench.water.sorptivity import sorptivity_of_ring
from tests.sample import at

T0 = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)


def test_the_sorptivity_of_a_ring_is_that_of_the_square_root_of_time() -> None:
    """i = S·√t (the form of ASTM C1585): 2.5 mm in 34 s are 2.5 / √(34/60) mm/√min."""
    assert sorptivity_of_ring(5, 20, 34) == pytest.approx(2.5 / math.sqrt(34 / 60))
    assert sorptivity_of_ring(5, 20, 4 * 34) == pytest.approx(sorptivity_of_ring(5, 20, 34) / 2)
    with pytest.raises(OutOfRange):
        sorptivity_of_ring(5, 20, 0)


def ring(seconds: float) -> SlabEvent:
    return SlabEvent(slab="P1", at=T0, event="ring_test", ring_area_cm2=20, ring_water_ml=5, ring_seconds=seconds)


def test_a_wet_slab_is_allowed_for_and_a_very_wet_one_says_nothing() -> None:
    dry, damp = ring_sorptivity(ring(34), 0.0), ring_sorptivity(ring(34 / (1 - 1.08 * 0.3)), 0.3)
    assert dry is not None and damp == pytest.approx(dry)
    assert ring_sorptivity(ring(300), 0.6) is None
    assert ring_sorptivity(SlabEvent(slab="P1", at=T0, event="ring_test"), 0.0) is None


def test_the_clogged_slab_of_the_sample_shows_it_in_its_ring_test(sample_lab: Lab) -> None:
    found = {each.slab.slab: each for each in slab_list(sample_lab, as_of=at("2026-09-25T14:31:00+01:00"))}
    tests = {code: [one for one in each.evidence if one.kind == "ring_test"] for code, each in found.items()}
    (slow,) = tests["P2"]
    assert slow.face == "form" and "212 s" in slow.text and "of its first" in slow.text
    assert not any(tests[code] for code in ("P1", "P3", "P6"))
    before = {each.slab.slab: each for each in slab_list(sample_lab, as_of=at("2026-09-01"))}
    assert not [one for one in before["P2"].evidence if one.kind == "ring_test"]


def dry(days: int, mass: float, event: str = "weighed_dry") -> SlabEvent:
    return SlabEvent(slab="P1", at=T0 + timedelta(days=days), event=event, mass_g=mass)


def test_a_dry_mass_that_has_moved_says_which_way() -> None:
    gained = dry_mass_evidence([dry(0, 10_000), dry(60, 10_080)], UTC)
    assert gained is not None and gained.kind == "dry_mass" and "80 g more" in gained.text and "salts" in gained.text
    lost = dry_mass_evidence([dry(0, 10_000), dry(60, 9_900)], UTC)
    assert lost is not None and "100 g less" in lost.text
    assert dry_mass_evidence([dry(0, 10_000), dry(60, 10_010)], UTC) is None
    assert dry_mass_evidence([dry(0, 10_000)], UTC) is None


def test_a_chip_explains_a_loss_up_to_what_a_chip_takes() -> None:
    chip = SlabEvent(slab="P1", at=T0 + timedelta(days=30), event="chipped")
    assert dry_mass_evidence([dry(0, 10_000), chip, dry(60, 9_940)], UTC) is None
    assert dry_mass_evidence([dry(0, 10_000), dry(60, 9_940)], UTC) is not None
    found = dry_mass_evidence([dry(0, 10_000), chip, dry(60, 9_900)], UTC)
    # 100 g less a chip of at most 50: what 50 g of water are bound in, 50 / 0.15695 g
    assert found is not None and "50 g allowed for chips" in found.text and "3.2 % of its plaster (319 g)" in found.text
    assert dry_mass_evidence([dry(0, 10_000), replace(chip, count=2), dry(60, 9_900)], UTC) is None


def test_a_dry_mass_below_the_card_says_how_much_bound_water_is_gone() -> None:
    """CaSO4·2H2O → CaSO4·½H2O + 1½ H2O takes 1.5 · 18.015 / 172.16 = 15.7 % of the mass, all of the water 20.9 %."""
    for lost, share in ((157, "10.0 % of its plaster"), (1570, "100.0 % of its plaster"), (2000, "100.0 %")):
        found = dry_mass_evidence([dry(60, 10_000 - lost)], UTC, card_g=10_000, heated=True)
        assert found is not None and share in found.text and "not dry" not in found.text
        assert "less than its card says" in found.text
    more = dry_mass_evidence([dry(60, 7_900)], UTC, card_g=10_000)
    assert more is not None and "more than all its bound water" in more.text


def test_a_slab_that_weighs_less_than_it_did_dry_has_lost_at_least_so_much() -> None:
    def found(*masses: float, card_g: float | None = None, events: tuple[SlabEvent, ...] = (dry(0, 10_000),)) -> str:
        bare = [(T0 + timedelta(days=10 + at), mass) for at, mass in enumerate(masses)]
        given = dry_mass_evidence(events, UTC, card_g=card_g, masses=bare)
        return "" if given is None else given.text

    assert found(10_300, 9_843, 10_100) == (
        "it weighs 157 g less than dry 1 Mar: at least 157 g of bound water lost: 10.0 % of its plaster (1 000 g), "
        "or it was not dry before"
    )
    assert found(10_300, 9_980) == ""  # no more than weighings differ by
    assert found(7_000) == ""  # a slip of the scale
    assert "less than its card says" in found(9_843, card_g=10_000, events=())
    # A chip, a new face or a newer dry mass explains it.
    assert found(9_955, events=(dry(0, 10_000), dry(5, 10_000, "chipped"))) == ""
    assert found(9_843, events=(dry(0, 10_000), dry(5, 10_000, "resurfaced"))) == ""
    assert found(9_843, events=(dry(0, 10_000), dry(20, 9_840))).startswith("dry it weighs 160 g less than 1 Mar")


def test_a_loss_since_a_mass_that_was_not_seen_to_be_constant_is_faint() -> None:
    def found(*events: SlabEvent, **more: Any) -> tuple[float, str]:
        given = dry_mass_evidence(events, UTC, confirmed=lambda at, _mass: at == T0, **more)
        return (0.0, "") if given is None else (given.strength, given.text)

    strength, text = found(dry(1, 10_000), dry(60, 9_843))
    assert strength == 0.3 and "it was not dry before, or 157 g of bound water lost" in text
    strength, text = found(dry(0, 10_000), dry(60, 9_843))
    assert strength == pytest.approx(0.785) and text.endswith("or it was not dry before")
    # What is heavier now may not be dry yet.
    assert found(dry(0, 10_000), dry(60, 10_100)) == (
        0.3, "dry it weighs 100 g more than 1 Mar: not dry, or clay or salts taken up",
    )  # fmt: skip
    # With heat on record it is believed all the same; without, a bare mass below it says nothing.
    assert found(dry(1, 10_000), dry(60, 9_843), heated=True)[0] == pytest.approx(0.785)
    lighter = [(T0 + timedelta(days=30), 9_843.0)]
    assert found(dry(1, 10_000), masses=lighter) == (0.0, "") and found(dry(0, 10_000), masses=lighter)[0] > 0.7


def test_resurfacing_begins_the_dry_masses_anew() -> None:
    renewed = SlabEvent(slab="P1", at=T0 + timedelta(days=30), event="resurfaced")
    assert dry_mass_evidence([dry(0, 10_000), renewed, dry(60, 9_700)], UTC, card_g=10_000) is None
    later = dry_mass_evidence([dry(0, 10_000), renewed, dry(60, 9_700), dry(90, 9_600)], UTC)
    assert later is not None and "100 g less" in later.text


def test_a_slow_ring_on_one_face_is_not_hidden_by_a_good_one_on_the_other() -> None:
    def of(day: float, face: str, seconds: float) -> SlabEvent:
        return replace(ring(seconds), at=T0 + timedelta(days=day), face=face)

    def found(*events: SlabEvent) -> list[tuple[str | None, str]]:
        slab = Slab(slab="P1", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70, dry_mass_g=10_000)
        rows = LabRows(slabs=[slab], events=events)
        model = LabModel(rows, at=T0 + timedelta(days=60), zone=UTC, settings=Settings())
        return [(each.face, each.text) for each in ring_evidence(list(events), model, "P1")]

    tests = (of(0, "form", 34), of(0, "open", 34), of(30, "form", 300), of(31, "open", 35))
    assert [face for face, _ in found(*tests)] == ["form"]
    # The open face made anew says nothing of the smooth one; that one made anew begins afresh.
    other = SlabEvent(slab="P1", at=T0 + timedelta(days=40), event="resurfaced", face="open")
    assert [face for face, _ in found(*tests, other)] == ["form"]
    assert found(*tests, replace(other, face="form")) == []
