"""Reading the lab's own properties of a slab and of a firing by keys alone, and of what has none yet."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.acts.bench import NOW, make_bench
from tests.tui.driver import SIZES, opened

pytestmark = pytest.mark.slow


async def test_a_slab_and_a_firing_are_read_corrected_and_explained_by_keys(lab_path: Path) -> None:
    async with opened(make_bench(lab_path), SIZES[1], start=NOW) as driver:
        await driver.press("2", "home", "enter")
        assert "hardness: not read yet: a" in driver.text()
        await driver.press("a")  # one property of slabs: its form, at the reading
        assert "hardness of slab P1" in driver.text()
        await driver.write("42")
        await driver.press("ctrl+s")
        assert "hardness                42" in driver.text() and "read directly" in driver.text()
        await driver.press("a")
        await driver.write("70")
        await driver.press("ctrl+s")
        assert "20 to 60" in driver.text()  # asked about, as everywhere
        await driver.press("escape")
        await driver.clear()
        await driver.write("46")
        await driver.press("ctrl+s")
        assert "44 (2 readings, 42–46)" in driver.text()
        await driver.press("home", "down", "enter")  # correct the older one
        assert "Correct reading" in driver.text()
        await driver.fill(value="44")
        await driver.fill(value="44")
        await driver.press("ctrl+s")
        assert "45 (2 readings, 44–46)" in driver.text() and "was" in driver.text()
        await driver.press("d")
        assert "2 readings" not in driver.text()
        await driver.press("u")
        assert "45 (2 readings, 44–46)" in driver.text()
        await driver.press("escape")
        assert "hardness: 45 (2 readings, 44–46)" in driver.text()

        await driver.press("6")
        while "[Firings]" not in driver.said("#pages"):
            await driver.press("right")
        await driver.press("home", "a")
        assert "soot in the kiln of firing F1" in driver.text() and "1 none, 3 some, 5 black" in driver.text()
        await driver.write("4")
        assert "between some and black" in driver.text()
        await driver.press("ctrl+s")
        assert "Read of firing F1" in driver.text() and "soot in the kiln        4" in driver.text()
        await driver.press("escape")
        while "[Lots]" not in driver.said("#pages"):
            await driver.press("right")
        await driver.press("home", "a")
        await driver.fill(left_g="2 g")
        await driver.press("ctrl+s")
        assert "still to be read: sieved g" in driver.text()
        await driver.press("a")
        assert "2 g read already" in driver.text()
        await driver.fill(sieved_g="100 g")
        await driver.press("ctrl+s")
        assert "sieve residue           2.0 %" in driver.text()
        assert "sieve residue = 100 × left g ÷ sieved g" in driver.text()  # and why, without a further key
        await driver.press("escape")
        while "[Families]" not in driver.said("#pages"):
            await driver.press("right")
        await driver.press("home", "a")
        assert "go to their page" in driver.text()

        while "[Runs]" not in driver.said("#pages"):
            await driver.press("left")
        await driver.press("home", "enter")
        assert "skin: not read yet: a" in driver.text()
        await driver.press("a")
        await driver.write("0.5")
        await driver.press("ctrl+s", "escape")
        assert "skin: 0.5 mm" in driver.text()
        await driver.press("b", "a")  # its batch
        await driver.write("sour")
        await driver.press("ctrl+s", "escape")
        assert "Batch W-1-1" in driver.text() and "smell: sour" in driver.text()

        await driver.press("o")  # water by volume, and by volume water alone
        await driver.fill(mass_g="0.1 L")
        assert "= 100 mL at 0.998 g/mL = 99.8 g" in driver.text()
        await driver.fill(event="sampled")
        await driver.fill(mass_g="0.1 L")
        assert "99.8 g" not in driver.text() and "Type its mass" in driver.text()
        await driver.press("escape")

        await driver.press("5", "home", "enter", "a")
        assert "No property of a body is declared in this lab yet" in driver.text()
        await driver.press("n")
        assert "[body]" in driver.text()
