"""Which slab for a layer: every slab says how long it would take or what stands in the way, at any depth."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace

import pytest

from claybench.ask.lab_model import model_from
from claybench.ask.slabs import SLAB_TABLES, verdicts_from
from claybench.ask.snapshot import take_snapshot
from claybench.ask.where_to_pour import forecast_layers, pourable_codes, where_to_pour
from claybench.errors import BadInput, NotFound
from claybench.insight.slab_condition.best_slab import rank_slabs
from claybench.insight.slab_condition.proposed_layer import ProposedLayer
from claybench.insight.slab_condition.slab_verdicts import SlabVerdicts
from claybench.insight.slab_condition.verdict import Evidence
from claybench.record.lab import Lab
from tests.sample import END


def test_the_best_comes_first_and_the_rest_say_why_not(sample_lab: Lab) -> None:
    found = {each.slab: each for each in where_to_pour(sample_lab, "B-01", as_of=END).at_depth(10.0)}
    assert list(found)[:2] == ["P3", "P4"]
    assert found["P3"].remarks == "" and found["P3"].forecast is not None
    assert found["P4"].not_now == "busy: D148 lies on it"
    # A layer lies on it, and still it is said how long one would take.
    assert found["P4"].forecast is not None
    assert found["P5"].not_now == "kept for red" and found["P5"].forecast is None


def test_another_depth_needs_no_other_question(sample_lab: Lab) -> None:
    asked = where_to_pour(sample_lab, "B-01", as_of=END)
    thick, thin = (asked.at_depth(depth)[0].forecast for depth in (12.0, 8.0))
    assert thick is not None and thin is not None
    assert thick.median_min == pytest.approx(
        thin.median_min * (12 / 8) ** 2, rel=0.1
    )  # the square of the depth, nearly
    with pytest.raises(BadInput, match="between 0.5 and 200"):
        asked.at_depth(0)


def test_a_suspect_slab_comes_after_the_sound_ones_and_says_so(sample_lab: Lab) -> None:
    found = _verdicts(sample_lab)
    found.model.slabs.runs_on["P4"] = []  # both slabs of the family are free
    body = found.model.layers.bodies["B-01"]

    def order() -> list[str]:
        return [each.slab for each in rank_slabs(found, ProposedLayer(body=body, depth_mm=10.0))[:2]]

    first, second = order()
    found._evidence[first] = (Evidence("slow", None, None, 1.0, "1.9 times its forecast"),)
    assert order() == [second, first]
    assert where_to_pour(sample_lab, "W-12", as_of=END).at_depth(8.0)[0].remarks.startswith("suspect: 1.")


def test_too_little_room_for_the_slip_or_for_its_water_is_said(sample_lab: Lab) -> None:
    found = _verdicts(sample_lab)
    model = found.model
    body = model.layers.bodies["B-01"]

    def on_p3(depth: float, slip_ml: float) -> str:
        (choice,) = rank_slabs(found, ProposedLayer(body=body, depth_mm=depth, batch_slip_ml=slip_ml), only=["P3"])
        return choice.remarks

    area = model.slabs.balances["P3"].size.layer_cm2
    assert on_p3(10.0, area) == ""  # 10 mm on so many cm² is as many mL
    assert on_p3(5.0, area) == f"too small: takes {area / 2000:.1f} of {area / 1000:.1f} L"
    assert "too wet: room for" in on_p3(40.0, area)
    wet = model.wetnesses["P3"]
    model.wetnesses["P3"] = replace(wet, now=None, water_g=None)
    assert on_p3(10.0, area).startswith("how wet it is, nobody knows")


def _verdicts(lab: Lab) -> SlabVerdicts:
    """Verdicts that a test may change, which are nobody else's."""
    snapshot = take_snapshot(lab, *SLAB_TABLES, as_of=END)
    return deepcopy(verdicts_from(snapshot, model_from(snapshot)))


def test_several_bodies_slabs_and_depths_at_once(sample_lab: Lab) -> None:
    found = forecast_layers(sample_lab, ["B-01", "W-12"], [], [8.0, 12.0], as_of=END)
    assert {(each.depth_mm, each.slab) for each in found[:4]} == {(d, s) for d in (8.0, 12.0) for s in ("P3", "P4")}
    assert {each.slab for each in found[4:]} == {"P1", "P2", "P7"}
    # A slab that is named is forecast whatever its family.
    (named,) = forecast_layers(sample_lab, ["W-12"], ["p4"], [10.0], as_of=END)
    assert named.slab == "P4" and named.forecast is not None and named.not_now == "kept for buff"
    with pytest.raises(NotFound):
        forecast_layers(sample_lab, ["W-12"], ["P99"], [10.0], as_of=END)


def test_a_batch_says_how_much_of_it_is_left(sample_lab: Lab) -> None:
    known = pourable_codes(sample_lab)
    asked = where_to_pour(sample_lab, known.batches[-1], as_of=END)
    assert asked.batch is not None and asked.slip_ml == 0
    with pytest.raises(NotFound, match="no batch and no body"):
        where_to_pour(sample_lab, "ZZ", as_of=END)
