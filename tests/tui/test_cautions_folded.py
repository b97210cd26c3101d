"""Cautions are whole until their reader has done the act with them in view; then a line, and a key that shows them."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.acts.pieces import FORM
from claybench.acts.slabs import event_act
from claybench.exchange.files import state_folder
from claybench.facts.fact import Origin
from claybench.mix.cautions import ACTS, DEFER, cautions_for
from claybench.mix.folded_cautions import caution_heading, folded_line
from claybench.mix.material_cautions import Caution, MaterialCare
from claybench.record.opening import open_lab
from claybench.terms import Batch, Body, Lot, Material, Slab
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.pieces import ask_measuring_hand
from claybench.tui.seen_cautions import SeenCautions
from claybench.work.recipes import add_body, add_lot, add_material, mix_batch
from claybench.work.slabs import enter_slab
from tests.tui.driver import Driver, opened

OWN = {"quartz": MaterialCare(caution="fine"), "kaolin": MaterialCare()}


def test_the_line_names_every_hazard_of_every_act_once() -> None:
    for act in ACTS:
        cautions = cautions_for(act, {**OWN, "soda ash": MaterialCare()})
        line = folded_line((*cautions, *cautions), "F4 shows them")
        headings = [caution_heading(each) for each in cautions if each != DEFER]
        assert all(headings), act
        assert line == f"! Cautions: {', '.join(headings)}. F4 shows them.", act
    assert folded_line((DEFER,), "F4") == "", "without a hazard nothing is folded"


def test_what_was_seen_counts_for_that_person_act_material_and_wording() -> None:
    seen, cautions = SeenCautions("lab"), cautions_for("weigh_dry", OWN)
    assert not seen.has_seen("Ann", "weigh_dry", cautions)
    seen.add(" Ann", "weigh_dry", cautions)
    again = SeenCautions("lab")
    assert again.has_seen("ann", "weigh_dry", cautions) and again.has_seen("ann", "weigh_dry", cautions[:2])
    assert not again.has_seen("Ben", "weigh_dry", cautions)
    assert not again.has_seen("Ann", "mix_slip", cautions)
    assert not SeenCautions("another lab").has_seen("Ann", "weigh_dry", cautions)
    assert not again.has_seen("Ann", "weigh_dry", cautions_for("weigh_dry", {**OWN, "soda ash": MaterialCare()}))
    assert not again.has_seen(
        "Ann", "weigh_dry", cautions_for("weigh_dry", {**OWN, "quartz": MaterialCare(caution="very fine")})
    )
    assert not again.has_seen("Ann", "weigh_dry", [Caution("Other words.", "", Origin.COMMON_PRACTICE, "dust")])
    again.add("Ann", "boil", cautions_for("boil"))
    assert again.has_seen("Ann", "weigh_dry", cautions) and again.has_seen("Ann", "boil", cautions_for("boil"))


@pytest.mark.parametrize("damage", [None, "", "{", "7", '{"a": 1}', "[3]", "\udcff"])
def test_a_file_that_is_lost_or_damaged_only_unfolds(damage: str | None) -> None:
    seen, cautions = SeenCautions("lab"), cautions_for("lift")
    seen.add("Ann", "lift", cautions)
    (file,) = (state_folder() / "seen").rglob("*.json")
    if damage is None:
        file.unlink()
    else:
        file.write_bytes(damage.encode("utf-8", "surrogateescape"))
    assert not seen.has_seen("Ann", "lift", cautions)
    seen.add("Ann", "lift", cautions)
    assert seen.has_seen("Ann", "lift", cautions)


def test_a_state_folder_that_cannot_be_written_stops_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setenv("CLAYBENCH_STATE", str(tmp_path / "file"))
    seen = SeenCautions("lab")
    seen.add("Ann", "lift", cautions_for("lift"))
    assert not seen.has_seen("Ann", "lift", cautions_for("lift"))


def in_view(screen: Driver) -> str:
    """What the screen says, its lines joined."""
    return " ".join(screen.text().split())


@pytest.mark.slow
async def test_they_fold_once_the_act_was_done_and_a_key_shows_them(lab_path: Path) -> None:
    lab = open_lab(lab_path)
    add_material(lab, Material(material="kaolin", kind="clay", caution="dusty [/b]"))
    add_lot(lab, Lot(lot="K-1", material="kaolin"))
    add_body(lab, Body(body="W-01", family="white"), [("kaolin", 60.0), ("quartz", 40.0), ("soda ash", 1.0)])
    add_body(lab, Body(body="L"), [("kaolin", 90.0), ("litharge", 10.0)])
    for batch, body in (("W-01-1", "W-01"), ("L-1", "L")):
        mix_batch(lab, Batch(batch=batch, body=body, made="slip", mixed_at=lab.now()))
    enter_slab(lab, Slab(slab="P1", length_mm=500.0, width_mm=400.0, thickness_mm=45.0), at=lab.now())
    lab.close()
    usual = "! Cautions: dust, clay into water, cleaning up wet"
    folded = f"{usual}, silica"
    async with opened(lab_path) as screen:
        await screen.press("3", "ctrl+l")
        await screen.fill(body="W-01", dry_g="1 kg")
        await screen.press("ctrl+n", "ctrl+s")
        assert "kaolin: dusty [/b]" in screen.said("#cautions") and "P100" in screen.said("#cautions")
        await screen.press("f4")  # on to what of them is not in view
        await screen.write("594")
        await screen.press("enter")
        assert screen.said("#cautions") == f"{folded}. F4 shows them whole.", "quartz brings nothing new"
        assert folded in in_view(screen)
        await screen.press("f4")
        assert "P100" in screen.said("#cautions") and "qualified people decide" in in_view(screen)
        await screen.press("f4", "up")
        assert screen.said("#cautions") == f"{usual}, kaolin, silica. F4 shows them whole."
        await screen.press("down", "down")
        assert "soda ash is caustic" in screen.said("#cautions") and "P100" in screen.said("#cautions"), "it is new"
        await screen.press("down")
        assert "residual-current" in screen.said("#cautions"), "another act"
        await screen.press("escape", "escape", "2")

        resurfaced = event_act("resurfaced")
        await ask_act(screen.app, resurfaced, fixed={"slab": "P1", "event": "resurfaced"})
        await screen.settle()
        assert "Wet-sand only" in in_view(screen)
        await screen.press("escape")
        await ask_act(screen.app, resurfaced, fixed={"slab": "P1", "event": "resurfaced"})
        await screen.settle()
        assert "Wet-sand only" in in_view(screen), "leaving is not doing"
        await screen.press("ctrl+s")
        await ask_act(screen.app, resurfaced, fixed={"slab": "P1", "event": "resurfaced"})
        await screen.settle()
        sanding = "! Cautions: sanding and first scrap layer, dust, cleaning up wet. F4 shows them whole."
        assert screen.said("#cautions") == sanding
        await screen.press("escape")
        await ask_measuring_hand(screen.app)
        await screen.settle()
        await screen.fill(by="Ben")
        await screen.press("ctrl+s")
        await ask_act(screen.app, resurfaced, fixed={"slab": "P1", "event": "resurfaced"})
        await screen.settle()
        assert "Wet-sand only" in screen.said("#cautions"), "Ben has not seen them"
        await screen.press("escape", "f4")
        assert "Nothing that is done here" in in_view(screen)

        await ask_act(screen.app, FORM, {"batch": "W-01-1"})
        await screen.settle()
        assert "lead" not in screen.said("#cautions")
        await screen.fill(batch="L-1")
        assert "litharge: lead harms" in screen.said("#cautions"), "another batch is named"
        await screen.fill(batch="W-01-1")
        assert "lead" not in screen.said("#cautions")
