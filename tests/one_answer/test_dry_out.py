"""When a slab is ready again, and when it is dry: every place is asked about the same slab, and there is one answer."""

from __future__ import annotations

import contextlib
import io
import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import pytest

from claybench.__main__ import main
from claybench.ask.bench import bench_now
from claybench.ask.lab_model import lab_model
from claybench.ask.reports import read_passport
from claybench.ask.sizing_start import sizing_start
from claybench.ask.slabs import slab_list, slab_page
from claybench.ask.where_to_pour import where_to_pour
from claybench.figure.slab_charts import dry_out_chart
from claybench.insight.date_words import weekday_and_hour
from claybench.insight.plan.schedule.lab_schedule import WantedPour, lab_rules, schedule_request
from claybench.insight.plan.schedule.placement import place_layers
from claybench.insight.plan.schedule.schedule_request import BenchHours
from claybench.insight.slab_water.dry_out_estimate import hours_until_ready
from claybench.insight.slab_water.free_faces import SlabFaces
from claybench.insight.slab_water.sized_slab_dry_out import estimate_sized_dry_out
from claybench.mix.pour_list import slabs_of_pour
from claybench.mix.slab_request import SlabRequest
from claybench.mix.slab_sizing import size_slab
from claybench.paper.passport import write_slab_passport
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import Body, Slab, SlabEvent
from claybench.work.any_row import correct_row
from claybench.work.recipes import add_body
from claybench.work.settings import set_setting
from claybench.work.slabs import begin_pour, enter_slab, log_slab
from tests.conftest import Ticking
from tests.paper.reading import flat, text_of

NOW = datetime(2026, 3, 12, 17, 0, tzinfo=UTC)


# -- places: each says when the slab is ready again -------------------------------------------------


def by_the_slabs_command(lab: Lab, path: Path) -> datetime | None:
    """`claybench slabs --json`."""
    said = io.StringIO()
    with contextlib.redirect_stdout(said):
        assert main(["--lab", str(path), "slabs", "--as-of", lab.now().isoformat(), "--json"]) == 0
    (found,) = json.loads(said.getvalue())
    return None if found["ready_at"] is None else datetime.fromisoformat(found["ready_at"])


def on_the_bench(lab: Lab, path: Path) -> datetime | None:
    """Its row."""
    return bench_now(lab).slabs[0].verdict.again.ready_at


def on_its_page(lab: Lab, path: Path) -> datetime | None:
    """Its page."""
    return slab_page(lab, "P1").verdict.again.ready_at


def among_the_slabs_to_choose_from(lab: Lab, path: Path) -> datetime | None:
    """Which slab is best for a body."""
    (found,) = where_to_pour(lab, "B").at_depth(10.0)
    return found.again.ready_at


def in_its_chart(lab: Lab, path: Path) -> datetime | None:
    """The mark in the chart of its drying out."""
    page = slab_page(lab, "P1")
    assert page.dry_out is not None
    marks = {words: at for at, words in dry_out_chart(page).marks}
    return None if "ready again" not in marks else page.dry_out.since + timedelta(days=marks["ready again"])


def in_a_plan(lab: Lab, path: Path) -> datetime | None:
    """The first minute at which a plan pours a quick layer on it, the bench being open day and night."""
    model = lab_model(lab)[1]
    hours = BenchHours.daily(time(0), time(23, 59, 59), UTC)
    rules = replace(lab_rules(model), step_min=1, bench_days=60)
    asked = schedule_request(
        model, [WantedPour("next", Body(body="next", family="buff"), 300.0, 1.0)], hours=hours, rules=rules
    )
    return next((placed.start for placed in place_layers(asked).placed), None)


PLACES: dict[str, Callable[[Lab, Path], datetime | None]] = {
    "command": by_the_slabs_command,
    "bench": on_the_bench,
    "slab page": on_its_page,
    "which slab": among_the_slabs_to_choose_from,
    "chart": in_its_chart,
    "plan": in_a_plan,
}


def moved(hours: float, where: str, **air: float) -> SlabEvent:
    return SlabEvent(slab="P1", at=NOW + timedelta(hours=hours), event="moved", place=where, **air)


def weighed(hours: float, mass: float) -> SlabEvent:
    return SlabEvent(slab="P1", at=NOW + timedelta(hours=hours), event="weighed", mass_g=mass)


STATES: dict[str, tuple[SlabEvent, ...]] = {
    "damp, weighed as it dries": (weighed(-40, 13_000), weighed(-16, 12_300), weighed(-1, 11_700)),
    "damp, weighed once": (weighed(-1, 11_900),),
    "saturated, set before the fan": (weighed(-3, 13_200), moved(-2, "fan")),
    "slower than the formula says": (weighed(-60, 13_000), weighed(-36, 12_800), weighed(-12, 12_600)),
    "in air that takes nothing": (weighed(-3, 12_500), moved(-2, "other", air_temp_c=18, air_rh_pct=100)),
    "ready": (weighed(-1, 10_700),),
}


@pytest.fixture
def damp(request: pytest.FixtureRequest, lab_path: Path) -> Iterator[Lab]:
    """A lab in a file, since a command reads it too: one slab in service, in some state."""
    opened = open_lab(lab_path)
    opened.now = Ticking(NOW)
    slab = Slab(slab="P1", family="buff", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70)
    enter_slab(opened, slab, at=NOW - timedelta(days=30))
    log_slab(opened, SlabEvent(slab="P1", at=NOW - timedelta(days=20), event="weighed_dry", mass_g=10_000))
    correct_row(opened, Slab, "P1", {"in_service_on": date(2026, 2, 20)})
    add_body(opened, Body(body="B", family="buff"), [("ball clay", 100.0)])
    log_slab(opened, SlabEvent(slab="P1", at=NOW - timedelta(hours=61), event="wetted"))
    for event in STATES[request.param]:
        log_slab(opened, event)
    yield opened
    opened.close()


