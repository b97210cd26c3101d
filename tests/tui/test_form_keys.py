"""Keys in forms: a word that is typed is the word that is chosen, and no key does anything behind the form's back."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import Body, Check, Family, Material
from claybench.tui.forms.choice_field import ChoiceField, match_word
from claybench.tui.keys import EVERYWHERE, PLACES, TOUCHES
from claybench.work.recipes import add_body, add_family, add_material
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, Driver, opened

pytestmark = pytest.mark.slow


def _labels(lab: Lab) -> list[str]:
    with lab.reading() as record:
        return [each.label for each in list_acts(record, limit=1000)]


@pytest.fixture
def with_bodies(lab_path: Path) -> Path:
    """A lab with something done in it that could be undone."""
    lab = open_lab(lab_path)
    add_family(lab, Family(family="buff"))
    add_material(lab, Material(material="soda spar"))
    add_body(lab, Body(body="B-1", family="buff"), [("soda spar", 100.0)])
    lab.close()
    return lab_path


async def _to_kind(driver: Driver) -> ChoiceField:
    """The kind of a new material."""
    await driver.press("6", *["right"] * 4, "n")
    assert "A new material" in driver.text()
    await driver.go_to("f-kind")
    field = driver.app.focused
    assert isinstance(field, ChoiceField)
    return field


@pytest.mark.parametrize(
    "word", ["clay", "flux", "filler", "plasticiser", "colourant", "deflocculant", "flocculant", "other"]
)
async def test_the_word_typed_is_the_word_chosen_and_nothing_is_undone(with_bodies: Path, word: str) -> None:
    async with opened(with_bodies) as driver:
        before = _labels(driver.app.lab)
        field = await _to_kind(driver)
        await driver.write(word)
        await driver.settle()
        assert field.value == word and f"[{word}]" in driver.text()
        assert _labels(driver.app.lab) == before


async def test_letters_are_taken_back_and_a_word_that_is_none_says_so(with_bodies: Path) -> None:
    async with opened(with_bodies) as driver:
        before = _labels(driver.app.lab)
        field = await _to_kind(driver)
        await driver.write("flux")
        await driver.press("backspace", "backspace", "backspace")
        assert field.value in ("filler", "flux")
        await driver.write("loc")
        assert field.value == "flocculant"
        await driver.press("right", "left")
        assert field.value == "flocculant"
        await driver.write("zuR1?")
        await driver.settle()
        assert field.value == "flocculant" and "none begins with 'zuR1?'" in driver.text()
        await driver.press(*["backspace"] * 5)
        assert field.value == "flocculant" and "none begins" not in driver.text()
        await driver.write("filz")
        assert field.value == "flocculant", "a word that is none changes nothing, however it begins"
        await driver.press("backspace")
        assert field.value == "filler" and "none begins" not in driver.text()
        await driver.press("delete")
        assert field.value == ""
        await driver.write("ff")
        assert field.value in ("filler", "flux")
        assert _labels(driver.app.lab) == before and driver.app.screen.place == "form"  # type: ignore[attr-defined]


def test_parts_of_a_word_and_words_of_two_parts() -> None:
    words = ("workable", "lifted_early", "too_stiff", "abandoned")
    assert [match_word(words, typed) for typed in ("early", "lifted e", "lifted_e", "stiff", "Too")] == [
        "lifted_early",
        "lifted_early",
        "lifted_early",
        "too_stiff",
        "too_stiff",
    ]
    assert match_word(("drying_room", "dry"), "dry") == "dry"
    assert match_word(words, "x") is None and match_word((), "a") is None


async def test_no_key_of_the_app_acts_while_a_form_is_open(with_bodies: Path) -> None:
    async with opened(with_bodies) as driver:
        before = _labels(driver.app.lab)
        field = await _to_kind(driver)
        form = driver.app.screen
        for where in (field, None):
            for key in [key for each in EVERYWHERE for key in each.key.split(",")]:
                if key in ("ctrl+p", "ctrl+q", "f1", "f2", "f3") or (where is None and not _undoes(key)):
                    continue
                form.set_focus(where)
                await driver.press(key)
                assert driver.app.screen is form, key
                assert _labels(driver.app.lab) == before, key
        await driver.go_to("f-material")
        await driver.write("quQ1?")
        await driver.press("ctrl+y", "ctrl+z")
        assert "quQ1?" in driver.text() and _labels(driver.app.lab) == before


def _undoes(key: str) -> bool:
    return key in ("u", "U", "ctrl+y")


async def test_undo_has_no_key_while_a_filter_is_typed(with_bodies: Path) -> None:
    async with opened(with_bodies) as driver:
        before = _labels(driver.app.lab)
        await driver.press("5", "slash", "u", "U", "ctrl+y")
        assert _labels(driver.app.lab) == before
        await driver.press("enter", "u")
        assert len(_labels(driver.app.lab)) == len(before) + 1


@pytest.mark.parametrize("size", [*SIZES, (60, 20)], ids=["80x24", "140x40", "60x20"])
async def test_starting_over_goes_back_to_the_first_field(with_bodies: Path, size: tuple[int, int]) -> None:
    async with opened(with_bodies, size) as driver:
        await driver.press("2", "e")
        form = driver.app.screen
        first, start = driver.app.focused, form.typed()  # type: ignore[attr-defined]
        await driver.fill(length_mm="50 cm", note="a word")
        await driver.go_to("f-shape")
        await driver.write("rou")
        await driver.press("ctrl+r")
        assert driver.app.focused is first and form.typed() == start  # type: ignore[attr-defined]
        await driver.write("P9")
        assert form.typed() == start | {"slab": "P9"}  # type: ignore[attr-defined]
        await driver.press("ctrl+r", "escape", "e")
        assert "draft" not in driver.text() and driver.app.screen.typed() == start  # type: ignore[attr-defined]


async def test_starting_a_plan_over_goes_back_to_its_first_field(with_bodies: Path) -> None:
    async with opened(with_bodies) as driver:
        await driver.press("7", "n")
        first = driver.app.focused
        await driver.press("down", "down", *"12", "ctrl+r")
        assert driver.app.focused is first


async def test_a_touch_says_stiff_by_the_letter_it_has_everywhere(sample_lab_file: Path, tmp_path: Path) -> None:
    async with opened(copy_lab(sample_lab_file, tmp_path / "lab.claybench"), start=END) as driver:
        while not driver.app.screen.layers_here():  # type: ignore[attr-defined]
            await driver.press("down")
        await driver.press("enter", "c")
        for letter, feel in TOUCHES:
            await driver.press("ctrl+u", letter)
            assert f"[{feel}]" in driver.text()


def test_the_keys_of_touches_mean_the_same_in_every_place() -> None:
    wanted = {letter: f"feel('{feel}')" for letter, feel in TOUCHES}
    touched = []
    for place, (_, keys) in PLACES.items():
        feels = {letter: key.action for key in keys if key.action.startswith("feel(") for letter in key.key.split(",")}
        if feels:
            touched.append(place)
            assert feels == wanted, place
            assert not [key.id for key in keys if key.key in wanted and key.action != wanted[key.key]], place
    assert touched == ["bench", "run", "slab"]


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "140x40"])
async def test_a_layer_is_touched_alike_on_bench_run_page_slab_page_and_due_list(
    sample_lab_file: Path, tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(copy_lab(sample_lab_file, tmp_path / "lab.claybench"), size, END) as driver:
        bench = driver.app.screen
        while not bench.layers_here():  # type: ignore[attr-defined]
            await driver.press("down")
        (run,) = bench.layers_here()  # type: ignore[attr-defined]
        slab = bench._slab_here()  # type: ignore[attr-defined]
        with driver.app.lab.reading() as record:
            before = record.count(Check)
        for number, (keys, back) in enumerate(((["s"], []), (["enter", "w"], ["escape"])), 1):
            driver.clock.forward(1)
            await driver.press(*keys)
            with driver.app.lab.reading() as record:
                assert record.count(Check) == before + number
            await driver.press(*back)
        from claybench.tui.slabs.slab_page import SlabPlace

        await driver.app.push_screen(SlabPlace(slab))
        await driver.settle()
        driver.clock.forward(1)
        await driver.press("x")
        with driver.app.lab.reading() as record:
            newest = max(record.rows(Check), key=lambda each: each.at)
        assert (newest.run, newest.feel) == (run, "stiff")
