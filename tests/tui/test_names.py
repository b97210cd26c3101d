"""A name typed short or misspelt says what it may be meant for before it makes a second thing."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.record.opening import open_lab
from claybench.terms import Body, BodyLine, Family, Lot, Material, Slab
from claybench.work.any_row import correct_row
from claybench.work.recipes import add_body, add_family, add_lot, add_material
from claybench.work.slabs import enter_slab
from tests.tui.driver import SIZES, Clock, opened

pytestmark = pytest.mark.slow

RECIPE = [("kaolin", 50.0), ("ball clay 2", 30.0), ("clay, red [/b]", 20.0)]


def shelf(path: Path) -> None:
    """A lab with a few names."""
    lab = open_lab(path)
    lab.now = Clock(lab.now())
    add_family(lab, Family(family="white"))
    for name in ("kaolin", "ball clay", "ball clay 2", "talc 325 mesh", "flint"):
        add_material(lab, Material(material=name))
    correct_row(lab, Material, "flint", {"material": "silica"})
    add_lot(lab, Lot(lot="K-12", material="kaolin"))
    add_body(lab, Body(body="W-01", family="white"), RECIPE)
    enter_slab(lab, Slab(slab="P1", length_mm=400.0, width_mm=300.0, thickness_mm=50.0), at=lab.now())
    lab.close()


def materials(path: Path) -> list[str]:
    """The names held."""
    lab = open_lab(path)
    with lab.reading() as record:
        found = record.codes(Material)
    lab.close()
    return found


async def test_a_recipe_says_which_names_are_near_to_one_the_lab_has_and_which_are_new(lab_path: Path) -> None:
    shelf(lab_path)
    async with opened(lab_path, SIZES[1]) as driver:
        await driver.press("5", "n")
        await driver.fill(recipe="kaol 50, quartz 50")
        assert "kaol: did you mean kaolin?" in driver.text() and "new: quartz" in driver.text()
        await driver.fill(recipe="flint 50, kaolin 50")
        assert "flint: it is called silica now" in driver.text()
        await driver.fill(recipe="KAOLIN 50, ball clay 2 50")
        assert "= 2 materials, 100 parts; 50 of ball clay 2" in driver.text() and "?" not in driver.said("#form-note")
        assert "did you mean" not in driver.text() and "new:" not in driver.text()
        await driver.press("ctrl+s")
    assert "KAOLIN" not in materials(lab_path)


async def test_a_family_a_lot_and_a_slab_say_it_too_in_every_form(lab_path: Path) -> None:
    shelf(lab_path)
    async with opened(lab_path, SIZES[1]) as driver:
        await driver.press("2", "e")  # a slab that was there before
        await driver.fill(slab="p1", family="whit")
        assert "? did you mean white?" in driver.text() and "P1 is there already" in driver.text()
        await driver.fill(family="buff")
        assert "new: buff" in driver.text() and "did you mean" not in driver.text()
        await driver.fill(family="WHITE")
        assert "= white" in driver.text()
        await driver.press("escape", "1", "p")
        await driver.fill(slab="P3")
        assert "? there is no slab P3; did you mean P1?" in driver.text()
        await driver.press("escape", "6", *["right"] * 5, "n")  # lots
        await driver.fill(lot="K12", material="ball-clay")
        assert "? did you mean K-12?" in driver.text() and "? did you mean ball clay?" in driver.text()


async def test_correcting_a_row_does_not_take_its_own_name_for_another(lab_path: Path) -> None:
    shelf(lab_path)
    async with opened(lab_path, SIZES[1]) as driver:
        await driver.press("6", *["right"] * 4, "home", "enter")
        assert "Correct material" in driver.text()
        assert "there already" not in driver.text() and "did you mean" not in driver.text()


async def test_a_short_prefix_is_completed_and_never_replaced_by_itself(lab_path: Path) -> None:
    shelf(lab_path)
    async with opened(lab_path, SIZES[1]) as driver:
        await driver.press("6", *["right"] * 5, "n")
        await driver.go_to("f-material")
        await driver.write("kao")
        await driver.settle()
        assert driver.app.screen.query_one("#f-material").value == "kao"
        await driver.press("right")
        assert driver.app.screen.query_one("#f-material").value == "kaolin"


async def test_the_recipe_a_form_offers_is_saved_as_the_same_recipe(lab_path: Path) -> None:
    shelf(lab_path)
    async with opened(lab_path, SIZES[1]) as driver:
        await driver.press("5", "enter", "r")
        assert "100 parts; 30 of ball clay 2" in driver.text()
        await driver.press("ctrl+s")
        await driver.press("n")
        await driver.fill(body="W-02")
        await driver.press("ctrl+s")
    lab = open_lab(lab_path)
    with lab.reading() as record:
        for body in ("W-01", "W-02"):
            rows = sorted(record.rows(BodyLine, body=body), key=lambda row: row.position)
            assert [(row.material, row.parts) for row in rows] == RECIPE
    lab.close()