@pytest.mark.parametrize("damp", STATES, indirect=True)
def test_every_place_says_the_same(damp: Lab, lab_path: Path, request: pytest.FixtureRequest) -> None:
    said = {place: ask(damp, lab_path) for place, ask in PLACES.items()}
    (verdict,) = slab_list(damp)
    if "takes nothing" in request.node.name:
        assert set(said.values()) == {None}
        assert verdict.advice == "Dry it in drier or moving air: where it stands it does not dry."
        return
    ready = said["slab page"]
    assert ready is not None
    if verdict.verdict == "ready":
        assert said == dict.fromkeys(PLACES, NOW) | {"chart": None}  # nothing is awaited, nothing marked
        return
    for name, moment in said.items():
        # a plan pours at whole minutes, a chart is drawn in days
        assert moment is not None and abs((moment - ready).total_seconds()) < (61 if name == "plan" else 1), name
    # In words, too: the advice, and what is printed.
    assert verdict.advice.endswith(f": ready again about {weekday_and_hour(ready, NOW)}.")
    assert f"Ready again about {weekday_and_hour(ready, NOW)}." in slab_page(damp, "P1").drying_words
    write_slab_passport(read_passport(damp, "P1"), lab_path.with_suffix(".pdf"))
    assert flat(f"ready again about {weekday_and_hour(ready, NOW)}") in flat(text_of(lab_path.with_suffix(".pdf")))


@pytest.mark.parametrize("damp", ["damp, weighed as it dries", "slower than the formula says"], indirect=True)
def test_it_is_down_to_what_the_lab_calls_damp_then(damp: Lab, lab_path: Path) -> None:
    """Dried minute by minute at the rate its weighings fit, falling below its critical content; shares no formula."""
    model = lab_model(damp)[1]
    wet, law = model.wetnesses["P1"], model.slabs.drying("P1").law_in(model.wetnesses["P1"].air)
    ready = slab_page(damp, "P1").verdict.again.ready_at
    assert wet.water_g is not None and ready is not None
    water = wet.water_g
    for _ in range(round((ready - NOW).total_seconds() / 60)):
        water -= law.rate_g_h / 60 * min(1.0, water / law.critical_g)
    assert water / wet.capacity_g == pytest.approx(0.35, abs=0.002)
    set_setting(damp, "damp_from", "0.42")
    sooner = {place: ask(damp, lab_path) for place, ask in PLACES.items()}
    assert all(moment is not None and moment < ready for moment in sooner.values())


@pytest.mark.parametrize("damp", ["slower than the formula says"], indirect=True)
def test_its_own_weighings_since_it_got_wet_count(damp: Lab) -> None:
    """8 g an hour by the scale, where the formula says some 20: the law is drawn towards the scale."""
    model = lab_model(damp)[1]
    fitted, learnt = model.slabs.drying("P1"), model.wetnesses["P1"].drying
    assert fitted.factor < 1 and fitted.factor <= learnt.factor


def test_a_sized_slab_dries_as_the_record_says_of_it_once_cast(lab: Lab) -> None:
    """Sized, then poured as sized: the days to dry are the same, and so are the hours after a day's water."""
    sized = size_slab(SlabRequest(length_mm=500, width_mm=400, depth_mm=45))
    start = sizing_start(lab)
    foretold = estimate_sized_dry_out(sized, start.room, start.settings)
    begin_pour(lab, slabs_of_pour(sized, ["P1"], cast_at=lab.now()))
    page = slab_page(lab, "P1")
    assert foretold.dry.dry_at_h is not None and page.verdict.again.dry_at is not None
    hours = (page.verdict.again.dry_at - page.at).total_seconds() / 3600
    assert hours == pytest.approx(foretold.dry.dry_at_h, rel=0.01)
    assert page.verdict.again.sentence.startswith("dry about ")
    model = lab_model(lab)[1]
    water, capacity = 0.35 * sized.capacity_g + 1000, sized.capacity_g
    faces = SlabFaces.from_sides(500, 400, 45)
    again = hours_until_ready(faces, capacity, 1000, start.room, 0.35)
    law = model.wetnesses["P1"].drying.law_in(start.room)
    assert again == pytest.approx(law.hours_until(water, 0.35 * capacity), rel=0.01)


def test_one_that_got_wet_again_is_not_dry_for_anyone(lab: Lab, ticking: Ticking) -> None:
    """Two weighings a day apart agreed, then a wet board stood on it: neither list nor page may call it dry."""
    cast = Slab(slab="P1", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70, cast_at=NOW - timedelta(days=20))
    begin_pour(lab, [cast])
    for hours in (-50, -25):
        log_slab(lab, SlabEvent(slab="P1", at=NOW + timedelta(hours=hours), event="weighed", mass_g=9_990))
    ticking.time = NOW
    assert [due.kind for due in bench_now(lab).due] == ["service"]
    page = slab_page(lab, "P1")
    assert page.dry_out is not None and page.dry_out.is_dry and page.verdict.again.sentence == "dry by now"
    log_slab(lab, SlabEvent(slab="P1", at=NOW - timedelta(hours=2), event="wetted", water_g=500))
    page = slab_page(lab, "P1")
    assert page.dry_out is None or not page.dry_out.is_dry
    assert "service" not in [due.kind for due in bench_now(lab).due]
