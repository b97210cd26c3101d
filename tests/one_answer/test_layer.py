"""May a layer go on this slab: every place that speaks of slabs is asked in every state, and answers alike."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from claybench.acts.act import perform, understand_fields
from claybench.acts.layers import POUR
from claybench.ask.bench import bench_now
from claybench.ask.lab_model import lab_model
from claybench.ask.reports import read_passport
from claybench.ask.runs import pour_choice
from claybench.ask.sizing_start import body_recipe
from claybench.ask.slabs import slab_list, slab_page
from claybench.ask.where_to_pour import where_to_pour
from claybench.errors import Unanswered
from claybench.insight.plan.schedule.lab_schedule import lab_slabs
from claybench.insight.slab_condition.fitness_for_layer import NOT_NOW, NOT_PLANNED
from claybench.insight.slab_condition.verdict import Fitness
from claybench.paper.passport import write_slab_passport
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Family, Run, Slab, SlabEvent
from claybench.tui.bench.bench_place import BenchPlace
from claybench.work import recipes, runs, slabs
from claybench.work.any_row import correct_row
from tests.conftest import Ticking
from tests.paper.reading import flat, text_of

pytestmark = pytest.mark.slow

NOW = datetime(2026, 3, 20, 9, 0, tzinfo=UTC)
AREA = 1800.0


@dataclass(frozen=True)
class Said:
    """What one place says of a slab."""

    offered: bool
    """Whether one is shown it as a slab to pour on."""
    reasons: frozenset[str]
    """What it says against a layer there; one that has no room for words says nothing but whether it is offered."""


def base(lab: Lab) -> None:
    """A white slab in service, a white batch that fills one layer, and a red family."""
    recipes.add_family(lab, Family(family="red", stain_rank=3))
    slab = Slab(slab="P1", family="white", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70,
                in_service_on=date(2026, 1, 1), dry_mass_g=9950)  # fmt: skip
    slabs.enter_slab(lab, slab, at=NOW - timedelta(days=20), mass_g=10_000)
    recipes.add_body(lab, Body(body="W-1", family="white"), [("kaolin", 100.0)])
    recipes.mix_batch(lab, Batch(batch="W-1-1", body="W-1", made="slip", mixed_at=NOW - timedelta(hours=2),
                                 dry_mass_g=1300, water_g=1300, slip_sg=1.44))  # fmt: skip


def log(event: str, hours: float = 2, **about: Any) -> Callable[[Lab], None]:
    return lambda lab: slabs.log_slab(
        lab, SlabEvent(slab="P1", event=event, at=NOW - timedelta(hours=hours), **about)
    )  # fmt: skip


def together(*acts: Callable[[Lab], None]) -> Callable[[Lab], None]:
    def every(lab: Lab) -> None:
        for act in acts:
            act(lab)

    return every


def lies(area: float | None) -> Callable[[Lab], None]:
    """Another layer, poured an hour ago."""

    def pour(lab: Lab) -> None:
        batch = Batch(batch="W-0-1", body="W-1", mixed_at=NOW - timedelta(hours=3))
        recipes.mix_batch(lab, batch)
        start = NOW - timedelta(hours=1)
        runs.start_run(lab, Run(run="R1", batch="W-0-1", slab="P1", started_at=start, layer_mm=10, area_cm2=area))

    return pour


def cast_lately(lab: Lab) -> None:
    correct_row(lab, Slab, "P1", {"in_service_on": None, "cast_at": date(2026, 3, 17), "dry_mass_g": None})


STATES: dict[str, tuple[Callable[[Lab], None], set[str]]] = {
    "sound": (lambda lab: None, set()),
    "turned and moved": (together(log("turned"), log("moved", place="fan")), set()),
    "chipped and cleaned": (together(log("chipped", 5), log("cleaned", 2)), set()),
    "broken and made new": (together(log("broken", 30), log("resurfaced", 5, mass_g=9_000.0)), set()),
    "frozen dry": (log("moved", place="outdoors", air_temp_c=-5.0), set()),
    "broken": (log("broken"), {"broken"}),
    "retired": (lambda lab: correct_row(lab, Slab, "P1", {"retired_on": NOW.date() - timedelta(days=1)}), {"retired"}),
    "retired tomorrow": (
        lambda lab: correct_row(lab, Slab, "P1", {"retired_on": NOW.date() + timedelta(days=1)}),
        set(),
    ),
    "covered by a layer": (lies(None), {"no_room"}),
    "half covered": (lies(900.0), {"little_room"}),
    "in its first drying": (cast_lately, {"first_drying", "saturated", "too_much_water"}),
    "saturated": (log("weighed", mass_g=13_300.0), {"saturated", "too_much_water"}),
    "chipped": (log("chipped", face="form"), {"chipped"}),
    "salts": (log("salts"), {"salts"}),
    "overheated": (log("moved", place="sun", air_temp_c=60.0), {"overheated"}),
    "frozen wet": (
        together(log("weighed", 4, mass_g=12_000.0), log("moved", place="outdoors", air_temp_c=-5.0)),
        {"frozen", "too_much_water"},
    ),
    "another clay dried there": (log("other_clay", family="red"), {"suspect"}),
}


@pytest.fixture(params=STATES)
def state(request: pytest.FixtureRequest, lab_path: Path) -> Any:
    """A lab in a file with one slab in one state, and what is to be said of it."""
    from tests.conftest import frozen

    with frozen(lab_path, Ticking(NOW)) as lab:
        base(lab)
        act, kinds = STATES[request.param]
        act(lab)
        yield lab, lab_path, kinds


# -- the places ------------------------------------------------------------------------------------


def _said(fitness: Fitness) -> Said:
    return Said(fitness.grade != "no", frozenset(fitness.texts))


def by_the_slabs_command(lab: Lab, path: Path) -> Said | None:
    found = _command(path, "slabs", "--as-of", NOW.isoformat(), "--json")
    one = next((each for each in found if each["slab"] == "P1"), None)
    if one is None:
        return None
    return Said(one["layer"]["grade"] != "no", frozenset(one["layer"]["reasons"]))


def on_the_bench(lab: Lab, _path: Path) -> Said | None:
    found = next((each for each in bench_now(lab).slabs if each.verdict.slab.slab == "P1"), None)
    if found is None:
        return None
    # What the line says is one of the reasons, or that it is ready, wet or drying.
    line = BenchPlace._idle_text(found) if not found.layers else ""
    shorts = {each.short for each in found.verdict.layer.reasons}
    if shorts and line and not found.verdict.layer.of_kind("saturated", "first_drying"):
        assert line in shorts
    assert "ready" not in line.split(":")[0] or not shorts
    return _said(found.verdict.layer)


def in_the_list(lab: Lab, _path: Path) -> Said | None:
    found = next((each for each in slab_list(lab) if each.slab.slab == "P1"), None)
    if found is None:
        return None
    assert ("Ready for a layer" in found.advice) <= (found.layer.grade == "fine")
    assert (found.verdict == "suspect") >= bool(found.layer.of_kind("broken", "suspect"))
    return _said(found.layer)


def on_its_page(lab: Lab, _path: Path) -> Said | None:
    return _said(slab_page(lab, "P1").verdict.layer)


def on_its_passport(lab: Lab, path: Path) -> Said | None:
    write_slab_passport(read_passport(lab, "P1"), path.with_suffix(".pdf"))
    words = flat(text_of(path.with_suffix(".pdf")))
    layer = slab_page(lab, "P1").verdict.layer
    if "outofuse" not in words.casefold().replace(" ", ""):
        assert flat(layer.sentence) in words
    return _said(layer)


def for_a_batch(lab: Lab, _path: Path) -> Said | None:
    (found,) = where_to_pour(lab, "W-1-1").at_depth(10.0) or (None,)
    if found is None:
        return None
    assert bool(found.not_now) == bool(found.layer.of_kind(*NOT_NOW))
    return _said(found.layer)


def in_the_pour_form(lab: Lab, _path: Path) -> Said | None:
    """Offered unless the grade is no; what speaks against it is asked when it is saved."""
    offered = "P1" in [code for code, _ in pour_choice(lab).slabs]
    typed = {"batch": "W-1-1", "slab": "P1", "layer_mm": "10 mm", "area_cm2": f"{AREA:g}"}
    values = understand_fields(POUR.offered(lab), typed, lab.now())
    try:
        perform(lab, POUR, values, now=lab.now())
    except Unanswered as asked:
        return Said(offered, frozenset(each.text for each in asked.questions))
    from claybench.work.any_row import undo_last

    undo_last(lab)
    return Said(offered, frozenset())


def in_the_sizing(lab: Lab, _path: Path) -> Said | None:
    found = next((each for each in body_recipe(lab, "W-1").slabs if each.slab == "P1"), None)
    return None if found is None else Said(not found.not_now, frozenset(filter(None, [found.mind])))


def by_the_forecast_command(lab: Lab, path: Path) -> Said | None:
    words = ("forecast", "--body", "W-1", "--layer", "10mm", "--as-of", NOW.isoformat(), "--json")
    found = next((each for each in _command(path, *words) if each["slab"] == "P1"), None)
    return None if found is None else Said(found["layer"]["grade"] != "no", frozenset(found["layer"]["reasons"]))


def in_a_plan(lab: Lab, _path: Path) -> Said | None:
    from claybench.ask.lab_model import model_from
    from claybench.ask.slabs import SLAB_TABLES, list_verdicts
    from claybench.ask.snapshot import take_snapshot
    from claybench.insight.slab_condition.fitness_for_layer import why_not_planned

    snapshot = take_snapshot(lab, *SLAB_TABLES)
    against = {each.slab.slab: why_not_planned(each.layer) for each in list_verdicts(snapshot, model_from(snapshot))}
    found = next((each for each in lab_slabs(lab_model(lab)[1], against) if each.code == "P1"), None)
    return None if found is None else Said(not found.out_of_use, frozenset())


SPEAKING: dict[str, Callable[[Lab, Path], Said | None]] = {
    "slabs command": by_the_slabs_command,
    "bench": on_the_bench,
    "list": in_the_list,
    "page": on_its_page,
    "passport": on_its_passport,
    "which slab": for_a_batch,
    "pour form": in_the_pour_form,
    "forecast command": by_the_forecast_command,
}
"""Places that say why. A retired slab is not on some of their lists."""


def _command(path: Path, *words: str) -> Any:
    import contextlib
    import io

    from claybench.__main__ import main

    with contextlib.redirect_stdout(io.StringIO()) as out, contextlib.redirect_stderr(io.StringIO()):
        assert main([*words, "--lab", str(path)]) == 0
    return json.loads(out.getvalue())


def test_every_place_says_the_same(state: tuple[Lab, Path, set[str]]) -> None:
    lab, path, kinds = state
    page = slab_page(lab, "P1").verdict.layer
    own = kinds - {"too_much_water"}
    covering = {"little_room"} & own  # a layer of a known area may fit beside
    assert {each.kind for each in page.reasons} == own
    assert page.grade == ("no" if own & {"broken", "retired", "no_room"} else "ask" if own else "fine")
    for name, ask in SPEAKING.items():
        said = ask(lab, path)
        if said is None:
            assert "retired" in kinds, name
            continue
        assert said.offered == (page.grade != "no"), name
        about_the_slab = frozenset(text for text in said.reasons if "room for" not in text)
        if covering and name == "pour form":
            assert len(about_the_slab) == 1, name
            continue
        assert about_the_slab == frozenset(page.texts), name


def test_who_only_offers_slabs_offers_the_same(state: tuple[Lab, Path, set[str]]) -> None:
    lab, path, kinds = state
    sizing, plan = in_the_sizing(lab, path), in_a_plan(lab, path)
    if "retired" in kinds:
        assert sizing is None and plan is None
        return
    assert sizing is not None and plan is not None
    assert sizing.offered == (not kinds & set(NOT_NOW))
    assert bool(sizing.reasons) == bool(kinds - {"too_much_water"})
    assert plan.offered == (not kinds & NOT_PLANNED)
