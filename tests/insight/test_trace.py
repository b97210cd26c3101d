"""A faulty piece is traced to what happened on its slab, and forward to all that shares it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from claybench.ask.fault_trace import trace_fault
from claybench.errors import BadInput, NotFound
from claybench.insight.pieces.fault_trace import Trace
from claybench.record.lab import Lab
from claybench.terms import Batch, BatchLine, Body, Family, FaultSeen, Material, Piece, Run, Slab, SlabEvent
from claybench.work.pieces import see_fault
from claybench.work.slabs import log_slab
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


def test_a_board_chipped_minutes_after_wedging_reaches_the_clay_just_wedged(traced: Lab) -> None:
    log_slab(traced, SlabEvent(slab="B1", at=on(7.1) + timedelta(minutes=15), event="chipped"))
    found = {each.code: each.reason for each in trace_fault(traced, board="b1", as_of=on(20)).at_risk}
    assert "wedged on b1: chipped 8 Mar, logged 15 min after it was wedged there" in found["K7"]
    assert "chipped 8 Mar" in found["K8"] and "K6" not in found


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


# -- causes that are logged late, or add up ---------------------------------------------------------


@pytest.fixture
def bench(lab: Lab) -> Lab:
    """Slab P1: a layer every day from 9:00 to 11:24, a bar of each; days 2 and 4 brought deflocculant, 12 g a batch."""
    rows: list[object] = [Family(family="white"), Body(body="W", family="white")]
    rows += [Material(material="soda ash", kind="deflocculant"), Material(material="clay", kind="clay")]
    rows += [Slab(slab="P1", family="white", length_mm=400, width_mm=400, thickness_mm=40, mix_ratio=70)]
    for day in range(1, 9):
        rows += [
            Batch(batch=f"W-{day}", body="W", mixed_at=on(day), dry_mass_g=1600, water_g=1700),
            BatchLine(batch=f"W-{day}", position=1, material="clay", mass_g=1600),
            Run(run=f"D{day}", batch=f"W-{day}", slab="P1", face="form", started_at=on(day), ended_at=on(day + 0.1),
                outcome="workable", layer_mm=10),
            Piece(piece=f"K{day}", batch=f"W-{day}", run=f"D{day}"),
        ]  # fmt: skip
        if day in (2, 4):
            rows.append(BatchLine(batch=f"W-{day}", position=2, material="soda ash", mass_g=12.0))
    with lab.acting("a bench") as act:
        for row in rows:
            act.add(row)
    return lab


def log(lab: Lab, day: float, event: str, face: str | None = "form") -> None:
    log_slab(lab, SlabEvent(slab="P1", at=on(day), event=event, face=face))


def pieces(found: Trace) -> dict[str, str]:
    return {each.code: each.reason for each in found.at_risk if each.kind == "piece"}


def test_a_chip_logged_minutes_after_the_lift_reaches_the_clay_just_lifted(bench: Lab) -> None:
    log(bench, 3.1 + 12 / 1440, "chipped")
    see_fault(bench, FaultSeen(piece="K3", seen_on=on(20), fault="pop_out"))
    found = trace_fault(bench, piece="K3", as_of=on(30))
    assert any(link.kind == "event" and "logged only after the pour" in link.text for link in found.chain)
    # D4 and all after it lay on the chip; D3 is the piece's own, and D2 was off a day before.
    assert set(pieces(found)) == {"K4", "K5", "K6", "K7", "K8"}
    forward = pieces(trace_fault(bench, slab="P1", as_of=on(30)))
    assert forward["K3"] == "dried on P1: chipped 4 Mar, logged 12 min after it was lifted" and "K2" not in forward


def test_a_chip_logged_hours_after_the_lift_came_of_something_else(bench: Lab) -> None:
    log(bench, 3.1 + 5 / 24, "chipped")
    assert set(pieces(trace_fault(bench, slab="P1", as_of=on(30)))) == {"K4", "K5", "K6", "K7", "K8"}


def test_a_chip_while_the_layer_lay_there_may_be_in_it(bench: Lab) -> None:
    log(bench, 3.05, "chipped")
    assert pieces(trace_fault(bench, slab="P1", as_of=on(30)))["K3"] == "dried on P1: chipped 4 Mar, while it lay there"


def test_a_look_ends_a_chip_unless_the_pieces_say_that_it_missed_it(bench: Lab) -> None:
    log(bench, 3.5, "chipped")
    log(bench, 5.5, "looked_over")
    assert set(pieces(trace_fault(bench, slab="P1", as_of=on(30)))) == {"K4", "K5"}
    see_fault(bench, FaultSeen(piece="K7", seen_on=on(20), fault="pop_out"))
    missed = trace_fault(bench, piece="K7", as_of=on(30))
    assert set(pieces(missed)) == {"K4", "K5", "K6", "K8"} and "chipped 4 Mar" in pieces(missed)["K6"]


def test_a_chip_on_the_other_face_is_no_cause(bench: Lab) -> None:
    log(bench, 3.5, "chipped", "open")
    log(bench, 4.5, "resurfaced", "open")
    found = trace_fault(bench, slab="P1", as_of=on(30))
    assert not any("chipped" in reason for reason in pieces(found).values())


def test_salts_seen_late_count_from_the_layer_that_brought_them(bench: Lab) -> None:
    log(bench, 0.5, "cleaned")
    log(bench, 6.5, "salts")
    log(bench, 7.5, "cleaned")
    reasons = pieces(trace_fault(bench, slab="P1", as_of=on(30)))
    assert set(reasons) == {"K2", "K3", "K4", "K5", "K6", "K7"}
    assert reasons["K7"] == "dried on P1: salts, seen 7 Mar"
    assert reasons["K3"] == "dried on P1: salts, seen 7 Mar, not seen yet when this lay there"


def test_a_stain_seen_late_counts_from_the_last_look(bench: Lab) -> None:
    log(bench, 3.5, "looked_over")
    log(bench, 6.5, "stained")
    reasons = pieces(trace_fault(bench, slab="P1", as_of=on(30)))
    assert set(reasons) == {"K4", "K5", "K6", "K7", "K8"} and "not seen yet" in reasons["K4"]
    assert reasons["K8"] == "dried on P1: stained, seen 7 Mar"


def test_deflocculant_that_has_added_up_is_the_cause_of_scum_however_little(bench: Lab) -> None:
    # Little of it is no cause by itself ...
    assert "K1" in pieces(trace_fault(bench, slab="P1", as_of=on(30)))
    assert not any("deflocculant" in each for each in pieces(trace_fault(bench, slab="P1", as_of=on(30))).values())
    # ... but scum points to it: all that lay there since the first layer that brought some, and not that one.
    see_fault(bench, FaultSeen(piece="K5", seen_on=on(20), fault="scum"))
    found = trace_fault(bench, piece="K5", as_of=on(30))
    assert set(pieces(found)) == {"K3", "K4", "K6", "K7", "K8"}
    assert "of deflocculant and salts in 2 layers since 3 Mar" in pieces(found)["K8"]
    brought = [link.code for link in found.chain if "brought" in link.text and link.kind == "run"]
    assert brought == ["D4", "D2"]
    # A new face holds none of it.
    log(bench, 2.5, "resurfaced")
    again = pieces(trace_fault(bench, piece="K5", as_of=on(30)))
    assert set(again) == {"K6", "K7", "K8"} and "in 1 layer since 5 Mar" in again["K8"]


def test_much_deflocculant_is_a_cause_by_itself_from_where_it_shows(bench: Lab) -> None:
    with bench.acting("stronger slip") as act:
        for day in (5, 6):
            act.add(BatchLine(batch=f"W-{day}", position=2, material="soda ash", mass_g=40.0))
    reasons = pieces(trace_fault(bench, slab="P1", as_of=on(30)))
    # 12 and 12 g, then 40 and 40, on 0.16 m²: 100 g/m² are reached with the layer of day 5 or 6, by its share poured.
    assert "K8" in reasons and "deflocculant" in reasons["K8"] and "K4" not in reasons


def test_what_is_at_risk_says_what_was_seen_on_it(bench: Lab) -> None:
    log(bench, 3.5, "chipped")
    see_fault(bench, FaultSeen(piece="K4", seen_on=on(20), fault="none"))
    see_fault(bench, FaultSeen(piece="K5", seen_on=on(20), fault="pop_out"))
    rows = {each.code: each for each in trace_fault(bench, slab="P1", as_of=on(30)).at_risk}
    assert (rows["K4"].seen, rows["K5"].seen, rows["K6"].seen) == (("none",), ("pop_out",), ())
    assert (rows["K4"].body, rows["K4"].batch, rows["K4"].run) == ("W", "W-4", "D4")


def test_frost_on_the_wet_slab_can_be_in_the_clay(bench: Lab) -> None:
    log_slab(bench, SlabEvent(slab="P1", at=on(2.95), event="weighed", mass_g=9_500))
    log(bench, 3.9, "frozen", None)
    see_fault(bench, FaultSeen(piece="K6", seen_on=on(20), fault="pop_out"))
    found = pieces(trace_fault(bench, piece="K6", as_of=on(30)))
    assert found["K4"].startswith("dried on P1: stood wet in frost") and "K3" not in found
