"""The stories of the sample lab are found, each for what it is."""

from __future__ import annotations

import pytest

from claybench.ask.slabs import slab_list
from claybench.insight.slab_condition.piece_fault_evidence import fisher_exact_tail
from claybench.insight.slab_condition.verdict import SlabVerdict
from claybench.record.lab import Lab
from tests.sample import at


def states(lab: Lab, when: str) -> dict[str, SlabVerdict]:
    return {each.slab.slab: each for each in slab_list(lab, as_of=at(when))}


def kinds(verdict: SlabVerdict) -> set[str]:
    return {each.kind for each in verdict.evidence}


def test_a_wet_slab_is_saturated_and_never_called_spoiled(sample_lab: Lab) -> None:
    wet = states(sample_lab, "2026-06-11")["P3"]
    assert wet.verdict == "saturated"
    assert kinds(wet) == {"wetness"}
    assert states(sample_lab, "2026-07-22")["P3"].verdict == "ready"


def test_a_clogged_slab_is_suspect_though_dry(sample_lab: Lab) -> None:
    clogged = states(sample_lab, "2026-09-25T14:31:00+01:00")["P2"]
    assert clogged.verdict == "suspect" and "slow" in kinds(clogged)
    assert clogged.wetness.now is not None and clogged.wetness.now < 0.4
    assert "slow" not in kinds(states(sample_lab, "2026-07-10")["P2"])


def test_the_wrong_clay_and_the_chip_are_named(sample_lab: Lab) -> None:
    found = states(sample_lab, "2026-09-25T14:31:00+01:00")
    assert {"wrong_clay", "faults"} <= kinds(found["P1"])
    assert {"chips", "faults"} <= kinds(found["P4"])
    assert "wrong_clay" not in kinds(states(sample_lab, "2026-07-19")["P1"])


def test_sound_slabs_are_left_in_peace(sample_lab: Lab) -> None:
    for when in ("2026-04-30", "2026-06-30", "2026-08-31", "2026-09-25T14:31:00+01:00"):
        found = states(sample_lab, when)
        assert [code for code in ("P5", "P6") if found[code].verdict == "suspect"] == []
    assert "P8" not in found and found["P7"].state == "drying"


def test_exact_tail_is_fishers() -> None:
    """Reference library: scipy.stats.fisher_exact, one-sided."""
    from scipy.stats import fisher_exact

    for a, n1, b, n2 in ((6, 44, 2, 207), (3, 10, 3, 30), (1, 5, 0, 9)):
        expected = fisher_exact([[a, n1 - a], [b, n2 - b]], alternative="greater").pvalue
        assert fisher_exact_tail(a, n1, b, n2) == pytest.approx(expected, rel=1e-9)
