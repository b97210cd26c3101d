"""What a material is, answered on the screen that asks: chosen, or named, and kept with the act."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.acts.recipes import BODY
from claybench.record.opening import open_lab
from claybench.terms import Material
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.question_screen import QuestionScreen
from tests.acts.bench import NOW, make_bench
from tests.tui.driver import SIZES, opened

pytestmark = pytest.mark.slow


def _materials(path: Path) -> dict[str, tuple[str | None, str | None]]:
    lab = open_lab(path)
    with lab.reading() as record:
        rows = record.rows(Material)
    lab.close()
    return {row.material: (row.kind, row.caution) for row in rows}


async def test_each_material_is_answered_in_place(lab_path: Path) -> None:
    make_bench(lab_path)
    before = _materials(lab_path)
    async with opened(lab_path, SIZES[0], NOW) as driver:
        await ask_act(driver.app, BODY)
        await driver.settle()
        await driver.fill(body="N-1", recipe="grey spar 50, [/b] powder 30, black stuff 20")
        await driver.press("ctrl+s")
        screen = driver.app.screen
        assert isinstance(screen, QuestionScreen) and "What is [/b] powder?" in driver.text()
        assert driver.text().count("[unknown]") == 3  # as it would be recorded
        await driver.write("feld")
        assert "[feldspar or flux]" in driver.text()
        await driver.press("enter")
        await driver.write("subst")
        await driver.press("down")
        await driver.write("nonsense")
        await driver.press("ctrl+y")
        assert driver.app.screen is screen and "'nonsense' is no substance that is known here" in driver.text()
        assert _materials(lab_path) == before
        await driver.clear()
        await driver.write("lead carbonate")
        await driver.press("enter", "ctrl+y")
        assert _materials(lab_path).items() - before.items() == {
            ("grey spar", ("flux", None)),
            ("[/b] powder", (None, "is lead carbonate")),
            ("black stuff", ("other", None)),
        }
        await driver.press("u")
    assert _materials(lab_path) == before
