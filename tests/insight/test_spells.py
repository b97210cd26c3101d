"""Spans put in order answer as looking through all of them does."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given, strategies as st

from claybench.insight.time_spans import TimeSpans, any_within, runs_beside_others
from claybench.terms import Run

START = datetime(2026, 3, 1, tzinfo=UTC)
_spans = st.lists(st.tuples(st.integers(0, 40), st.one_of(st.none(), st.integers(0, 12))), max_size=12)


def at(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def spans(drawn: list[tuple[int, int | None]]) -> list[tuple[datetime, datetime | None]]:
    return [(at(begun), None if lasting is None else at(begun + lasting)) for begun, lasting in drawn]


@given(_spans, st.integers(0, 60))
def test_a_moment_is_covered_where_any_span_covers_it(drawn: list[tuple[int, int | None]], hour: int) -> None:
    moment = at(hour + 0.5)
    wanted = any(start <= moment and (end is None or end > moment) for start, end in spans(drawn))
    assert TimeSpans(spans(drawn)).covers(moment) == wanted


@given(_spans, st.integers(0, 50), st.integers(1, 20))
def test_a_span_meets_where_it_shares_time_with_any(drawn: list[tuple[int, int | None]], hour: int, long: int) -> None:
    start, end = at(hour), at(hour + long)
    wanted = any(begun < end and (until is None or until > start) for begun, until in spans(drawn))
    assert TimeSpans(spans(drawn)).overlap(start, end) == wanted


@given(st.lists(st.tuples(st.integers(0, 40), st.one_of(st.none(), st.integers(1, 12))), max_size=10))
def test_layers_side_by_side_are_found_by_their_times(drawn: list[tuple[int, int | None]]) -> None:
    runs = [
        Run(run=f"R{n}", batch="b", slab="P1", started_at=start, ended_at=end)
        for n, (start, end) in enumerate(sorted(spans(drawn), key=lambda span: span[0]))
    ]
    wanted = {
        one.run
        for one in runs
        for other in runs
        if one is not other
        and (one.ended_at is None or other.started_at < one.ended_at)
        and (other.ended_at is None or other.ended_at > one.started_at)
    }
    assert runs_beside_others(runs) == wanted


def test_a_time_on_the_end_of_a_span_is_outside_it() -> None:
    assert any_within([at(1), at(3)], at(1), at(2))
    assert not any_within([at(1), at(3)], at(2), at(3))
