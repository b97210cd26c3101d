"""One way to size a batch: screen, command, weighing out, sheet and record give the same masses, to the last digit."""

from __future__ import annotations

import inspect
import json
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings, strategies as st

from claybench.__main__ import main
from claybench.ask.batches import batch_page, piece_forming
from claybench.ask.runs import pour_choice
from claybench.ask.sizing_start import body_recipe, sizing_start
from claybench.ask.weighing_out import weighing_out
from claybench.cli.mix import blend, correct, slab, slip
from claybench.errors import BadInput
from claybench.insight.settings import Settings
from claybench.insight.sizing.requests import (
    batch_mixed,
    batch_planned,
    default_text,
    doses_of_request,
    planned_masses,
    sized_for_note,
    slip_request,
    weighed_lines,
)
from claybench.mix.doses import Dose, dose_of_note
from claybench.mix.sized_for import SizedFor, sized_for_of_note
from claybench.mix.slip_sizing import SlipSizing, size_slip
from claybench.paper.bench_sheet import write_bench_sheet
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import Batch, BatchEvent, BatchLine, Body, Lot, Material, Setting
from claybench.terms.sizing import SLIP, inputs_on
from claybench.tui.mix.sizing_forms import blend_fields, correction_fields, slab_fields, slip_fields
from claybench.work.any_row import undo_last
from claybench.work.recipes import add_body, add_lot, add_material, mix_batch, water_in, weigh_in
from tests.docs.reference import SIZINGS
from tests.paper.reading import text_of
from tests.tui.driver import opened

pytestmark = pytest.mark.slow

AT = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
SILICATE = "sodium silicate"


