"""A faulty piece is traced to what happened on its slab, and forward to all that shares it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from claybench.ask.fault_trace import trace_fault
from claybench.errors import BadInput, NotFound
from claybench.insight.pieces.fault_trace import Trace
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Family, FaultSeen, Piece, Run, Slab, SlabEvent
from claybench.work.pieces import see_fault
from tests.sample import END


def faulty(lab: Lab, fault: str, slab: str) -> str:
    """A piece with a fault that dried on a slab."""
    with lab.reading() as record:
        runs = {run.run for run in record.rows(Run, slab=slab)}
        bad = [row.piece for row in record.rows(FaultSeen, fault=fault)]
        return next(piece.piece for piece in record.rows(Piece) if piece.piece in bad and piece.run in runs)


def test_specks_lead_back_to_the_red_clay(sample_lab: Lab) -> None:
    found = trace_fault(sample_lab, piece=faulty(sample_lab, "specks", "P1"), as_of=END)
    assert [link.kind for link in found.chain[:3]] == ["piece", "batch", "run"]
    told = " ".join(link.text for link in found.chain)
    assert "red" in told or "R-0" in told
    assert {each.kind for each in found.at_risk} == {"batch", "piece"}
    assert all("P1" in each.reason for each in found.at_risk if each.reason.startswith("dried"))


def test_pop_outs_lead_back_to_the_chip(sample_lab: Lab) -> None:
    found = trace_fault(sample_lab, piece=faulty(sample_lab, "pop_out", "P4"), as_of=END)
    assert any(link.kind == "event" and "chipped" in link.text for link in found.chain)
    assert any("chipped" in each.reason for each in found.at_risk)


def test_a_slab_forward(sample_lab: Lab) -> None:
    found = trace_fault(sample_lab, slab="P4", as_of=END)
    assert found.chain[0].code == "P4"
    assert found.at_risk


def test_the_board_it_was_wedged_on_belongs_to_the_way_back_and_shares_the_risk(sample_lab: Lab) -> None:
    with sample_lab.reading() as record:
        run = next(run for run in record.rows(Run) if run.wedged_on == "canvas board")
        piece = next(piece.piece for piece in record.rows(Piece) if piece.run == run.run)
        wedged = {row.batch for row in record.rows(Run) if row.wedged_on == "canvas board" and row.slab != run.slab}
    found = trace_fault(sample_lab, piece=piece, as_of=END)
    assert [link.code for link in found.chain if link.kind == "board"] == ["canvas board"]
    at_risk = {each.code: each.reason for each in found.at_risk if each.kind == "batch"}
    assert wedged <= set(at_risk)
    assert f"wedged on canvas board: as {piece} was" in at_risk[next(iter(wedged))]
    forward = trace_fault(sample_lab, board=" Canvas Board ", as_of=END)
    assert forward.chain[0].kind == "board" and wedged <= {each.code for each in forward.at_risk}


@pytest.fixture
def traced(lab: Lab) -> Lab:
    """Two slabs and a plaster board that is a slab, too: B1 is chipped on day 3 and resurfaced on day 6."""
    rows: list[object] = [Family(family="white", stain_rank=0), Family(family="red", stain_rank=2)]
    rows += [Body(body="W", family="white"), Body(body="R", family="red")]
    rows += [Slab(slab=code, family="white", length_mm=400, thickness_mm=40) for code in ("P1", "P2", "B1")]
    for day in range(1, 9):
        body = "R" if day == 2 else "W"
        rows += [
            Batch(batch=f"{body}-{day}", body=body, mixed_at=on(day)),
            Run(run=f"D{day}", batch=f"{body}-{day}", slab="P1" if day % 2 else "P2", started_at=on(day),
                ended_at=on(day + 0.1), outcome="workable", wedged_on="b1"),
            Piece(piece=f"K{day}", batch=f"{body}-{day}", run=f"D{day}"),
        ]  # fmt: skip
    rows += [SlabEvent(slab="B1", at=on(3), event="chipped"), SlabEvent(slab="B1", at=on(6), event="resurfaced")]
    with lab.acting("a lab to trace in") as act:
        for row in rows:
            act.add(row)
    return lab


def on(day: float) -> datetime:
    return datetime(2026, 3, 1, 9, 0, tzinfo=UTC) + timedelta(days=day)


def risky(found: Trace) -> set[str]:
    return {each.code for each in found.at_risk if each.kind == "batch"}


def test_plaster_found_in_clay_leads_to_the_chipped_board_and_to_what_was_wedged_there(traced: Lab) -> None:
    see_fault(traced, FaultSeen(run="D5", seen_on=on(5.2), fault="plaster_found"))
    found = trace_fault(traced, run="D5", as_of=on(20))
    assert any(link.kind == "event" and link.code == "B1" and link.text == "chipped" for link in found.chain)
    # Wedged between the chip and the resurfacing, on whatever slab it dried; and all that shared its own slab.
    reasons = {each.code: each.reason for each in found.at_risk if each.kind == "batch"}
    assert {code for code, reason in reasons.items() if "wedged on b1: chipped 4 Mar" in reason} == {
        "W-3",
        "W-4",
        "W-5",
    }
    assert {code for code, reason in reasons.items() if "dried on P1" in reason} == {"W-1", "W-3", "W-5", "W-7"}
    assert {each.code for each in found.at_risk if each.kind == "piece"} == {"K1", "K3", "K4", "K5", "K7"}


def test_a_fault_points_to_its_own_kind_of_cause_and_to_nothing_that_came_later(traced: Lab) -> None:
    see_fault(traced, FaultSeen(piece="K6", seen_on=on(9), fault="specks"))
    see_fault(traced, FaultSeen(piece="K1", seen_on=on(9), fault="specks"))
    stained = trace_fault(traced, piece="K6", as_of=on(20))
    # The red clay on day 2 dried on P2: everything from then on, on that slab.
    assert {each.code for each in stained.at_risk if "red clay of R-2" in each.reason} == {
        "W-4", "W-6", "W-8", "K4", "K8",
    }  # fmt: skip
    # K1 was lifted before anything happened anywhere: no later cause is laid at its door.
    before = trace_fault(traced, piece="K1", as_of=on(20))
    assert not any("clay of" in each.reason or "chipped" in each.reason for each in before.at_risk)


def test_bad_requests(sample_lab: Lab) -> None:
    with pytest.raises(BadInput):
        trace_fault(sample_lab)
    with pytest.raises(BadInput):
        trace_fault(sample_lab, piece="A", slab="B")
    with pytest.raises(NotFound):
        trace_fault(sample_lab, board="kitchen table")
    with pytest.raises(NotFound):
        trace_fault(sample_lab, piece="ZZZZ")
