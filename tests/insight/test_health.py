"""What speaks against a slab: faults with the number of tests in mind, faces, salts added up, stain ranks, advice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.lab_rows import LabRows
from claybench.insight.settings import Settings
from claybench.insight.slab_condition.observed_evidence import observed_evidence
from claybench.insight.slab_condition.piece_fault_evidence import SLAB_FAULTS, FaultCounts, fisher_exact_tail
from claybench.insight.slab_condition.ready_again import ReadyAgain
from claybench.insight.slab_condition.verdict import Evidence, advise_on_slab
from claybench.terms import (
    Batch,
    BatchEvent,
    BatchLine,
    Body,
    FaultSeen,
    Material,
    Piece,
    Run,
    Slab,
    SlabEvent,
)

T0 = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
RANKS = {"white": 0, "buff": 1, "red": 2}


def on(day: float) -> datetime:
    return T0 + timedelta(days=day)


def run(number: int, slab: str, *, body: str = "W", face: str | None = "form", day: float | None = None) -> Run:
    start = on(number if day is None else day)
    return Run(
        run=f"R{number}", batch=f"{body}-{number}", slab=slab, face=face, started_at=start, layer_mm=10, area_cm2=1600,
        ended_at=start + timedelta(hours=1), outcome="workable",
    )  # fmt: skip


def model_of(runs: Sequence[Run], slabs: int = 2, **more: Any) -> LabModel:
    """A model of so many slabs P1, P2 … of the white family, each run with a batch of its own."""
    bodies = [Body(body="W", family="white"), Body(body="B", family="buff"), Body(body="R", family="red"),
              Body(body="G", family="buff", stain_rank=0)]  # fmt: skip
    given: dict[str, Any] = {
        "batches": [
            Batch(batch=each.batch, body=each.batch[0], mixed_at=each.started_at, dry_mass_g=4000, water_g=4200)
            for each in {run.batch: run for run in runs}.values()
        ],
    }
    rows = LabRows(
        runs=runs, bodies=bodies,
        slabs=[Slab(slab=f"P{n + 1}", family="white", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70)
               for n in range(slabs)],
        **(given | more),
    )  # fmt: skip
    return LabModel(rows, at=on(400), zone=UTC, settings=Settings())


# -- faults ----------------------------------------------------------------------------------------


def looked_at(runs: Sequence[Run], faulty: dict[str, str], each: int = 5) -> tuple[list[Piece], list[FaultSeen]]:
    """So many pieces of every run, all looked at; those of some runs with a fault."""
    pieces = [Piece(piece=f"{row.run}{n}", batch=row.batch, run=row.run) for row in runs for n in range(each)]
    faults = [
        FaultSeen(piece=piece.piece, seen_on=date(2026, 6, 1), fault=faulty.get(piece.run or "", "none"))
        for piece in pieces
    ]
    return pieces, faults


def test_a_chance_that_would_do_for_two_slabs_does_not_for_thirty() -> None:
    runs = [run(number, f"P{number}") for number in range(1, 31)]
    pieces, faults = looked_at(runs, {})
    # Three of five on P1, and of the others so many that the odds alone come out near one in two hundred.
    bad = {"R10", "R11", "R12", *(f"R{n}0" for n in range(2, 13))}
    faults = [replace(row, fault="specks") if row.piece in bad else row for row in faults]
    chance = fisher_exact_tail(3, 5, 11, 145)
    assert 0.005 < chance < 0.01  # one pair of slabs would have been believed at four kinds of fault
    assert chance * len(SLAB_FAULTS) < 0.05
    counts = FaultCounts(model_of(runs, 30), pieces, faults, {})
    assert counts.tests == 30 * len(SLAB_FAULTS)
    assert counts.evidence("P1") == []


def test_a_slab_whose_pieces_are_truly_worse_is_named_with_its_first_day() -> None:
    runs = [run(number, f"P{number % 4 + 1}") for number in range(40)]
    pieces, faults = looked_at(runs, {"R1": "pop_out", "R5": "pop_out"})
    counts = FaultCounts(model_of(runs, 4), pieces, faults, {})
    (found,) = counts.evidence("P2")
    assert found.kind == "faults" and found.since == date(2026, 6, 1) and found.strength > 0.95
    assert found.text == "pop-out on 10 of 50 pieces looked at, 0 of 150 on other slabs"
    assert counts.evidence("P1") == []
    # Resurfaced since: what dried on the old face no longer counts; the other face made anew says nothing of it.
    renewed = SlabEvent(slab="P2", at=on(20), event="resurfaced")
    for face, gone in ((None, True), ("form", True), ("open", False)):
        held = FaultCounts(model_of(runs, 4), pieces, faults, {"P2": [replace(renewed, face=face)]}).evidence("P2")
        assert (held == []) is gone


def test_faults_that_do_not_come_from_slabs_say_nothing() -> None:
    runs = [run(number, f"P{number % 2 + 1}") for number in range(20)]
    pieces, faults = looked_at(runs, {"R1": "dunting", "R3": "bloat", "R5": "warp"})
    assert FaultCounts(model_of(runs), pieces, faults, {}).evidence("P2") == []


def test_a_piece_without_a_run_counts_where_its_batch_lay_on_one_slab_alone() -> None:
    runs = [run(number, f"P{number % 2 + 1}") for number in range(20)]
    pieces, faults = looked_at(runs, {"R1": "specks", "R3": "specks"})
    unknown = [replace(piece, run=None) for piece in pieces]
    assert FaultCounts(model_of(runs), unknown, faults, {}).evidence("P2")
    both = [*runs, replace(run(1, "P1", day=30), run="R99")]  # R1's batch lay on P1, too
    assert FaultCounts(model_of(both), unknown, faults, {}).evidence("P2") == []  # five of 45: chance may do that


def test_the_tail_is_fishers_for_large_counts_too() -> None:
    """Reference library: scipy.stats.fisher_exact, one-sided."""
    from scipy.stats import fisher_exact

    for a, n1, b, n2 in ((60, 3000, 900, 97_000), (0, 5, 3, 10), (5, 5, 0, 20_000)):
        wanted = fisher_exact([[a, n1 - a], [b, n2 - b]], alternative="greater").pvalue
        assert fisher_exact_tail(a, n1, b, n2) == pytest.approx(wanted, rel=1e-6)


SLOW = Evidence("slow", None, on(0).date(), 0.8, "slow")


# -- what was seen or done -------------------------------------------------------------------------


def seen(runs: Sequence[Run], events: Sequence[SlabEvent] = (), **more: Any) -> dict[str, Evidence]:
    model = model_of(runs, events=list(events), **more)
    slab = model.slabs.balances["P1"].slab
    own = [model.poured[each.run] for each in model.slabs.runs_on.get("P1", [])]
    return {each.kind: each for each in observed_evidence(slab, model.slabs.balances["P1"].events, RANKS, own, model)}


def test_only_clay_that_stains_more_is_the_wrong_clay() -> None:
    found = seen([run(1, "P1"), run(2, "P1", body="R", face="open")])["wrong_clay"]
    assert (found.face, found.since) == ("open", on(2).date()) and "red clay" in found.text
    assert "wrong_clay" not in seen([run(1, "P1", body="W")])
    # A body that differs from its family in what it stains goes by its own rank.
    assert "wrong_clay" not in seen([run(1, "P1", body="G")])
    event = SlabEvent(slab="P1", at=on(3), event="other_clay", family="buff", face="form")
    assert seen([], [event])["wrong_clay"].face == "form"
    assert "wrong_clay" not in seen([], [replace(event, family="white")])
    assert "wrong_clay" not in seen([], [event, SlabEvent(slab="P1", at=on(4), event="resurfaced")])


def test_each_face_has_its_own_day_of_the_wrong_clay_and_of_salts() -> None:
    runs = [run(1, "P1", body="R"), run(5, "P1", body="R", face="open"), run(7, "P1", body="R", face="open")]
    events = [SlabEvent(slab="P1", at=on(day), event="salts", face=face) for day, face in ((2, "form"), (3, "open"))]
    model = model_of(runs, events=events)
    own = [model.poured[each.run] for each in runs]
    found = observed_evidence(model.slabs.balances["P1"].slab, events, RANKS, own, model)
    assert {(each.kind, each.face, each.since) for each in found} == {
        ("wrong_clay", "form", on(1).date()), ("wrong_clay", "open", on(5).date()),
        ("salts", "form", on(2).date()), ("salts", "open", on(3).date()),
    }  # fmt: skip
    assert [each.text for each in found if "times" in each.text] == [
        "red clay dried on it 8 Mar, 2 times since 6 Mar"
    ]  # fmt: skip


def test_deflocculant_adds_up_on_the_face_it_dried_on() -> None:
    materials = [Material(material="soda", kind="deflocculant"), Material(material="clay", kind="clay")]
    runs = [run(number, "P1") for number in range(8)]
    lines = [
        BatchLine(batch=each.batch, position=at, material=name, mass_g=grams)
        for each in runs
        for at, (name, grams) in enumerate((("clay", 4000.0), ("soda", 12.0)), 1)
    ]
    more: dict[str, Any] = {"batch_lines": lines, "materials": materials}
    found = seen(runs, **more)["salts"]
    layer = model_of(runs, **more).poured["R0"].layer
    share = layer.dry_per_area * 1600 / 10 / 4000
    assert found.face == "form" and found.since == on(0).date()
    assert found.text.startswith(f"{8 * 12 * share:.0f} g of deflocculant and salts in 8 layers")
    assert "from memory" in found.text
    assert found.strength == pytest.approx(8 * 12 * share / 0.2 / 1000)  # on 0.2 m²
    assert "salts" not in seen(runs[:2], **more)  # too little to speak of
    assert "salts" not in seen(runs, [SlabEvent(slab="P1", at=on(7.5), event="resurfaced")], **more)


def test_a_layer_of_no_face_counts_for_both_and_faces_do_not_add_up() -> None:
    materials = [Material(material="soda", kind="deflocculant")]
    faces = ("form", "form", "open", "open", None, None)
    runs = [run(number, "P1", face=face) for number, face in enumerate(faces)]
    batches = [Batch(batch=each.batch, body="W", mixed_at=each.started_at, dry_mass_g=1000, water_g=1100,
                     deflocculant_g=10.0) for each in runs]  # fmt: skip

    def brought(of: Sequence[Run]) -> dict[str | None, tuple[float, date | None]]:
        model = model_of(of, batches=batches, materials=materials)
        own = [model.poured[each.run] for each in of]
        found = observed_evidence(model.slabs.balances["P1"].slab, (), RANKS, own, model)
        return {each.face: (each.strength, each.since) for each in found}

    # Each batch lay on the slab whole: 10 g on 0.2 m² are 50 g/m², a twentieth of what wears a face out.
    assert brought(runs[:4]) == {
        "form": (pytest.approx(0.1), on(0).date()), "open": (pytest.approx(0.1), on(2).date()),
    }  # fmt: skip
    assert brought(runs) == {"form": (pytest.approx(0.2), on(0).date()), "open": (pytest.approx(0.2), on(2).date())}
    assert brought(runs[4:]) == {None: (pytest.approx(0.1), on(4).date())}


def test_deflocculant_named_in_no_line_or_added_later_counts() -> None:
    materials = [Material(material="soda", kind="deflocculant")]
    runs = [run(number, "P1") for number in range(8)]
    batches = [Batch(batch=each.batch, body="W", mixed_at=each.started_at, dry_mass_g=4000, water_g=4200,
                     deflocculant_g=12.0) for each in runs]  # fmt: skip
    log = [BatchEvent(batch=each.batch, at=each.started_at, event="addition", material="soda", mass_g=12.0)
           for each in runs]  # fmt: skip
    alone = seen(runs, batches=batches, materials=materials)
    both = seen(runs, batches=batches, batch_log=log, materials=materials)
    assert both["salts"].strength == pytest.approx(2 * alone["salts"].strength)


def test_a_deflocculant_without_a_kind_is_one_by_its_name_as_in_the_sizing() -> None:
    runs = [run(number, "P1") for number in range(8)]
    log = [BatchEvent(batch=each.batch, at=each.started_at, event="addition", material="sodium silicate", mass_g=12.0)
           for each in runs]  # fmt: skip
    named, told = (
        seen(runs, batch_log=log, materials=[Material(material="sodium silicate", kind=kind)])
        for kind in (None, "deflocculant")
    )
    assert named["salts"].strength == told["salts"].strength
    assert "salts" not in seen(runs, batch_log=log, materials=[Material(material="sodium silicate", kind="clay")])


# -- advice ----------------------------------------------------------------------------------------


def advice(*evidence: Evidence, events: Sequence[SlabEvent] = (), wet: float = 0.1) -> str:
    model = model_of([], events=[SlabEvent(slab="P1", at=on(0), event="weighed_dry", mass_g=10_000)])
    wetness = replace(model.wetnesses["P1"], now=wet, water_g=wet * model.wetnesses["P1"].capacity_g)
    again = ReadyAgain(on(0), True, False, on(0) + timedelta(hours=5), on(9))
    return advise_on_slab("suspect", wetness, again, evidence, False, events)


def test_one_sentence_of_advice_for_each_kind() -> None:
    ring = replace(SLOW, kind="ring_test", face="form", strength=0.9)
    again = [SlabEvent(slab="P1", at=on(1), event="resurfaced")]
    assert advice(SLOW).startswith("Do a ring test")
    assert advice(SLOW, wet=0.8).startswith(
        "Dry it where it stands: ready again about "
    ) and "then do a ring test" in advice(SLOW, wet=0.8)
    assert advice(SLOW, ring) == "Resurface its form face, and do the ring test again."
    assert advice(SLOW, ring, events=again).startswith("Retire it")
    assert "darker family" in advice(replace(SLOW, kind="wrong_clay"))
    assert advice(replace(SLOW, kind="faults"), events=again).startswith("Retire it")
    assert advice(replace(SLOW, kind="chips", strength=1.0)) == "Retire it: it is broken."
