"""Studies from the record's rows: what is counted in, what stands for bars that are alike, and the words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from claybench.insight.pieces.repeatability import repeatability_studies, study_lines, study_reasons
from claybench.measure.gauge_study import detectable_difference
from claybench.terms import Fired, Measurement, Piece

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
