"""Studies from the record's rows: what is counted in, what stands for bars that are alike, and the words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from claybench.insight.bodies.comparison.body_means import body_results, pool_bodies
from claybench.insight.bodies.comparison.differences import differences_from
from claybench.insight.bodies.comparison.property_columns import columns_of
from claybench.insight.pieces.repeatability import repeatability_studies, study_lines, study_reasons
from claybench.measure.gauge_study import detectable_difference
from claybench.terms import Batch, Fired, Measurement, Piece

AT = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
PIECES = [
    Piece(piece="7A", batch="B-1", dry_mm=94.0),
    Piece(piece="7C", batch="B-1", dry_mm=94.4),
    Piece(piece="7E", batch="B-2", dry_mm=90.0),
    Piece(piece="7F", batch="B-2", dry_mm=90.2),
]


def again(piece: str, value: float, by: str | None = None, minutes: int = 0, **more: str) -> Measurement:
    what = more.pop("what", "dry_mm")
    return Measurement(piece=piece, at=AT + timedelta(minutes=minutes), what=what, value=value, by=by, **more)  # type: ignore[arg-type]


def test_one_hand_s_first_readings_are_counted_in() -> None:
    """By hand: pairs 0.2 apart, so a variance of 0.2²/2; bars of one batch 0.4 and 0.2 apart: (0.08 + 0.02) / 2."""
    (study,) = repeatability_studies([again("7A", 94.2), again("7E", 90.2)], PIECES, [])
    assert study.first_readings_counted and study.gauge is not None and study.gauge.readings == 4
    assert study.gauge.repeatability == pytest.approx(0.02)
    assert (study.bars_variance, study.bars_df) == (pytest.approx(0.05), 2)
    assert study.repeatability_share_pct() == pytest.approx(40)
    assert study.minimum_detectable_difference(5) == pytest.approx(detectable_difference(0.05, 5))
    assert "first readings counted in" in study_lines(study)[0]
    assert "read each bar twice" in study_lines(study)[-1]


def test_several_hands_stand_on_their_own() -> None:
    rows = [again(code, length + off, by) for code, length in (("7A", 94.0), ("7C", 94.3), ("7E", 90.0))
            for by, off in (("k", 0.0), ("m", 0.3))]  # fmt: skip
    (study,) = repeatability_studies(rows, PIECES, [])
    assert not study.first_readings_counted and study.gauge is not None
    assert (study.gauge.readings, study.operators) == (6, ("k", "m"))
    assert study.gauge.operator == pytest.approx(0.045)
    assert "let one hand measure" in study_lines(study)[-1]
    shows, other = study.minimum_detectable_difference(5), study.minimum_detectable_difference(5, other_operator=True)
    assert shows is not None and other is not None and other > shows


def test_a_fired_bar_is_another_in_each_firing() -> None:
    fired = [Fired(piece="7A", firing=firing, fired_mm=value) for firing, value in (("F1", 88.0), ("F2", 87.0))]
    rows = [again("7A", value + 0.2, what="fired_mm", firing=firing) for firing, value in (("F1", 88.0), ("F2", 87.0))]
    (study,) = repeatability_studies(rows, PIECES, fired)
    assert study.gauge is not None and (study.gauge.pieces, study.gauge.readings) == (2, 4)
    assert (
        study.bars_variance is None and study.single_reading_variance == study.gauge.piece + study.gauge.repeatability
    )
    assert any(line.startswith("These pieces differ") for line in study_lines(study))


def test_too_little_says_what_is_missing() -> None:
    (study,) = repeatability_studies([again("7A", 94.2)], PIECES, [])
    assert study.gauge is None and study.minimum_detectable_difference(5) is None
    assert "two pieces or more" in study_lines(study)[0]
    assert repeatability_studies([again("7A", 3.0, what="other")], PIECES, []) == []


def test_it_says_where_its_figures_come_from() -> None:
    (study,) = repeatability_studies([again("7A", 94.2), again("7E", 90.2)], PIECES, [])
    said = "\n".join(study_reasons(study))
    assert "repeats on 2 degrees of freedom: 0.02 mm²" in said and "result 0.451" in said and "Student's" in said
    (empty,) = repeatability_studies([again("7A", 94.2)], PIECES, [])
    assert "two pieces or more" in study_reasons(empty)[0]


def test_only_batches_count_for_bodies_and_the_figures_are_those_of_comparing() -> None:
    """Bars of one batch lie close, batches of one body far apart: twenty bars do not stand for two batches. Held
    against the smallest difference that comparing two such bodies tells of."""
    lengths = {"A": [(94.0, 94.1), (92.9, 93.1), (95.2, 95.0)], "B": [(93.3, 93.2), (94.9, 94.8), (93.9, 93.7)]}
    batches, pieces = [], []
    for body, own in lengths.items():
        for number, pair in enumerate(own):
            batches.append(Batch(batch=f"{body}{number}", body=body, mixed_at=AT))
            pieces += [Piece(piece=f"{body}{number}{n}", batch=batches[-1].batch, dry_mm=each, plastic_mm=100.0)
                       for n, each in enumerate(pair)]  # fmt: skip
    rows = [again("A00", 94.1), again("A10", 92.8)]
    (study,) = repeatability_studies(rows, pieces, [], columns_of(pieces, [], batches))
    with_twenty = study.minimum_detectable_difference(20)
    assert with_twenty is not None and study.by_batches[3] > 10 * with_twenty
    held = pool_bodies(columns_of(pieces, [], batches))
    (one,) = [
        each
        for result in body_results(["B"], held, {})
        for each in differences_from(["A", "B"], held, "A").of_result(result)
        if each.name == "drying_shrinkage_pct"
    ]
    assert one.minimum_detectable == pytest.approx(study.by_batches[3], rel=0.15)  # 100 mm: a millimetre is a per cent
    said = "\n".join(study_lines(study))
    assert "only batches count" in said and "6 batches of 2 bodies" in said and "Read to 0.1 mm" in said
    (alone,) = repeatability_studies(rows, pieces[:4], [], columns_of(pieces[:2], [], batches))
    assert alone.by_batches == {} and "none has two" in "\n".join(study_lines(alone))


def test_bars_that_read_alike_are_not_known_without_end() -> None:
    """Variance of a rectangle over the step, JCGM 100:2008, F.2.2.1."""
    pieces = [Piece(piece=f"P{n}", batch="B-1", dry_mm=94.0, plastic_mm=100.0) for n in range(4)]
    columns = columns_of(pieces, [], [Batch(batch="B-1", body="A", mixed_at=AT)])
    (study,) = repeatability_studies([again("P0", 94.0), again("P1", 94.0)], pieces, [], columns)
    assert study.single_reading_variance == pytest.approx(1 / 12)
