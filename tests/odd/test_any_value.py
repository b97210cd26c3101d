"""No value of any column stops a question about the rest of the lab; a row that cannot be used is told as such."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings, strategies as st

from claybench.errors import BadInput, NotFound
from claybench.record.lab import Lab
from claybench.terms import Setting
from tests.odd.holding import Place, holding, make, opened, row_ids
from tests.odd.questions import Question, papers, questions, unasked
from tests.odd.values import Odd, every

pytestmark = pytest.mark.slow

EVERY = every()
TOGETHER = 40
"""Odd values in one lab at a time: any of them may stop any question."""
ROUNDS = settings(
    max_examples=max(settings().max_examples // 50, 1),
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.function_scoped_fixture],
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
"""A share of the profile's: each asks all there is to ask, which is why none is made smaller when it fails."""
OF_ITSELF = ("has no dry mass to weigh out", "has no recipe yet")
"""What may be said to a question about one row for want of what that row has to hold."""


@pytest.fixture(scope="module")
def lab_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make(tmp_path_factory.mktemp("odd") / "odd.claybench")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("papers")


@pytest.fixture(scope="module")
def lab(lab_file: Path) -> Iterator[Lab]:
    with opened(lab_file) as found:
        yield found


def ask(lab: Lab, question: Question) -> None:
    """Ask it; that a row it is about is not there, or not complete, is an answer."""
    try:
        question.ask(lab)
    except NotFound:
        if not question.about:
            raise
    except BadInput as error:
        if not question.about or not any(words in error.reason for words in OF_ITSELF):
            raise


def ask_all(lab: Lab, folder: Path) -> None:
    """Every question; which one failed, and of what, stands in the failure."""
    for question in (*questions(), *papers(folder)):
        try:
            ask(lab, question)
        except Exception as error:
            error.add_note(f"asked: {question}")
            raise


def test_every_question_of_the_house_is_asked_here() -> None:
    assert unasked() == []


def test_the_small_lab_answers_everything(lab: Lab, folder: Path) -> None:
    from claybench.ask.snapshot import faulty_rows

    ask_all(lab, folder)
    assert faulty_rows(lab) == []


@st.composite
def places(draw: st.DrawFn) -> list[tuple[Odd, float]]:
    """Odd values, each for a row somewhere in its table."""
    chosen = draw(st.lists(st.sampled_from(range(len(EVERY))), min_size=TOGETHER, max_size=TOGETHER, unique=True))
    return [(EVERY[number], draw(st.floats(0, 1, exclude_max=True))) for number in chosen]


@ROUNDS
@given(places())
def test_odd_values_together_stop_nothing(
    lab_file: Path, lab: Lab, folder: Path, places: list[tuple[Odd, float]]
) -> None:
    ids = row_ids(lab_file)
    held: dict[tuple[str, str, int], Place] = {}
    for odd, share in places:
        row = ids[odd.table][int(share * len(ids[odd.table]))]
        held[odd.table, odd.column, row] = (odd, row)
    with holding(lab_file, list(held.values())):
        ask_all(lab, folder)


HALF = "2026-03-12T08:30:00.000000Z"


DAYS = (("slabs", "in_service_on"), ("slabs", "retired_on"), ("lots", "received_on"), ("firings", "fired_on"))


def test_a_day_written_with_its_hour_is_as_good_as_a_day(lab_file: Path, lab: Lab, folder: Path) -> None:
    from claybench.ask.snapshot import faulty_rows

    ids = row_ids(lab_file)
    held = [
        (Odd(table, column, {column: HALF, f"{column}_offset": 60}), ids[table][-1 if column == "retired_on" else 0])
        for table, column in DAYS
    ]
    with holding(lab_file, held):
        ask_all(lab, folder)
        assert faulty_rows(lab) == []


def told(lab: Lab) -> list[tuple[str, str, bool]]:
    """What the lab says it cannot use: what, column, whether all of it is left out."""
    from claybench.ask.snapshot import faulty_rows

    return [(each.named, each.column, each.left_out) for each in faulty_rows(lab)]


def test_a_lot_that_is_all_water_counts_as_not_measured(lab_file: Path, lab: Lab) -> None:
    from claybench.ask.sizing_start import body_recipe
    from claybench.ask.weighing_out import weighing_out

    first = row_ids(lab_file)["lots"][1]
    with holding(lab_file, [(Odd("lots", "moisture_pct", {"moisture_pct": 100.0}), first)]):
        assert told(lab) == [("lot FC-2", "moisture_pct", False)]
        assert [part.moisture_pct for part in body_recipe(lab, "B-01").parts][:1] == [None]
        assert weighing_out(lab, "B-01-2").lines[0].target_g == pytest.approx(1000.0)


