"""What an instrument resolves, in the intervals and differences of bodies."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import numpy as np
import pytest

from claybench.insight.bodies.comparison.body_means import BodyMeans, body_results, pool_bodies
from claybench.insight.bodies.comparison.differences import BodyDifference, differences_from
from claybench.insight.bodies.comparison.property_columns import columns_of
from claybench.insight.bodies.comparison.reading_steps import stated_steps
from claybench.insight.bodies.comparison.results import notes_on_intervals
from claybench.insight.instruments import is_in_use
from claybench.insight.plan.design.plan_request import PlanRequest
from claybench.insight.plan.next_set.known_bodies import fine_target_notes
from claybench.insight.plan.surfaces.observations import Observation, average_by_batch
from claybench.measure.properties.built_in import ABSORPTION, BUILT_IN
from claybench.measure.sample_statistics import SampleSummary
from claybench.terms import Batch, Fired, Instrument, Measurement, Piece
from tests.campaign_rulers import coverage

MIXED = datetime(2026, 3, 12, 9, tzinfo=UTC)
DRYING = "drying_shrinkage_pct"


def rows(dry: dict[str, Sequence[Sequence[float]]], on: date = date(2026, 3, 20)) -> tuple[list[Piece], list[Batch]]:
    """Bodies by name; each batch the dry lengths of its bars, with marks set to 100 mm."""
    batches, pieces = [], []
    for body, own in dry.items():
        for number, lengths in enumerate(own):
            batches.append(Batch(batch=f"{body}-{number}", body=body, mixed_at=MIXED))
            for length in lengths:
                pieces.append(
                    Piece(
                        piece=f"P{len(pieces)}", batch=batches[-1].batch, formed_at=MIXED.date(), dry_at=on,
                        plastic_mm=100.0, dry_mm=length, dry_how="oven",
                    )
                )  # fmt: skip
    return pieces, batches


def held(dry: dict[str, Sequence[Sequence[float]]]) -> BodyMeans:
    pieces, batches = rows(dry)
    return pool_bodies(columns_of(pieces, [], batches))


def summary(means: BodyMeans, body: str, name: str = DRYING) -> SampleSummary:
    return next(each for each in body_results([body], means, {}) if name in each.properties).properties[name]


def differences(means: BodyMeans, against: str) -> dict[str, BodyDifference]:
    every = differences_from(means.bodies, means, against)
    return {
        each.body: one
        for each in body_results(means.bodies, means, {})
        for one in every.of_result(each)
        if one.name == DRYING
    }


def test_lengths_to_a_millimetre_never_give_an_interval_of_nothing() -> None:
    """Bars that all read alike: u = 0.29 of a step for any number of them (JCGM 100:2008, F.2.2.1), k = 1.96."""
    one = summary(held({"A": [[88.0] * 4, [88.0] * 4], "B": [[90.0, 91.0], [89.0, 90.0]]}), "A")
    assert one.mean == 12.0 and one.basis == "batches" and one.low is not None and one.high is not None
    assert (one.high - one.low) / 2 == pytest.approx(1.96 / math.sqrt(12), rel=1e-3)


def test_what_is_finer_than_a_step_is_said_beside_the_interval_and_else_nothing() -> None:
    coarse = held({"A": [[88.0] * 4, [88.0] * 4], "B": [[90.0, 91.0], [89.0, 90.0]]})
    notes = notes_on_intervals(each for result in body_results(["A"], coarse, {}) for each in result.every)
    assert notes == [
        "one step of the readings is 1 % drying shrinkage: what is finer stays open, however many bars read alike"
    ]
    wide = held({"A": [[84.0], [88.0], [93.0], [90.0], [86.0]]})
    assert notes_on_intervals(each for result in body_results(["A"], wide, {}) for each in result.every) == []


def test_readings_that_scatter_over_steps_have_their_own_interval_alone() -> None:
    one = summary(held({"A": [[84.0], [88.0], [93.0], [90.0], [86.0]]}), "A")
    spread = np.std([84, 88, 93, 90, 86], ddof=1) / math.sqrt(5)
    assert one.high is not None
    assert one.high - one.mean == pytest.approx(2.776445 * spread, rel=1e-6)  # Student's t, 4 degrees of freedom


def test_equal_values_and_noise_of_arithmetic_are_no_difference() -> None:
    """100·(100 − 88.1)/100 computed of other lengths differs in its last digits; nothing is told by that."""
    a, b = [[88.1] * 3] * 3, [[88.1 + 1e-13, 88.1, 88.1]] * 3
    found = differences(held({"A": a, "B": b, "C": [[87.3, 88.4, 86.2]] * 2}), "A")["B"]
    assert found.direction is None and found.words() == "no difference seen"
    assert found.high is not None and found.high > 0.05  # a step of 0.1 mm on each side
    pieces, batches = rows({"A": a, "B": b})
    without = differences(pool_bodies(replace(columns_of(pieces, [], batches), steps={})), "A")["B"]
    assert without.direction is None and without.words() == "not known"


def test_bars_a_step_apart_may_truly_lie_next_to_nothing_apart() -> None:
    """Two bodies whose bars all read 88 and 87 mm: one is shorter, and by how much nobody knows."""
    found = differences(held({"A": [[88.0] * 5] * 3, "B": [[87.0] * 5] * 3, "C": [[86.0] * 5] * 2}), "A")
    assert found["B"].mean == pytest.approx(1.0)
    assert found["B"].low is not None and found["B"].high is not None
    assert -0.1 < found["B"].low < 0.25 and found["B"].high > 1.75
    assert found["C"].direction == "more"
    assert found["B"].minimum_detectable is not None and found["B"].minimum_detectable > 1


def test_marks_that_were_set_are_no_readings_and_others_are() -> None:
    pieces, batches = rows({"A": [[94.2, 93.7, 94.9]]})
    columns = columns_of(pieces, [], batches)
    assert columns.steps["plastic_mm"].tolist() == [0.0] * 3
    assert columns.steps["dry_mm"] == pytest.approx([0.1] * 3)
    read = [replace(each, plastic_mm=length) for each, length in zip(pieces, (100.0, 99.0, 101.0), strict=True)]
    assert columns_of(read, [], batches).steps["plastic_mm"].tolist() == [1.0] * 3


def test_a_step_that_was_stated_goes_before_digits_and_an_instrument_only_while_it_was_in_use() -> None:
    pieces, batches = rows({"A": [[94.0, 93.0, 95.0]], "B": [[92.0, 91.0]]})
    fired = [Fired(piece=each.piece, firing="F1", fired_mm=each.dry_mm) for each in pieces]
    caliper = Instrument(instrument="K", kind="caliper", step=0.002, unit="in", since=date(2026, 3, 20))
    old = Instrument(instrument="R", kind="ruler", step=2.0, unit="mm", until=date(2026, 3, 1))
    scale = Instrument(instrument="S", kind="scale", step=1.0, unit="g")
    at = datetime(2026, 3, 20, 10, tzinfo=UTC)
    said = [
        Measurement(batch="A-0", what="dry_mm", at=at, instrument="K"),
        Measurement(piece="P1", what="dry_mm", at=at, step=0.25),
        Measurement(piece="P3", what="dry_mm", at=at, instrument="R"),
        Measurement(piece="P4", what="dry_mm", at=at, instrument="S"),
        Measurement(piece="P0", firing="F1", what="fired_mm", at=at, instrument="K"),
        Measurement(piece="P1", what="dry_mm", at=at, value=93.2, instrument="K"),  # a second reading, not the card's
    ]
    stated = stated_steps(said, [caliper, old, scale])
    steps = columns_of(pieces, fired, batches, stated=stated, fired_on={"F1": date(2026, 4, 1)}).steps
    assert steps["dry_mm"] == pytest.approx([0.0508, 0.25, 0.0508, 1.0, 1.0])
    assert steps["fired_mm"] == pytest.approx([0.0508, 1, 1, 1, 1])


def test_an_instrument_may_be_dated_by_a_moment() -> None:
    """`since` and `until` are a date, or a time with its offset: then its day in UTC, as the days of readings are."""
    east = timezone(timedelta(hours=10))
    begun = datetime(2026, 3, 21, 8, tzinfo=east)  # still the 20th in UTC
    caliper = Instrument(instrument="K", step=0.01, since=begun, until=begun + timedelta(days=2))
    days = [date(2026, 3, day) for day in (19, 20, 22, 23)]
    assert [is_in_use(caliper, day) for day in days] == [False, True, True, False]


def test_a_mass_to_a_gram_stands_in_the_interval_of_absorption() -> None:
    """The change of A = (M − D)/D when M or D moves by a gram, as JCGM 100:2008, 5.1.3, adds variances."""
    pieces, batches = rows({"A": [[94.0] * 4]})
    fired = [Fired(piece=each.piece, firing="F1", fired_g=50.0, soaked_g=53.0, soak_method="boil") for each in pieces]
    own = summary(pool_bodies(columns_of(pieces, fired, batches)), "A", "absorption_pct")
    assert own.mean == pytest.approx(6.0) and own.high is not None
    left = math.hypot(100 / 50, 100 * 53 / 50**2) / math.sqrt(12)
    scale = ABSORPTION.scale  # on which a share's interval is as wide to both sides
    at_mean, at_high = scale.forward(np.array([own.mean, own.high])).tolist()
    assert at_high - at_mean == pytest.approx(1.96 * left * float(scale.slope(np.array([own.mean]))[0]), rel=0.02)


@pytest.mark.slow
def test_intervals_hold_with_a_coarse_ruler() -> None:
    """A share of `python -m tests.campaign_rulers`: 92 % at least, where half would hold if the step were not known."""
    dice = np.random.default_rng(11)
    found = coverage("six of 3 batches, 5 bars", 0.15, 1.0, dice, 12)
    assert found.held / found.intervals >= 0.92
    assert coverage("six of 3 batches, 5 bars", 0.15, 1.0, dice, 12, known=False).text < "75"


def test_a_plan_knows_no_variance_of_nothing_and_says_where_its_target_is_finer_than_a_step() -> None:
    """A ruler of 1 mm on 100 mm bars cannot tell 0.4 %."""
    alike = [Observation((0.5, 0.5), 12.0, "A", rounding=1 / 12)] * 3
    assert average_by_batch(alike).within_variance == pytest.approx(1 / 12)
    targets = {DRYING: (12.0, 12.4), "absorption_pct": (0.0, 2.0), "total_shrinkage_pct": (11.0, 12.5)}
    request = PlanRequest(title="x", family="buff", count=4, targets=targets)
    steps = {DRYING: 1.0, "absorption_pct": 0.02, "total_shrinkage_pct": 1.0}
    assert list(fine_target_notes(request, steps, BUILT_IN)) == [
        "Drying shrinkage is aimed at 12-12.4 %, finer than one step of the readings, 1 %: bars that read alike cannot "
        "tell whether it is met."
    ]