@pytest.fixture
def path(lab_path: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A lab with a moist clay, and a deflocculant that is 62 % water, with its price and its caution."""
    monkeypatch.setenv("CLAYBENCH_STATE", str(tmp_path / "state"))
    lab = open_lab(lab_path)
    add_material(lab, Material(material="kaolin", kind="clay", specific_gravity=2.6, price_per_kg=1.0, caution="dusty"))
    add_material(lab, Material(material="quartz", kind="filler", specific_gravity=2.65, price_per_kg=0.5))
    add_material(
        lab, Material(material=SILICATE, kind="deflocculant", price_per_kg=3.0, caution="caustic: gloves and goggles")
    )
    add_lot(lab, Lot(lot="K-1", material="kaolin", moisture_pct=10.0, received_on=date(2026, 2, 1)))
    # The older one stands after the newer one in the record.
    add_lot(lab, Lot(lot="S-2", material=SILICATE, moisture_pct=62.0, received_on=date(2026, 2, 1)))
    add_lot(lab, Lot(lot="S-1", material=SILICATE, moisture_pct=50.0, received_on=date(2025, 2, 1)))
    add_body(lab, Body(body="W-01", family="white"), [("kaolin", 60.0), ("quartz", 40.0)])
    lab.close()
    return lab_path


@pytest.fixture
def shelf(path: Path) -> Any:
    lab = open_lab(path)
    yield lab
    lab.close()


Run = Callable[..., tuple[int, Any, str]]


@pytest.fixture
def run(path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """A command on this lab: its code, its JSON, what it said."""
    monkeypatch.delenv("CLAYBENCH_LAB", raising=False)

    def ask(*arguments: str, as_json: bool = True) -> tuple[int, Any, str]:
        code = main([*arguments, "--lab", str(path), *(["--json"] if as_json else [])])
        said = capsys.readouterr()
        return code, json.loads(said.out) if said.out and as_json else None, said.err

    return ask


# -- the property ----------------------------------------------------------------------------------

numbers = count(1)
part = st.tuples(st.floats(1, 100), st.one_of(st.none(), st.floats(0, 25)))
dose = st.tuples(st.floats(0.2, 4), st.one_of(st.none(), st.floats(0, 80)), st.booleans())


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    parts=st.lists(part, min_size=1, max_size=4),
    doses=st.lists(dose, max_size=2),
    dry=st.one_of(st.none(), st.floats(300, 20_000)),
    step=st.sampled_from([0.01, 0.1, 0.5, 1.0, 2.0]),
    wet=st.sampled_from([{"slip_sg": "1.4"}, {"slip_sg": "1.55"}, {"water_per_dry": "0.9"}, {}]),
)
def test_one_batch_has_one_set_of_masses_everywhere(
    shelf: Lab,
    parts: list[tuple[float, float | None]],
    doses: list[tuple[float, float | None, bool]],
    dry: float | None,
    step: float,
    wet: dict[str, str],
) -> None:
    body = f"X{next(numbers)}"
    with shelf.acting("a shelf") as act:
        if act.rows(Setting, name="scale_step_g"):
            act.remove(Setting, ("scale_step_g",))
        act.add(Setting(name="scale_step_g", value=str(step)))
        act.add(Body(body=body))
        named = [f"m{n} of {body}" for n in range(len(parts))]
        added = [f"a{n} of {body}" for n in range(len(doses))]
        for name, moisture in zip([*named, *added], [p[1] for p in parts] + [d[1] for d in doses], strict=True):
            act.add(Material(material=name))
            act.add(Lot(lot=f"lot {name}", material=name, moisture_pct=moisture))
    from claybench.work.recipes import change_recipe

    change_recipe(shelf, body, [(name, p[0]) for name, p in zip(named, parts, strict=True)])
    texts = [f"{n} = {d[0]!r} %{' as supplied' if d[2] else ''}" for n, d in zip(added, doses, strict=True)]
    option = {"additions": "; ".join(texts), **({} if dry is None else {"dry_g": repr(dry)}), **wet}
    if dry is None:
        option["count"] = SLIP["count"].default
    known = body_recipe(shelf, body)
    screen = {each.name: each.text for each in slip_fields(sizing_start(shelf), body)} | option
    try:
        sized = size_slip(slip_request(screen, known))
    except BadInput:
        assume(False)
        return
    assert size_slip(slip_request(option, known, by_option=True)) == sized  # the command: nothing but what was said

    code = f"{body}-1"
    mix_batch(
        shelf,
        batch_planned(sized, batch=code, body=body, mixed_at=shelf.now() + timedelta(hours=3)),
        doses=doses_of_request(sized.request),
        sized=sized_for_note(sized),
    )
    _same(sized, shelf, code)
    for position, line in enumerate(weighing_out(shelf, code).lines, start=1):
        assert line.weigh_g is not None
        weigh_in(shelf, code, position, line.material, line.lot, line.weigh_g)
        _same(sized, shelf, code)
    page = weighing_out(shelf, code)
    dry_g, water_g = page.masses_with(page.water_to_add_g or 0.0)
    water_in(shelf, code, dry_g=dry_g, water_g=water_g)
    with shelf.reading() as record:
        lines = [(row.material, row.lot, row.mass_g) for row in record.rows(BatchLine, batch=code)]
        batch = record.one(Batch, code)
    recorded = batch_mixed(sized, batch=code, body=body, mixed_at=batch.mixed_at)  # as --record and Ctrl+s write it
    assert lines == weighed_lines(sized) and batch == recorded
    assert batch_page(shelf, code).sized_for == sized_for_of_note(sized_for_note(sized).note)
    # What is recorded of what went in asks for the same water again.
    assert weighing_out(shelf, code).water_to_add_g == sized.water_weighed_g


def _same(sized: SlipSizing, lab: Lab, code: str) -> None:
    for page in (weighing_out(lab, code), batch_page(lab, code).weighing):
        assert [(line.material, line.lot, line.weigh_g) for line in page.lines] == weighed_lines(sized)
        assert page.water_to_add_g == sized.water_weighed_g
        assert [line.basis for line in page.lines] == [line.basis for line in sized.lines]


# -- through the real screen and the real command --------------------------------------------------


async def test_a_wet_deflocculant_is_the_same_on_screen_command_scale_and_sheet(
    path: Path, run: Run, tmp_path: Path
) -> None:
    """0.9 % of 1 kg is 9 g dry; of a solution that is 62 % water that is 9 / 0.38 = 23.7 g."""
    assert run("settings", "scale_step_g", "0.1 g", as_json=False)[0] == 0
    typed = ("--dry", "1 kg", "--water-per-dry", "0.9", "--addition", f"{SILICATE} 0.9 %")
    code, answer, _ = run("mix", "slip", "--body", "W-01", *typed)
    silicate = answer["lines"][-1]
    assert code == 0 and (silicate["lot"], silicate["weigh_g"], silicate["dose"]) == ("S-2", 23.7, "0.9 % dry")
    assert answer["cost"]["value"] == pytest.approx(0.6667 * 1 + 0.4 * 0.5 + 0.0237 * 3, abs=0.001)
    assert any("caustic" in line for line in answer["cautions"]) and not answer["questions"]
    run("mix", "slip", "--body", "W-01", *typed, "--record", "C-1")
    async with opened(path) as screen:
        await screen.press("3", "ctrl+l")
        await screen.fill(body="W-01", dry_g="1 kg", additions=f"{SILICATE} 0.9 %", water_per_dry="0.9")
        figures = screen.said("#figures")
        assert "23.7 g" in figures and "0.9 % dry" in figures and "caustic" in screen.said("#cautions")
        assert f"{answer['water_weighed_g']['value']:g} g" in figures
        await screen.press("ctrl+n")
        await screen.fill(batch="S-1")
        await screen.press("ctrl+s")
        for wanted in ("KAOLIN   666.7 g", "QUARTZ   400 g", "SODIUM SILICATE   23.7 g"):
            assert screen.said("#target").startswith(wanted)
            await screen.write(wanted.split("   ")[1])
            await screen.press("enter")
        water = screen.said("#target").split()[1]
        assert float(water) == answer["water_weighed_g"]["value"]
        await screen.write(water)
        await screen.press("enter")
        lab = screen.app.lab
        with lab.reading() as record:
            rows = {code: record.rows(BatchLine, batch=code) for code in ("C-1", "S-1")}
            by_command, by_screen = record.one(Batch, "C-1"), record.one(Batch, "S-1")
        assert [(row.material, row.lot, row.mass_g) for row in rows["C-1"]] == [
            (row.material, row.lot, row.mass_g) for row in rows["S-1"]
        ]
        assert (by_command.dry_mass_g, by_command.water_g) == (by_screen.dry_mass_g, by_screen.water_g)
        write_bench_sheet(batch_page(lab, "S-1"), tmp_path / "sheet.pdf")
    assert "23.7" in text_of(tmp_path / "sheet.pdf")


def test_every_input_is_a_field_an_option_and_a_line_of_the_docs(shelf: Lab) -> None:
    start = sizing_start(shelf)
    fields = {
        "slip": slip_fields(start, ""),
        "slab": slab_fields(start),
        "correct": correction_fields(start, ""),
        "blend": blend_fields(start, ""),
    }
    docs = (Path(__file__).parent.parent.parent / "docs" / "sizing.md").read_text("utf-8")
    for name, command in (("slip", slip), ("slab", slab), ("correct", correct), ("blend", blend)):
        inputs = SIZINGS[name].values()
        assert [each.name for each in fields[name]] == [each.name for each in inputs_on("screen", inputs)]
        options = inspect.signature(command).parameters
        for each in inputs_on("command", inputs):
            spelled = each.flags or each.spelled
            assert spelled.partition("/")[0].lstrip("-").replace("-", "_") in options and f"`{spelled}`" in docs
        for field in fields[name]:
            if SIZINGS[name][field.name].kind != "code":
                assert field.text == default_text(SIZINGS[name][field.name], start.settings)


def test_what_is_left_out_of_a_command_is_what_stands_in_the_form(shelf: Lab) -> None:
    known = body_recipe(shelf, "W-01")
    form = {each.name: each.text for each in slip_fields(sizing_start(shelf), "W-01")}
    assert size_slip(slip_request(form, known)) == size_slip(slip_request({"count": "5"}, known))
    with pytest.raises(BadInput, match="How much to make is not given"):
        size_slip(slip_request({"body": "W-01"}, known))
    with pytest.raises(BadInput, match="given twice"):
        size_slip(slip_request(form | {"count": "7", "dry_g": "1 kg"}, known))


# -- doses and sizes that are unusual or cannot be -------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (f"{SILICATE} 3 %", "3 % of the dry mass; 0.05 to 1 % is usual for a deflocculant"),
        ("silicate 3 %", "usual for a deflocculant"),  # not in the lab: by its name
        (f"{SILICATE} 0.01 %", "0.05 to 1 %"),
        ("bentonite 7 %", "at most 5 % is usual for an addition"),
    ],
)
def test_an_unusual_dose_is_asked_about(run: Run, path: Path, typed: str, said: str) -> None:
    ask = (
        "mix",
        "slip",
        "--body",
        "W-01",
        "--dry",
        "1 kg",
        "--addition",
        typed,
        "--rounding",
        "50 %",
        "--scale-step",
        "0.1 g",
    )
    code, answer, err = run(*ask)
    assert code == 0 and any(said in question for question in answer["questions"]) and said in err
    code, answer, err = run(*ask, "--record", "B-1")
    assert code == 7 and any(said in question["text"] for question in answer["asked"]) and said in err
    assert run(*ask, "--record", "B-1", "--anyway")[0] == 0  # so nothing was written before


@pytest.mark.parametrize(
    ("typed", "said"),
    [(f"{SILICATE} 19 %", "outside 0 to 5 %"), ("silicate 6 %", "0 to 5 %"), ("frit 21 %", "0 to 20 %")],
)
def test_an_impossible_dose_is_refused_with_its_range(run: Run, typed: str, said: str) -> None:
    code, answer, err = run("mix", "slip", "--body", "W-01", "--dry", "1 kg", "--addition", typed)
    assert (code, answer) == (2, None) and said in err


async def test_the_screen_shows_what_is_unusual(path: Path) -> None:
    async with opened(path) as screen:
        await screen.press("3", "ctrl+l")
        await screen.fill(body="W-01", dry_g="1 kg", additions=f"{SILICATE} 3 %")
        assert "? sodium silicate: 3 % of the dry mass" in screen.said("#figures")
        await screen.fill(additions=f"{SILICATE} 19 %")
        assert "outside 0 to 5 %" in screen.said("#figures")


async def test_recording_what_is_unusual_is_asked_about_on_the_screen(path: Path) -> None:
    async with opened(path) as screen:
        await screen.press("3", "ctrl+l")
        await screen.fill(body="W-01", dry_g="1 kg", additions=f"{SILICATE} 3 %")
        await screen.press("ctrl+s", "ctrl+s")
        assert "sodium silicate: 3 % of the dry mass" in screen.text()
        await screen.press("escape")
        with screen.app.lab.reading() as record:
            assert record.count(Batch) == 0
        await screen.press("ctrl+s", "ctrl+y")
        with screen.app.lab.reading() as record:
            assert record.count(Batch) == 1


def test_a_slab_of_forty_millimetres_is_asked_about(run: Run) -> None:
    ask = ("mix", "slab", "--length", "40", "--width", "30", "--depth", "5", "--scale-step", "0.1 g")
    code, answer, err = run(*ask)
    assert code == 0 and len(answer["questions"]) == 3
    assert "inside length is 40 mm; 100 to 1 500 mm is usual" in err and "depth to pour is 5 mm" in err
    assert run(*ask, "--record", "P9")[0] == 7 and run(*ask, "--record", "P9", "--anyway")[0] == 0


def test_a_usual_batch_and_slab_are_not_asked_about(run: Run) -> None:
    assert run("mix", "slip", "--body", "W-01", "--pieces", "5", "--firings", "2")[1]["questions"] == []
    assert run("mix", "slab", "--length", "60 cm", "--width", "40 cm", "--depth", "5 cm")[1]["questions"] == []


def test_a_dose_as_supplied_is_weighed_as_it_comes(run: Run) -> None:
    ask = ("mix", "slip", "--body", "W-01", "--dry", "1 kg", "--scale-step", "0.1 g", "--deflocculant")
    supplied = run(*ask, f"{SILICATE} 0.8 % as supplied")[1]["lines"][-1]
    assert supplied["weigh_g"] == 8.0 and supplied["dry_g"] == pytest.approx(8 * 0.38)
    assert "as supplied" in supplied["dose"]
    assert run(*ask, f"{SILICATE} 0.304 % dry")[1]["lines"][-1]["weigh_g"] == 8.0


# -- in the record ---------------------------------------------------------------------------------


def _plan(lab: Lab, typed: dict[str, str], code: str = "B-1") -> SlipSizing:
    sized = size_slip(slip_request(typed, body_recipe(lab, "W-01")))
    batch = batch_planned(sized, batch=code, body="W-01", mixed_at=lab.now() + timedelta(days=1))
    mix_batch(lab, batch, doses=doses_of_request(sized.request), sized=sized_for_note(sized))
    return sized


def test_additions_to_come_are_in_the_record_and_go_with_the_batch(shelf: Lab) -> None:
    _plan(shelf, {"dry_g": "1 kg", "deflocculants": f"{SILICATE} 0.8 % as supplied", "water_per_dry": "0.9"})
    with shelf.reading() as record:
        notes = [(row.material, row.note) for row in record.rows(BatchEvent) if row.material]
    assert notes == [(SILICATE, "to add: 0.8 % of dry mass, as supplied")]
    line = weighing_out(shelf, "B-1").lines[-1]
    assert (line.material, line.lot, line.weigh_g, line.weighed_g) == (SILICATE, "S-2", 8.0, None)
    weigh_in(shelf, "B-1", 3, SILICATE, "S-2", 8.0)
    assert [each.weighed_g for each in weighing_out(shelf, "B-1").lines] == [None, None, 8.0]
    undo_last(shelf)
    undo_last(shelf)
    with shelf.reading() as record:
        assert record.rows(BatchEvent) == [] and record.rows(Batch) == []


def test_notes_of_a_batch_mixed_earlier_than_planned_come_with_it(shelf: Lab) -> None:
    _plan(shelf, {"dry_g": "1 kg", "additions": "bentonite 1 %", "layer_mm": "8"})
    water_in(shelf, "B-1", dry_g=300.0, water_g=280.0)
    with shelf.reading() as record:
        batch, notes = record.one(Batch, "B-1"), record.rows(BatchEvent)
    assert all(abs(note.at - batch.mixed_at) < timedelta(seconds=1) for note in notes) and len(notes) == 2


def test_the_sheet_of_a_planned_batch_carries_its_targets_and_the_water_to_add(shelf: Lab, tmp_path: Path) -> None:
    sized = _plan(shelf, {"dry_g": "1 kg", "additions": f"{SILICATE} 0.9 %", "water_per_dry": "0.9"})
    write_bench_sheet(batch_page(shelf, "B-1"), tmp_path / "sheet.pdf")
    text = text_of(tmp_path / "sheet.pdf")
    # 667 + 400 + 24 (9 / 0.38 = 23.7) of the scale; 66.7 and 14.9 g of water come with them: 0.9 · 1000.3 − 81.58.
    assert sized.water_weighed_g == 819
    for words in ("667", "400", "24", "1 067", "1 091", "K-1", "S-2", "water to add", "819", "0.9 % dry", "caustic"):
        assert words in text


def test_what_was_sized_is_what_pouring_and_forming_propose(shelf: Lab) -> None:
    typed = {"count": "5", "firings": "2", "spares": "1", "length_mm": "80 mm", "layer_mm": "12 mm"}
    sized = _plan(shelf, typed)
    found = batch_page(shelf, "b-1").sized_for
    assert found is not None and found.words.startswith("5 bars 80 × 30 × 10 mm a firing, 2 firings, 1 spare")
    assert found.layer_mm == 12 and pour_choice(shelf).sized_mm == {"B-1": 12.0}
    start = piece_forming(shelf, "B-1")
    assert (start.count, start.shape, start.marks_mm) == (12, "bar", 80)
    dry, water = sized.planned
    water_in(shelf, "B-1", dry_g=dry * 1.1, water_g=water * 1.1)
    assert piece_forming(shelf, "B-1").count == 13  # 12 · 1.1


@given(
    st.builds(
        SizedFor,
        shape=st.sampled_from(["bar", "tile"]), count=st.integers(1, 50), length_mm=st.integers(10, 500).map(float),
        width_mm=st.integers(10, 500).map(float), thickness_mm=st.integers(3, 60).map(float), firings=st.integers(1, 9),
        spares=st.integers(0, 9), dry_g=st.one_of(st.none(), st.integers(50, 9000).map(float)),
        layer_mm=st.one_of(st.none(), st.integers(3, 30).map(float)),
    ),
    st.builds(Dose, material=st.just("x"), pct=st.floats(0, 20, exclude_min=True), as_supplied=st.booleans()),
)  # fmt: skip
def test_notes_are_read_back_as_they_were_written(sized: SizedFor, dose: Dose) -> None:
    assert sized_for_of_note(sized.note) == sized
    assert dose_of_note("x", dose.note) == dose


# -- too much of one material ----------------------------------------------------------------------


def test_too_much_of_one_material_says_what_makes_the_recipe_right_again(shelf: Lab) -> None:
    """700 g of kaolin at 10 % are 630 g dry where 600 were wanted: everything else is 1.05 times as much."""
    _plan(shelf, {"count": "5", "firings": "2", "additions": "bentonite 2 %", "water_per_dry": "0.9"})
    with shelf.acting("to a round size") as act:
        act.change(Batch, "B-1", {"dry_mass_g": 1000.0, "water_g": 900.0})
    weigh_in(shelf, "B-1", 2, "quartz", None, 400.0)
    page = weighing_out(shelf, "B-1")
    assert page.overshot(0, 667.0) is None and page.overshot(0, 600.0) is None
    over = page.overshot(0, 700.0)
    assert over is not None and (over.dry_g, over.water_g) == (1050.0, 945.0)
    # 0.9 · (630 + 420) − 70: the quartz still to come counts.
    assert over.words.startswith("20 g more quartz, bentonite 21 g, water 875 g: the batch becomes 1 050 g dry, ")
    weigh_in(shelf, "B-1", 1, "kaolin", "K-1", 700.0, grows_to=(over.dry_g, over.water_g))
    page = weighing_out(shelf, "B-1")
    assert [line.weigh_g for line in page.lines] == [700, 420, 21]
    assert [line.missing_g(1.0) for line in page.lines] == [0, 20, 0]
    undo_last(shelf)
    assert [line.weigh_g for line in weighing_out(shelf, "B-1").lines] == [667, 400, 20]


async def test_the_weighing_screen_offers_that_the_rest_follows(path: Path) -> None:
    async with opened(path) as screen:
        await screen.press("3", "ctrl+l")
        await screen.fill(body="W-01", dry_g="1 kg", water_per_dry="0.9")
        await screen.press("ctrl+n", "ctrl+s")
        await screen.write("700")
        echo = " ".join(screen.said("#echo").split())
        assert "Ctrl+g makes the rest follow: quartz 420 g, water 875 g: the batch becomes 1 050 g dry" in echo
        await screen.press("ctrl+g")
        assert screen.said("#target").startswith("QUARTZ   420 g")
        await screen.write("500")
        await screen.press("ctrl+g")
        assert "KAOLIN   133 g more to the 700 g" in screen.said("#target")
        await screen.write("+133")
        await screen.press("enter")
        with screen.app.lab.reading() as record:
            masses = {row.material: row.mass_g for row in record.rows(BatchLine)}
            batch = record.one(Batch, "W-01-1")
        assert masses == {"kaolin": 833, "quartz": 500} and batch.dry_mass_g == 1250


# -- slip as a volume ------------------------------------------------------------------------------


async def test_slip_poured_is_typed_as_a_volume(path: Path) -> None:
    lab = open_lab(path)
    mix_batch(lab, Batch(batch="B-1", body="W-01", mixed_at=AT - timedelta(hours=1), made="slip", slip_sg=1.4))
    lab.close()
    async with opened(path) as screen:
        await screen.press("1", "p")
        await screen.fill(batch="B-1", poured_g="2 L")
        assert "2 000 mL at 1.4 g/mL = 2 800 g" in " ".join(screen.text().split())


def test_settings_stand_in_the_form() -> None:
    assert default_text(SLIP["scale_step_g"], Settings({"scale_step_g": "0.5"})) == "0.5 g"


def test_a_planned_batch_takes_the_water_of_a_sized_one(shelf: Lab) -> None:
    sized = size_slip(slip_request({"dry_g": "1234.5 g", "slip_sg": "1.45"}, body_recipe(shelf, "W-01")))
    planned = planned_masses(1234.5, 1.45, sized.solids_sg)
    assert (planned["dry_mass_g"], planned["water_g"]) == sized.planned
