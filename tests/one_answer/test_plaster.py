"""What is weighed for a pour: sizing, steps, log and papers name the same grams, weighing by weighing."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from claybench.ask.pour_steps import pour_page
from claybench.ask.reports import read_passport
from claybench.ask.slabs import slab_page
from claybench.exchange.folder_out import export_folder
from claybench.mix.pour_list import Filling, pour_list, read_pour_list, slabs_of_pour
from claybench.mix.slab_request import SlabRequest
from claybench.mix.slab_sizing import SlabSizing, size_slab
from claybench.paper.passport import write_slab_passport
from claybench.record.lab import Lab
from claybench.terms import SlabEvent
from claybench.tui.mix.sizing_text import slab_lines
from claybench.work.any_row import undo_last
from claybench.work.slabs import begin_pour, cast_slab
from tests.paper.reading import flat, text_of

AT = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
FORM = SlabRequest(
    length_mm=500, width_mm=400, depth_mm=45, weighing_bucket_ml=5000, mixing_bucket_ml=20_000, scale_largest_g=5000
)
CASES = {
    "one slab": FORM,
    "two slabs of one mix": replace(FORM, count=2, length_mm=300, width_mm=300, mixing_bucket_ml=30_000),
    "three slabs, a mix for each": replace(FORM, count=3, mixing_bucket_ml=16_000),
    "one slab of several mixes": replace(FORM, mixing_bucket_ml=8_000),
    "a fine scale": replace(FORM, scale_step_g=0.1, waste_pct=7.3),
    "no bucket or scale named": replace(FORM, weighing_bucket_ml=None, mixing_bucket_ml=None, scale_largest_g=None),
}
Weighed = list[tuple[list[float], list[float]]]
"""Plaster and water of each filling of the mixing bucket, weighing by weighing."""


def grams(fillings: tuple[Filling, ...]) -> Weighed:
    return [(list(each.plaster), list(each.water)) for each in fillings]


def in_the_sizing(lab: Lab, sized: SlabSizing) -> Weighed:
    """As sized."""
    return [
        ([one.mass_g for one in mix.plaster_portions], [one.mass_g for one in mix.water_portions])
        for mix in sized.mixes
    ]


def on_the_mix_screen(lab: Lab, sized: SlabSizing) -> Weighed:
    """The list under the sizing, line by line."""
    found: Weighed = []
    for line in slab_lines(sized):
        if re.match(r"mix.*plaster into", line):
            found.append(([], []))
        portion = re.match(r"  (plaster|water)\s+([\d .]+) g   scale shows", line)
        if portion:
            found[-1][portion[1] == "water"].append(float(portion[2].replace(" ", "")))
    return found


def in_the_steps(lab: Lab, sized: SlabSizing) -> Weighed:
    """The page of the pour, asked of its last slab."""
    return grams(pour_page(lab, f"P{sized.request.count}").to_weigh)


def in_the_log(lab: Lab, sized: SlabSizing) -> Weighed:
    """The rows of the record."""
    with lab.reading() as record:
        return grams(read_pour_list(event.note for event in record.rows(SlabEvent)))


def on_the_slabs_page(lab: Lab, sized: SlabSizing) -> Weighed:
    """What the passport is made from."""
    return grams(slab_page(lab, "P1").weighed_for_pour)


PLACES: dict[str, Callable[[Lab, SlabSizing], Weighed]] = {
    "sizing": in_the_sizing,
    "mix screen": on_the_mix_screen,
    "steps of the pour": in_the_steps,
    "log": in_the_log,
    "slab page": on_the_slabs_page,
}


def begin(lab: Lab, request: SlabRequest) -> SlabSizing:
    sized = size_slab(request)
    codes = [f"P{number + 1}" for number in range(request.count)]
    pour = "A" if request.count > 1 else None
    begin_pour(lab, slabs_of_pour(sized, codes, cast_at=AT, pour=pour), pour_list(sized))
    return sized


@pytest.mark.parametrize("case", CASES)
def test_every_place_names_the_same_grams(lab: Lab, case: str) -> None:
    sized = begin(lab, CASES[case])
    said = {place: ask(lab, sized) for place, ask in PLACES.items()}
    assert said == dict.fromkeys(PLACES, in_the_sizing(lab, sized))
    found = pour_page(lab, "P1")
    assert found.as_sized
    assert sum(each.plaster_g for each in found.to_weigh) == pytest.approx(sized.plaster_weighed_g)
    assert sum(each.water_g for each in found.to_weigh) == pytest.approx(sized.water_weighed_g)


def test_the_steps_say_what_to_weigh_for_them(lab: Lab) -> None:
    """8.8 kg of plaster is what the form takes and 5 % waste; 3 kg is what the weighing bucket holds of it."""
    sized = begin(lab, FORM)
    water, plaster = (pour_page(lab, "P1").steps[at] for at in (0, 1))
    assert sized.plaster_weighed_g == 8873  # regression
    assert plaster.amount == "8 873 g: 2 × 3 000 + 2 873 g"
    assert water.amount == "6 211 g: 2 × 3 000 + 211 g"
    assert all(step.amount == "" for step in pour_page(lab, "P1").steps[2:])
    with lab.reading() as record:
        note = record.rows(SlabEvent)[0].note
    assert note == "pour: to weigh, 2 × 3000 + 2873 g plaster into 2 × 3000 + 211 g water"
    undo_last(lab)
    with lab.reading() as record:
        assert record.rows(SlabEvent) == []


def test_a_slab_recorded_as_cast_keeps_the_list_too(lab: Lab, tmp_path: Path) -> None:
    sized = size_slab(FORM)
    (slab,) = slabs_of_pour(sized, ["P1"], cast_at=AT)
    cast_slab(lab, slab, mixed_at=AT, weighed=pour_list(sized))
    assert slab.plaster_g is not None and slab.plaster_g < 0.96 * sized.plaster_weighed_g  # what is in it, no waste
    assert grams(pour_page(lab, "P1").to_weigh) == in_the_sizing(lab, sized)
    write_slab_passport(read_passport(lab, "P1"), tmp_path / "p.pdf")
    assert flat("weighed for the pour 2 × 3 000 + 2 873 g plaster into 2 × 3 000 + 211 g water") in flat(
        text_of(tmp_path / "p.pdf")
    )
    export_folder(lab, tmp_path / "out")
    assert "pour: to weigh" in (tmp_path / "out" / "slab_log.csv").read_text("utf-8")


def test_without_a_list_it_is_worked_out_from_the_plaster_in_the_slabs(lab: Lab) -> None:
    """Poured before lists were kept: the usual waste is counted, and said to be that."""
    sized = size_slab(replace(FORM, count=2, mixing_bucket_ml=15_000))
    begin_pour(lab, slabs_of_pour(sized, ["P1", "P2"], cast_at=AT, pour="A"))
    page = pour_page(lab, "P2")
    assert not page.as_sized
    assert sum(each.plaster_g for each in page.to_weigh) == pytest.approx(sized.plaster_weighed_g, abs=2)
