"""A set half-way made: what is poured stays, what waits comes first; large batches get several layers; stock."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

import pytest

from claybench.ask.plan import plan_next_set
from claybench.errors import BadInput
from claybench.insight.plan.design.plan_file import parse_plan
from claybench.insight.plan.design.plan_request import FirstSetRequest
from claybench.insight.plan.next_set.next_set import NextSet
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Lot, Run, Slab
from claybench.work.recipes import add_body, add_lot, mix_batch
from claybench.work.runs import lift_off, start_run
from claybench.work.slabs import enter_slab

pytestmark = pytest.mark.slow

NOW = datetime.fromisoformat("2026-03-12T09:00:00+00:00")
"""The clock of the `lab` fixture."""
TEXT = """
title = "Less grog"
family = "buff"
count = 3
[materials]
"fire clay" = [20, 60]
"ball clay" = [20, 60]
"grog" = [5, 30]
[targets]
drying_shrinkage_pct = [4, 6]
"""


@pytest.fixture
def bench(lab: Lab) -> Iterator[Lab]:
    """Two dry slabs of buff, 1 000 and 1 500 cm², and a control body."""
    for code, area in (("P1", 1000.0), ("P2", 1500.0)):
        slab = Slab(
            slab=code, family="buff", length_mm=500, width_mm=400, thickness_mm=50, usable_area_cm2=area, mix_ratio=70,
            dry_mass_g=11000, in_service_on=date(2026, 1, 1),
        )  # fmt: skip
        enter_slab(lab, slab, at=NOW - timedelta(hours=1), mass_g=11050)
    add_body(lab, Body(body="B-00", family="buff", control=True), [("fire clay", 50), ("ball clay", 50)])
    yield lab


def take_on(lab: Lab, found: NextSet) -> list[str]:
    """The new bodies written down as the set of the plan."""
    codes = [f"B-1{number}" for number in range(len(found.bodies))]
    for code, body in zip(codes, found.bodies, strict=True):
        add_body(lab, Body(body=code, family="buff", test_set="less GROG "), list(body.parts.items()))
    return codes


def test_a_set_half_way_made_keeps_what_is_made_and_goes_on_with_the_rest(bench: Lab) -> None:
    asked = parse_plan(TEXT)
    first = plan_next_set(bench, asked)
    assert first.under_way == () and all(body.slab and body.start and body.start >= NOW for body in first.bodies)
    codes = take_on(bench, first)
    mix_batch(bench, Batch(batch="B-10-1", body=codes[0], made="slip", mixed_at=NOW - timedelta(minutes=30)))
    mix_batch(bench, Batch(batch="B-11-1", body=codes[1], made="slip", mixed_at=NOW - timedelta(minutes=30)))
    start_run(bench, Run(run="D1", batch="B-10-1", slab="P1", started_at=NOW, layer_mm=10, area_cm2=900))

    again = plan_next_set(bench, asked)
    made, poured_next, waiting = again.under_way
    assert (made.body, made.state, made.slab, made.start) == ("B-10", "lying", "P1", NOW)
    # One planned for later stands in the record before it is mixed.
    later = Batch(batch="B-12-1", body=codes[2], made="slip", mixed_at=NOW + timedelta(hours=5))
    mix_batch(bench, later)
    assert plan_next_set(bench, asked).under_way[2].state == "to_mix"
    assert (poured_next.state, poured_next.batch, waiting.state, waiting.batch) == ("to_pour", "B-11-1", "to_mix", None)
    assert poured_next.slab is not None and waiting.slab is not None
    assert poured_next.start is not None and waiting.start is not None
    # P1 is taken, so what waits goes on P2, or on P1 once it is free and dry.
    assert min(poured_next.start, waiting.start) >= NOW and {poured_next.slab, waiting.slab} <= {"P1", "P2"}
    assert len(again.bodies) == 3
    new = [tuple(body.parts.values()) for body in again.bodies]
    assert not set(new) & {tuple(body.parts.values()) for body in first.bodies}
    assert "pour B-11 on" in " ".join(row.text for row in again.calendar)
    assert not any(row.layer == "B-10" for row in again.calendar)

    bench.now = lambda: NOW + timedelta(hours=3)
    lift_off(bench, "D1", "workable", at=NOW + timedelta(minutes=70))
    assert plan_next_set(bench, asked).under_way[0].state == "lifted"
    # As of the moment before the pour, it had not been poured.
    before = plan_next_set(bench, asked, as_of=NOW - timedelta(minutes=10)).under_way
    assert [each.state for each in before] == ["to_pour", "to_pour", "to_mix"]


def test_what_waits_is_poured_before_what_is_new(bench: Lab) -> None:
    """With one slab that is free, everything of the set comes before anything new on it."""
    asked = parse_plan(TEXT)
    take_on(bench, plan_next_set(bench, asked))
    found = plan_next_set(bench, asked)
    for slab in ("P1", "P2"):
        old = [each.start for each in found.under_way if each.slab == slab and each.start]
        new = [body.start for body in found.bodies if body.slab == slab and body.start]
        last = [each.start for each in found.repeats if each.slab == slab and each.start]
        assert not old or not new or max(old) < min(new)
        assert not new or not last or max(new) < min(last)


def test_a_batch_too_large_for_a_layer_gets_several_and_says_so(bench: Lab) -> None:
    large = plan_next_set(bench, parse_plan(TEXT.replace("count = 3", "count = 2\nbatch_g = 2500")))
    assert large.layers_each >= 2 and large.batch_g == 2500
    assert any("too large for one layer: it takes" in note for note in large.notes)
    placed = [body for body in large.bodies if body.layers]
    assert placed and all(len(body.layers) <= large.layers_each for body in large.bodies)
    assert placed[0].slab == placed[0].layers[0].slab and placed[0].start == placed[0].layers[0].start
    assert any("body 1, layer 1 of" in row.text for row in large.calendar)
    small = plan_next_set(bench, parse_plan(TEXT.replace("count = 3", "count = 2\nbatch_g = 500")))
    assert small.layers_each == 1 and not any("too large" in note for note in small.notes)
    huge = plan_next_set(bench, parse_plan(TEXT.replace("count = 3", "count = 1\nbatch_g = 90000")))
    assert any("mix smaller batches" in note for note in huge.notes)


def test_a_batch_is_what_one_layer_takes_unless_the_plan_says_more(bench: Lab) -> None:
    """Plain slip of 1.4 holds 6.5 kg/m² of dry clay 10 mm deep (Brongniart, G 2.6): 650 g on the smaller slab."""
    asked = parse_plan(TEXT)
    assert plan_next_set(bench, asked).batch_g == 650
    for number, grams in enumerate((2900, 3000, 3100)):
        mixed_at = NOW - timedelta(days=number + 1)
        mix_batch(bench, Batch(batch=f"B-00-{number}", body="B-00", made="slip", mixed_at=mixed_at, dry_mass_g=grams))
    large = plan_next_set(bench, asked)
    assert large.batch_g == 650 and large.layers_each == 1
    assert any("usually weigh 3 000 g, which takes 3 layers" in note and "650 g" in note for note in large.notes)
    for number in range(5):
        mixed_at = NOW - timedelta(hours=number + 1)
        mix_batch(bench, Batch(batch=f"B-01-{number}", body="B-00", made="slip", mixed_at=mixed_at, dry_mass_g=310))
    assert plan_next_set(bench, asked).batch_g == 310


def test_parts_are_what_the_scale_can_weigh_into_the_batch(bench: Lab) -> None:
    """1 g of 200 g is half a part: all parts are whole halves, and the bounds still hold."""
    for first in (None, FirstSetRequest(kind="I-optimal")):
        found = plan_next_set(bench, parse_plan(TEXT.replace("count = 3", "count = 4\nbatch_g = 200")), first=first)
        for body in found.bodies:
            assert all(2 * part == int(2 * part) for part in body.parts.values()) and sum(body.parts.values()) == 100
            assert 20 <= body.parts["fire clay"] <= 60 and 5 <= body.parts["grog"] <= 30
        assert len({tuple(body.parts.values()) for body in found.bodies}) == 4


def test_stock_counts_what_is_used_up(bench: Lab) -> None:
    add_lot(bench, Lot(lot="G-1", material="grog", received_kg=5, moisture_pct=2))
    assert not any("grog" in note for note in plan_next_set(bench, parse_plan(TEXT)).notes)
    batch = Batch(batch="X", body="B-00", made="slip", mixed_at=NOW - timedelta(days=1))
    mix_batch(bench, batch, [("grog", "G-1", 4700.0)])
    note = next(note for note in plan_next_set(bench, parse_plan(TEXT)).notes if note.startswith("grog"))
    assert "about 0.2 kg of 4.9 kg received are left" in note


def test_a_first_set_is_laid_out_as_the_plan_says_or_as_asked(bench: Lab) -> None:
    asked = parse_plan(TEXT + '[first]\nkind = "line"\nbetween = ["grog", "B-00"]\n')
    with pytest.raises(BadInput, match="B-00 lies outside the bounds: grog at least 5"):
        plan_next_set(bench, asked)
    found = plan_next_set(bench, parse_plan(TEXT + '[first]\nkind = "line"\nbetween = ["fire clay", "ball clay"]\n'))
    assert found.layout == "line"
    assert [body.parts["grog"] for body in found.bodies] == pytest.approx([12.5] * 3, abs=0.11)
    other = plan_next_set(bench, asked, first=FirstSetRequest(kind="corners"))
    assert other.layout == "corners" and all("corners" in body.reason for body in other.bodies)
    worth = [each for each in other.repeats if each.number is not None]
    assert [each.body for each in worth] == [f"body {worth[0].number}"] and worth[0].slab in ("P1", "P2")
    assert other.repeats[0].body == "B-00"


def test_hours_are_kept_and_the_reason_is_given_where_no_slab_is_free(bench: Lab) -> None:
    found = plan_next_set(bench, parse_plan(TEXT + '[bench]\nhours = ["09:00", "13:00"]\nsat = []\nsun = []\n'))
    for body in found.bodies:
        assert body.start is not None and time(9) <= body.start.time() <= time(13) and body.start.weekday() < 5
    many = plan_next_set(
        bench, parse_plan(TEXT.replace("count = 3", "count = 12") + '[bench]\nhours = ["09:00", "09:20"]\n')
    )
    assert {body.slab for body in many.bodies} == {None}
    note = next(note for note in many.notes if note.startswith("No slab yet for"))
    assert f"body 6, {6 + len(many.repeats)} more: Even on a dry slab it takes about" in note
    other = plan_next_set(bench, parse_plan(TEXT.replace("buff", "white")))
    assert [body.slab for body in other.bodies] == [None] * 3
    assert any("No slab is kept for white" in note for note in other.notes)