def test_a_slab_of_no_size_is_left_out_with_what_belongs_to_it_and_the_others_answer(lab_file: Path, lab: Lab) -> None:
    from claybench.ask.bench import bench_now
    from claybench.ask.runs import run_page
    from claybench.ask.slabs import slab_list, slab_page
    from claybench.ask.snapshot import faulty_rows

    with holding(lab_file, [(Odd("slabs", "length_mm", {"length_mm": 0.00001}), row_ids(lab_file)["slabs"][0])]):
        assert told(lab) == [("slab P1", "length_mm", True)]
        assert faulty_rows(lab)[0].reason == (
            "the length or diameter is under 0.01 mm; it must be at least 1 and at most 10 000"
        )
        assert [each.slab.slab for each in slab_list(lab)] == ["P2", "P3", "P4"]
        assert [each.named for each in bench_now(lab).faulty] == ["slab P1"]
        with pytest.raises(NotFound, match="The slab P1 cannot be used: the length"):
            slab_page(lab, "P1")
        with pytest.raises(NotFound, match="The run D1 cannot be used: the slab P1 cannot be used"):
            run_page(lab, "D1")
        assert run_page(lab, "D3").slab.slab == "P2"


@pytest.mark.parametrize(
    "held",
    [("0001-01-01T00:00:00.000000Z", 0), ("9999-12-31T23:59:59.999999Z", 720), ("once upon a time, long ago.", 0)],
)
def test_a_layer_poured_at_no_time_is_left_out_and_its_slab_answers(
    lab_file: Path, lab: Lab, folder: Path, held: tuple[str, int]
) -> None:
    odd = Odd("runs", "started_at", dict(zip(("started_at", "started_at_offset"), held, strict=True)))
    with holding(lab_file, [(odd, row_ids(lab_file)["runs"][0])]):
        assert ("run D1", "started_at", True) in told(lab)
        ask_all(lab, folder)


def test_settings_are_read_as_people_write_them_and_faulty_ones_told(lab_file: Path, lab: Lab, folder: Path) -> None:
    from claybench.ask.bodies import body_codes

    said = {
        "bag_g": "30 kg",
        "zone": "Nowhere/Atlantis",
        "bench_from": "25:99",
        "paper": "[/b]",
        "touch_every_min": "0",
    }
    ids = dict(zip([row.name for row in _settings(lab)], row_ids(lab_file)["settings"], strict=True))
    spare = [name for name in ids if name not in ("zone", "format", "name")]
    assert spare  # a row to write over, one setting after another
    held_by = {"zone": "UTC", "bench_from": "08:00", "paper": "A4", "touch_every_min": "15"}
    for name, value in said.items():
        row = ids.get(name, ids[spare[0]])
        with holding(lab_file, [(Odd("settings", "value", {"name": name, "value": value}), row)]):
            held = body_codes(lab)[1]
            if name == "bag_g":
                assert (held.number_of(name), told(lab)) == (30_000.0, [])
                continue
            assert held.text_of(name) == held_by[name]
            assert told(lab) == [(f"setting {name}", "value", True)]
            assert lab.zone is not None
            if name == "zone":  # what every moment is written in
                ask_all(lab, folder)


def _settings(lab: Lab) -> list[Setting]:
    with lab.reading() as record:
        return record.rows(Setting)


@pytest.mark.parametrize("area", [1e-6, 1.0])
def test_a_slab_of_next_to_no_area_leaves_the_size_of_a_plans_batches_alone(
    lab_file: Path, lab: Lab, area: float
) -> None:
    from claybench.ask.plan import plan_next_set
    from claybench.insight.plan.design.plan_file import parse_plan
    from tests.odd.questions import PLAN

    before = plan_next_set(lab, parse_plan(PLAN)).batch_g
    with holding(
        lab_file, [(Odd("slabs", "usable_area_cm2", {"usable_area_cm2": area}), row_ids(lab_file)["slabs"][0])]
    ):
        after = plan_next_set(lab, parse_plan(PLAN)).batch_g
    assert after >= 10 and after <= max(before, 1000)


def test_after_batches_of_a_few_grams_a_plan_weighs_out_what_the_scale_can(lab_file: Path, lab: Lab) -> None:
    from claybench.ask.plan import plan_next_set
    from claybench.insight.plan.design.plan_file import parse_plan
    from tests.odd.questions import PLAN

    few = [(Odd("batches", "dry_mass_g", {"dry_mass_g": 8.0}), row) for row in row_ids(lab_file)["batches"]]
    with holding(lab_file, few):
        assert plan_next_set(lab, parse_plan(PLAN)).batch_g == pytest.approx(20)  # steps of 5 parts on a scale of 1 g
