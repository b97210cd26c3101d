"""What a material is: asked once wherever it is first named, kept, changed later, and cautioned about in every act."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest

from claybench.acts.act import Act, act_cautions, act_form_cautions, perform, understand_fields
from claybench.acts.from_plan import make_act
from claybench.acts.layers import LIFT, POUR
from claybench.acts.material_naming import answer_questions
from claybench.acts.pieces import FIRE, FORM, MEASURE, READING
from claybench.acts.plasticity_points import POINT
from claybench.acts.recipes import BATCH, BATCH_EVENT, BODY, LOT, MATERIAL, RECIPE
from claybench.acts.weighing_out import WEIGH_IN
from claybench.ask.batches import batch_page
from claybench.ask.bodies import body_page
from claybench.ask.labels import read_labels
from claybench.ask.reports import read_body_report
from claybench.errors import BadInput, Question, Unanswered
from claybench.exchange.folder_in import import_folder
from claybench.exchange.folder_out import export_folder
from claybench.insight.plan.next_set.making import BodyOffer
from claybench.insight.plan.next_set.next_set import NextSet
from claybench.record.lab import Lab
from claybench.record.opening import create_lab, open_lab
from claybench.terms import Batch, Body, Material, Piece, Run, Slab
from claybench.work import pieces, recipes
from claybench.work.any_row import correct_row, redo_last, undo_last
from claybench.work.runs import start_run
from claybench.work.slabs import enter_slab
from tests.cli.conftest import Command
from tests.conftest import Ticking

UNKNOWN = "What is black stuff: a clay, a feldspar"


def do(lab: Lab, act: Act, *, anyway: bool | Sequence[Question] = False, **typed: str) -> str:
    values = understand_fields(act.offered(lab, typed), typed, lab.now())
    return perform(lab, act, values, now=lab.now(), anyway=anyway)


def kind_of(lab: Lab, material: str) -> str | None:
    with lab.reading() as record:
        return record.one(Material, material).kind


def keys(lab: Lab, act: Act, **values: Any) -> list[str]:
    return [each.key for each in act_cautions(lab, act, values)]


@pytest.mark.parametrize(
    ("act", "typed"),
    [
        (MATERIAL, {"material": "black stuff"}),
        (LOT, {"lot": "L1", "material": "black stuff"}),
        (BODY, {"body": "B2", "recipe": "kaolin 60, black stuff 40"}),
        (RECIPE, {"body": "B1", "recipe": "kaolin 60, black stuff 40"}),
        (BATCH_EVENT, {"batch": "B1-1", "event": "addition", "material": "black stuff", "mass_g": "5 g"}),
        (WEIGH_IN, {"batch": "B1-1", "material": "black stuff", "mass_g": "5 g"}),
    ],
    ids=lambda each: each.name if isinstance(each, Act) else "",
)
def test_what_nobody_knows_is_asked_once(lab: Lab, ticking: Ticking, act: Act, typed: dict[str, str]) -> None:
    recipes.add_body(lab, Body(body="B1"), [("kaolin", 60.0), ("litharge", 40.0)])
    recipes.mix_batch(lab, Batch(batch="B1-1", body="B1", made="slip", mixed_at=lab.now(), dry_mass_g=100.0))
    with pytest.raises(Unanswered) as asked:
        do(lab, act, **typed)
    assert [each.kind for each in asked.value.questions if each.text.startswith(UNKNOWN)] == ["substance"]
    do(lab, act, anyway=True, **typed)
    assert kind_of(lab, "black stuff") == "other"
    ticking.time += timedelta(minutes=1)
    do(lab, BODY, body="B3", recipe="black stuff 50, kaolin 50")  # and never again
    assert "unknown" in keys(lab, BODY, recipe=[("black stuff", 1.0)])


def test_the_answer_goes_with_the_folder_and_may_be_changed(lab: Lab, tmp_path: Path) -> None:
    do(lab, BODY, anyway=True, body="B1", recipe="black stuff 50, kaolin 50")
    export_folder(lab, tmp_path / "out")
    from_folder = create_lab(tmp_path / "two.claybench", name="two", zone="UTC")
    import_folder(from_folder, tmp_path / "out")
    do(from_folder, LOT, lot="L1", material="black stuff")
    correct_row(from_folder, Material, "black stuff", {"kind": None, "caution": "is manganese dioxide"})
    assert "manganese" in keys(from_folder, BODY, recipe=[("black stuff", 1.0)])
    correct_row(from_folder, Material, "black stuff", {"kind": "clay", "caution": None})
    assert keys(from_folder, BODY, recipe=[("black stuff", 1.0)]) == ["silica", "defer"]
    from_folder.close()


def test_a_known_name_or_a_kind_is_not_asked_about(lab: Lab) -> None:
    do(lab, MATERIAL, material="pit 7", kind="clay")
    do(lab, MATERIAL, material="brown pit", caution="is raw umber")
    do(lab, BODY, body="B1", recipe="pit 7 40, brown pit 10, potash feldspar 30, litharge 20")
    do(lab, LOT, lot="L1", material="sodium polyacrylate")
    assert kind_of(lab, "litharge") is None  # by its name, whatever its kind


def test_cautions_follow_what_is_typed(lab: Lab) -> None:
    recipes.add_material(lab, Material(material="pit 7", kind="clay", caution="dusty"))
    as_typed = act_form_cautions(lab, BODY, {})
    said = as_typed({"recipe": [("PIT 7", 50.0), ("BaCO3", 50.0)]})
    assert [each.key for each in said] == ["own:PIT 7", "barium", "silica", "defer"] and not as_typed({})
    own = act_form_cautions(lab, MATERIAL, {})({"material": "x", "caution": "is lead oxide"})
    assert [each.key for each in own] == ["own:x", "lead", "defer"]


def test_every_place_that_names_a_material_says_it(lab: Lab, ticking: Ticking) -> None:
    recipes.add_body(lab, Body(body="B1"), [("kaolin", 60.0), ("litharge", 40.0)])
    recipes.mix_batch(
        lab,
        Batch(batch="B1-1", body="B1", made="slip", mixed_at=ticking.time, dry_mass_g=100.0),
        [("kaolin", None, 60.0), ("gypsum", None, 40.0)],
    )
    pieces.form_pieces(lab, [Piece(piece="T1", batch="B1-1", shape="bar", formed_at=ticking.time)])
    assert {"lead", "silica", "dust"} <= set(keys(lab, BATCH, body="B1"))
    # what is in the kiln: as weighed out, not as the recipe has it
    assert {"leaves:sulphur", "leaves:clay_gases", "leach"} <= set(keys(lab, FIRE, pieces="T1"))
    assert "leaves:lead_fume" not in keys(lab, FIRE, pieces="T1")
    places = [
        " ".join(batch_page(lab, "B1-1").cautions),
        " ".join(each.line() for each in body_page(lab, "B1").cautions),
        " ".join(read_body_report(lab, "B1").cautions),
        " ".join(read_labels(lab, ["body/B1"])[0].cautions),
        " ".join(read_labels(lab, ["litharge"])[0].cautions),
    ]
    assert ["unborn child" in said for said in places] == [True] * 5  # the batch still wants its litharge
    assert "fine silica" in places[0]
    do(lab, FIRE, anyway=True, firing="F-1", pieces="T1")
    assert [said.split()[0] for said in read_labels(lab, ["firing/F-1"])[0].cautions] == ["sulphur", "steam,"]


def test_slip_and_clay_in_the_hand_say_what_is_in_the_batch(lab: Lab, ticking: Ticking) -> None:
    recipes.add_body(lab, Body(body="B1"), [("kaolin", 60.0), ("litharge", 40.0)])
    recipes.add_body(lab, Body(body="B2"), [("kaolin", 60.0), ("flint", 40.0)])
    for body in ("B1", "B2"):
        recipes.mix_batch(lab, Batch(batch=f"{body}-1", body=body, made="slip", mixed_at=ticking.time))
    recipes.add_material(lab, Material(material="witherite", caution="keep it wet"))
    do(lab, BATCH_EVENT, anyway=True, batch="B1-1", event="addition", material="witherite", mass_g="5 g")
    enter_slab(lab, Slab(slab="P1", length_mm=500.0, width_mm=400.0, thickness_mm=45.0), at=ticking.time)
    start_run(lab, Run(run="D1", batch="B1-1", slab="P1", started_at=ticking.time))
    in_hand = ["own:witherite", "lead", "barium", "defer"]  # slip and wet clay raise no dust of silica
    assert keys(lab, POINT, batch="b1-1", what="plastic_thread") == in_hand
    assert keys(lab, FORM, batch="B1-1") == keys(lab, FORM, run="d1") == in_hand
    assert keys(lab, POUR, batch="B1-1", slab="P1")[2:] == keys(lab, LIFT, run="D1")[1:] == in_hand
    assert "lead" in keys(lab, POUR, batch="new", body="b1")  # a batch that is made on the way
    assert not keys(lab, FORM, batch="B2-1") and not keys(lab, POINT, batch="none", what="coil_bend")


def test_a_batch_half_weighed_out_holds_the_rest_of_its_recipe(lab: Lab, ticking: Ticking) -> None:
    recipes.add_body(lab, Body(body="B1"), [("kaolin", 60.0), ("litharge", 30.0), ("grog", 10.0)])
    recipes.mix_batch(
        lab,
        Batch(batch="B1-1", body="B1", made="slip", mixed_at=ticking.time, dry_mass_g=100.0),
        [("kaolin", None, 60.0), ("pyrite", None, 5.0)],
    )
    pieces.form_pieces(lab, [Piece(piece="T1", batch="B1-1", shape="bar", formed_at=ticking.time)])
    assert {"leaves:sulphur", "leaves:lead_fume"} <= set(keys(lab, FIRE, pieces="T1"))
    (label,) = read_labels(lab, ["batch/B1-1"])
    assert label.recipe == (("kaolin", 60.0), ("litharge", 30.0), ("grog", 10.0))  # not 92.3 % of kaolin
    assert any("unborn child" in said for said in label.cautions)


def test_a_command_says_it_beside_what_it_recorded(command: Command, tmp_path: Path) -> None:
    create_lab(tmp_path / "lab.claybench", name="bench", zone="UTC").close()
    answer = command("body", "B1", "kaolin 50, litharge 50", "--lab", tmp_path / "lab.claybench")
    assert answer.code == 0 and answer.out == "B1\n" and "! litharge: lead harms" in answer.err
    answer = command("material", "black stuff", "--lab", tmp_path / "lab.claybench")
    assert answer.code == 7 and UNKNOWN in answer.err
    answer = command("lot", "L1", "minium", "--json", "--lab", tmp_path / "lab.claybench")
    assert any(line.startswith("minium: lead") for line in answer.json["cautions"])


def test_boiling_says_so_and_other_soaks_do_not(lab: Lab) -> None:
    assert "boil_dry" in keys(lab, MEASURE, piece="T1", reading="soaked_g", value="57.9", method="boil")
    assert "boil_dry" in keys(lab, READING, piece="T1", what="soaked_g", value="57.9", method="boiled 5 h")
    assert not keys(lab, MEASURE, piece="T1", reading="soaked_g", value="57.9", method="soak")


def asked_of(lab: Lab, act: Act, **typed: str) -> list[Question]:
    with pytest.raises(Unanswered) as asked:
        do(lab, act, **typed)
    return list(asked.value.questions)


def row_of(lab: Lab, material: str) -> tuple[str | None, str | None] | None:
    with lab.reading() as record:
        row = record.find(Material, material)
    return (row.kind, row.caution) if row is not None else None


def test_the_answer_is_kept_with_the_act_and_undone_with_it(lab: Lab, ticking: Ticking) -> None:
    recipes.add_material(lab, Material(material="white stuff", caution="dusty"))
    typed = {"body": "B1", "recipe": "spar 50, White Stuff 30, black stuff 20"}
    asked = asked_of(lab, BODY, **typed)
    assert [each.about for each in asked if each.choices] == ["spar", "white stuff", "black stuff"]
    said = {"SPAR": "a feldspar", "white stuff": "lead carbonate"}
    ticking.time += timedelta(minutes=1)
    do(lab, BODY, anyway=answer_questions(lab, asked, said), **typed)
    after = [("flux", None), (None, "dusty; is lead carbonate"), ("other", None)]
    names = ("spar", "white stuff", "black stuff")
    assert [row_of(lab, name) for name in names] == after
    assert {"lead", "silica", "unknown"} <= set(keys(lab, BODY, recipe=[(name, 1.0) for name in names]))
    do(lab, LOT, lot="L1", material="white stuff")  # and is not asked again
    undo_last(lab)
    undo_last(lab)
    assert [row_of(lab, name) for name in names] == [None, (None, "dusty"), None]
    redo_last(lab)
    assert [row_of(lab, name) for name in names] == after


def test_an_answer_that_is_none_is_refused(lab: Lab) -> None:
    asked = asked_of(lab, MATERIAL, material="spar")
    for said, words in [
        ({"spar": "nonsense"}, "'nonsense' is no substance that is known here. Say clay; feldspar or flux;"),
        ({"spar": "lead-free"}, "'lead-free' is no substance"),
        ({"kaolin": "clay"}, "Nothing is asked about 'kaolin' here. It is about spar."),
    ]:
        with pytest.raises(BadInput) as refused:
            answer_questions(lab, asked, said)
        assert words in str(refused.value)
    recipes.add_material(lab, Material(material="pit", kind="clay"))
    assert answer_questions(lab, [], {"Pit": "clay"}) == []  # it is that already
    with pytest.raises(BadInput, match="amend material 'pit'"):
        answer_questions(lab, [], {"pit": "flux"})


def test_bodies_of_a_plan_are_asked_about_too(lab: Lab) -> None:
    lines = (("kaolin", 60.0), ("spar", 40.0))
    proposal = BodyOffer(number=1, body="B9", parent=None, lines=lines, slip_sg=1.4, solids_sg=2.6, start=None)
    next_set = cast(NextSet, SimpleNamespace(family=None, layer_mm=10.0))
    act = make_act(next_set, [proposal], "set", 1000.0)
    asked = asked_of(lab, act)
    assert [each.about for each in asked] == ["spar"]
    do(lab, act, anyway=[replace(asked[0], answer="feldspar or flux")])
    assert kind_of(lab, "spar") == "flux" and kind_of(lab, "kaolin") is None


def test_a_command_answers_in_place(command: Command, tmp_path: Path) -> None:
    path = tmp_path / "lab.claybench"
    create_lab(path, name="bench", zone="UTC").close()
    words = ("body", "B1", "spar 60, white stuff 40", "--lab", path)
    answer = command(*words)
    assert answer.code == 7 and '--is "spar=…" --is "white stuff=…" with clay; feldspar or flux;' in answer.err
    answer = command(*words, "--is", "spar=flux", "--json")
    assert answer.code == 7 and [each["about"] for each in answer.json["asked"]] == ["white stuff"]
    assert answer.json["asked"][0]["choices"][-1] == "unknown"
    answer = command(*words, "--is", "spar=flux", "--is", "white stuff=lead carbonate")
    assert answer.code == 0 and "lead harms" in answer.err
    assert command("body", "B2", "kaolin 1", "--is", "kaolin", "--lab", path).code == 2
    # of a sizing: what was in the lab before anybody asked, and what is added to a batch
    lab = open_lab(path)
    correct_row(lab, Material, "spar", {"kind": None})
    lab.close()
    sized = ("mix", "slip", "--body", "B1", "--dry", "1 kg", "--addition", "pink stuff 1", "--record", "B1-1")
    answer = command(*sized, "--lab", path)
    assert answer.code == 7 and '--is "spar=…" --is "pink stuff=…"' in answer.err
    answer = command(*sized, "--is", "spar=flux", "--is", "pink stuff=colourant", "--lab", path)
    assert answer.code == 0, answer.err
    lab = open_lab(path)
    assert (kind_of(lab, "spar"), kind_of(lab, "pink stuff")) == ("flux", "colourant")
    correct_row(lab, Material, "spar", {"kind": None})
    recipes.add_body(lab, Body(body="B2"), [("kaolin", 100.0)])
    lab.close()
    blend = ("mix", "blend", "B1", "B2", "--record", "M", "--lab", path)
    answer = command(*blend)
    assert answer.code == 7 and "What is spar" in answer.err
    assert command(*blend, "--is", "spar=flux").code == 0
