"""Instruments: entering one, reading with it, and what stands in the record of that."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from claybench import ask
from claybench.acts.act import Act, perform, understand_fields
from claybench.acts.instruments import INSTRUMENT
from claybench.acts.pieces import MEASURE, READING
from claybench.errors import BadInput
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Instrument, Measurement, Piece
from claybench.work import pieces, recipes

AT = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def do(lab: Lab, act: Act, **typed: str) -> str:
    given = {name: text for name, text in typed.items() if name in act.given}
    return perform(lab, act, understand_fields(act.offered(lab, given), typed, lab.now()), now=lab.now(), anyway=True)


@pytest.fixture
def bench(lab: Lab) -> Lab:
    recipes.add_body(lab, Body(body="W-1"), [])
    recipes.mix_batch(lab, Batch(batch="W-1-1", body="W-1", mixed_at=AT), [])
    pieces.form_pieces(lab, [Piece(piece=code, batch="W-1-1", plastic_mm=100.0) for code in ("A1", "A2")])
    do(lab, INSTRUMENT, instrument="ruler", kind="ruler", step="0.5", since="2026-03-01")
    return lab


def rows(lab: Lab) -> list[Measurement]:
    with lab.reading() as record:
        return record.rows(Measurement)


def test_an_instrument_has_a_step_in_a_unit_that_is_known(bench: Lab) -> None:
    (ruler,) = ask.pieces.list_instruments(bench)
    assert isinstance(ruler, Instrument) and (ruler.step, ruler.unit) == (0.5, "mm")
    with pytest.raises(BadInput, match="unit"):
        do(bench, INSTRUMENT, instrument="thing", kind="other", step="0.5")
    with pytest.raises(BadInput):
        do(bench, INSTRUMENT, instrument="thing", kind="ruler", step="0.5", unit="smoots")
    assert len(ask.pieces.list_instruments(bench)) == 1


def test_what_a_card_was_read_with_stands_beside_it_once(bench: Lab) -> None:
    do(bench, MEASURE, piece="A1", reading="dry_mm", value="94", instrument="ruler")
    do(bench, MEASURE, piece="A2", reading="dry_mm", value="94.3", step="0.05")
    do(bench, MEASURE, piece="A1", reading="dry_mm", value="94.5", instrument="ruler")
    said = {row.piece: (row.value, row.instrument, row.step) for row in rows(bench)}
    assert len(rows(bench)) == 2 and said == {"A1": (None, "ruler", None), "A2": (None, None, 0.05)}
    (columns,) = (each.held.columns for each in ask.comparison.compare_bodies(bench, ["W-1"])[:1])
    assert columns.steps["dry_mm"].tolist() == [0.5, 0.05]
    pieces.measure(bench, "A2", "dry_mm", None, at=AT)
    assert [row.piece for row in rows(bench)] == ["A1"]  # a reading that is gone was read with nothing


def test_the_instrument_last_used_is_offered_first(bench: Lab) -> None:
    do(bench, INSTRUMENT, instrument="caliper", kind="caliper", step="0.05")
    do(bench, INSTRUMENT, instrument="old", kind="ruler", step="1", until="2020-01-01")
    assert ask.pieces.instruments_by_use(bench, "dry_mm") == ["ruler", "caliper"]
    do(bench, READING, piece="A1", what="dry_mm", value="94.25", instrument="caliper")
    assert ask.pieces.instruments_by_use(bench, "dry_mm") == ["caliper", "ruler"]
    (row,) = rows(bench)
    assert (row.value, row.instrument) == (94.25, "caliper")
