"""Sets followed, and what making a set begins with: codes, parents, water, stock."""

from __future__ import annotations

from datetime import timedelta

import pytest

from claybench.ask.plan import bodies_made, follow_set, list_sets, making_start, plan_next_set
from claybench.errors import NotFound
from claybench.insight.plan.design.plan_file import parse_plan
from claybench.insight.plan.next_set.followed_set import STATES
from claybench.insight.plan.next_set.making import MakingStart, next_codes
from claybench.insight.sizing.requests import planned_masses
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Fired, Firing, Lot, Material, Piece, Run, Slab
from claybench.work import recipes
from claybench.work.any_row import undo_last
from tests.sample import END, buff_plan

PLAN = """title = "line"
family = "buff"
count = 2
[materials]
"kaolin" = [20, 80]
"quartz" = [20, 80]
[fixed]
"bentonite" = 2
"""


def test_codes_go_on_from_the_family_and_pass_over_all_that_were_given_out() -> None:
    assert next_codes(["B-08", "B-10"], ["B-08", "B-10", "b-11", "W-12"], "buff", 2) == ["B-12", "B-13"]
    assert next_codes(["Control"], ["Control"], "white", 2) == ["W-01", "W-02"]


def test_stock_counts_what_is_left_what_waits_and_what_nobody_knows() -> None:
    held = MakingStart((), 1000.0, {"kaolin": 1000.0, "quartz": 5000.0}, {"kaolin": 300.0})
    kaolin, quartz, dust = held.material_needs([(("Kaolin", 60.0), ("quartz", 30.0), ("dust", 10.0))] * 2, 1000.0)
    assert (kaolin.wanted_g, kaolin.short_g) == (1200.0, pytest.approx(500.0))
    assert kaolin.text().endswith("0.5 kg short") and quartz.text().endswith("enough")
    assert dust.short_g is None and "not known" in dust.text()


def test_proposals_become_bodies_and_batches_in_one_act(lab: Lab) -> None:
    recipes.add_material(lab, Material(material="kaolin", specific_gravity=2.6))
    recipes.add_lot(lab, Lot(lot="K1", material="kaolin", received_kg=3.0))
    found = plan_next_set(lab, parse_plan(PLAN))
    start = making_start(lab, found)
    assert [offer.body for offer in start.offers] == ["B-01", "B-02"]
    first = start.offers[0]
    assert first.lines[-1] == ("bentonite", 2.0) and sum(parts for _, parts in first.lines) == pytest.approx(102)
    # Water for slip of 1.4 with solids of 2.6 by Brongniart's rule: 1.4 = (1 + w) / (1/2.6 + w).
    water = planned_masses(1000.0, first.slip_sg, first.solids_sg)["water_g"]
    assert (1000 + water) / (1000 / 2.6 + water) == pytest.approx(1.4, abs=1e-6)
    assert start.left_g == {"kaolin": 3000.0}
    assert bodies_made(lab, found) == {}
    body = Body(body="B-01", family="buff", test_set="line")
    batch = Batch(batch="B-01-1", body="B-01", mixed_at=lab.now() + timedelta(days=2), dry_mass_g=1020.0, water_g=900.0)
    recipes.design_set(lab, [(body, first.lines)], "line", batches=[batch])
    assert bodies_made(lab, found) == {1: "B-01"}
    again = making_start(lab, found)
    assert again.waiting_g["bentonite"] == pytest.approx(20.0)
    assert [offer.body for offer in again.offers] == ["B-02", "B-03"]
    assert [(row.name, row.text()) for row in list_sets(lab)] == [("line", "1 designed")]
    # A batch planned for the day after tomorrow is mixed when its water goes in.
    recipes.water_in(lab, "B-01-1", dry_g=1000.0, water_g=880.0)
    with lab.reading() as record:
        assert record.one(Batch, "B-01-1").mixed_at <= lab.now()
    undo_last(lab)
    undo_last(lab)
    assert list_sets(lab) == [] and bodies_made(lab, found) == {}


def test_a_body_is_followed_from_its_recipe_to_its_results(lab: Lab) -> None:
    at = lab.now()
    targets = "[targets]\ntotal_shrinkage_pct = [11, 12]\n"
    asked = parse_plan(PLAN.replace("count = 2", 'count = 2\ncone = "6"') + targets)
    recipes.design_set(lab, [(Body(body="B-01", test_set="Line"), [("kaolin", 100.0)])], "Line")

    def state() -> str:
        return follow_set(lab, "line", asked)[0].state

    assert state() == "designed"
    recipes.mix_batch(lab, Batch(batch="X", body="B-01", mixed_at=at), [("kaolin", None, 500.0)])
    assert state() == "weighed"
    with lab.acting("a run and its pieces") as act:
        act.add(Slab(slab="P1", length_mm=400, width_mm=300, thickness_mm=40))
        act.add(Run(run="R1", batch="X", slab="P1", started_at=at))
    assert state() == "weighed"
    with lab.acting("lifted") as act:
        act.change(Run, "R1", {"ended_at": at + timedelta(hours=1), "outcome": "workable"})
        act.add(Piece(piece="P1A", batch="X", plastic_mm=100.0))
        act.add(Firing(firing="F1", cone="6"))
        act.add(Firing(firing="F2", cone="04"))
    assert state() == "dried"
    with lab.acting("fired") as act:
        act.add(Fired(piece="P1A", firing="F2"))
    assert state() == "fired" and "total_shrinkage_pct" not in follow_set(lab, "line", asked)[0].results
    with lab.acting("measured") as act:
        act.add(Fired(piece="P1A", firing="F1", fired_mm=88.5))
    recipes.add_body(lab, Body(body="B-02", test_set="line"), [("quartz", 100.0)])
    one, other = follow_set(lab, "line", asked)
    assert other.state == "designed" and other.results == {} and other.batch is None
    assert one.state == STATES[-1] and one.results["total_shrinkage_pct"].mean == pytest.approx(11.5)
    assert one.results["total_shrinkage_pct"].met is True
    with pytest.raises(NotFound, match="No body belongs to a set 'none'"):
        follow_set(lab, "none")


def test_a_parent_is_the_nearest_measured_body(sample_lab: Lab) -> None:
    bounds = {"fire clay": (34, 36), "ball clay": (29, 31), "feldspar": (22, 24), "grog": (11, 13)}
    text = buff_plan("t", 1, {"total_shrinkage_pct": (11, 13)}, bounds)
    found = plan_next_set(sample_lab, parse_plan(text), as_of=END)
    offer = making_start(sample_lab, found).offers[0]
    # Of the family's bodies B-07 (35, 30, 23, 12) is the only one within these bounds; B-06 is the next.
    assert offer.parent in ("B-06", "B-07") and offer.slip_sg == 1.45
    assert {row.name for row in list_sets(sample_lab)} >= {"towards 12 %", "casting"}
