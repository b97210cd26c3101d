"""A faulty piece is traced to what happened on its slab, and forward to all that shares it."""

from __future__ import annotations

import pytest

from claybench.ask.trace import trace
from claybench.errors import BadInput, NotFound
from claybench.record import Lab
from claybench.terms import FaultSeen, Piece, Run
from tests.sample import END


def faulty(lab: Lab, fault: str, slab: str) -> str:
    """A piece with a fault that dried on a slab."""
    with lab.reading() as record:
        runs = {run.run for run in record.rows(Run, slab=slab)}
        bad = [row.piece for row in record.rows(FaultSeen, fault=fault)]
        return next(piece.piece for piece in record.rows(Piece) if piece.piece in bad and piece.run in runs)


def test_specks_lead_back_to_the_red_clay(sample_lab: Lab) -> None:
    found = trace(sample_lab, piece=faulty(sample_lab, "specks", "P1"), as_of=END)
    assert [link.kind for link in found.chain[:3]] == ["piece", "batch", "run"]
    told = " ".join(link.text for link in found.chain)
    assert "red" in told or "R-0" in told
    assert {each.kind for each in found.at_risk} == {"batch", "piece"}
    assert all("P1" in each.reason for each in found.at_risk if each.reason.startswith("dried"))


def test_pop_outs_lead_back_to_the_chip(sample_lab: Lab) -> None:
    found = trace(sample_lab, piece=faulty(sample_lab, "pop_out", "P4"), as_of=END)
    assert any(link.kind == "event" and "chipped" in link.text for link in found.chain)
    assert any("chipped" in each.reason for each in found.at_risk)


def test_a_slab_forward(sample_lab: Lab) -> None:
    found = trace(sample_lab, slab="P4", as_of=END)
    assert found.chain[0].code == "P4"
    assert found.at_risk


def test_bad_requests(sample_lab: Lab) -> None:
    with pytest.raises(BadInput):
        trace(sample_lab)
    with pytest.raises(NotFound):
        trace(sample_lab, piece="ZZZZ")
