"""What speaks against an act is asked in one question, answered by a second key, and an answer holds."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from claybench.acts.recipes import BATCH
from claybench.record.opening import open_lab
from claybench.terms import Run, SlabEvent
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.form import Form
from claybench.tui.forms.layers import ask_touch
from claybench.tui.forms.pieces import ask_reading
from claybench.tui.forms.question_screen import QuestionScreen
from claybench.tui.forms.slab_log import ask_old_slab, ask_slab_event
from claybench.work.runs import add_check
from tests.acts.bench import NOW, make_bench
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, opened

pytestmark = pytest.mark.slow

OTHER_KEYS = ("ctrl+s", "enter", "y", "n", "space", "tab", "u", "ctrl+r", "1")
"""Keys one is at already, or that might be taken for an answer."""


def _runs(path: Path) -> list[str]:
    lab = open_lab(path)
    with lab.reading() as record:
        found = [run.run for run in record.rows(Run)]
    lab.close()
    return found


async def test_red_slip_on_a_suspect_white_slab_is_asked_about_once(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    before = _runs(path)
    async with opened(path, SIZES[0], END) as driver:
        await driver.press("p")
        await driver.fill(slab="P2", batch="R-02-1", layer_mm="10 mm")
        await driver.press("ctrl+s")
        assert isinstance(driver.app.screen, QuestionScreen)
        assert "P2 is suspect: 1." in driver.text() and "P2 is kept for white, this is red." in driver.text()
        assert _runs(path) == before
        # The keys one is at already do not answer it.
        await driver.press("ctrl+s", "enter", "y")
        assert isinstance(driver.app.screen, QuestionScreen) and _runs(path) == before
        await driver.press("escape")
        assert isinstance(driver.app.screen, Form) and "Nothing was saved." in driver.text()
        assert driver.app.screen.typed()["slab"] == "P2"
        await driver.press("ctrl+s", "ctrl+y")
        assert len(_runs(path)) == len(before) + 1


FAMILIES = {
    # how its form is opened, what is typed, and what is asked
    "weigh": (
        lambda app: ask_slab_event(app, "P2", "weighed"),
        {"mass_g": "12.4 kg", "note": "wet?"},
        "and nothing wetted it.",
    ),
    "slab": (
        ask_old_slab,
        {"slab": "P9", "length_mm": "40", "width_mm": "30", "thickness_mm": "5", "note": "in cm?"},
        "The length or diameter is 40 mm; 100 to 1 500 mm is usual.",
    ),
    "touch": (
        lambda app: ask_touch(app, "R1"),
        {"feel": "fluid", "note": "soft?"},
        "a layer does not get softer: fluid?",
    ),
    "measure": (
        lambda app: ask_reading(app, "K3"),
        {"value": "9.4", "note": "a digit?"},
        "The dry length is 9.4 mm; 15 to 400 mm is usual.",
    ),
    "batch": (
        lambda app: ask_act(app, BATCH, {"body": "W-1"}),
        {"dry_mass_g": "1 kg", "water_g": "100 g", "note": "kg?"},
        "The water is 10 % of the dry mass; slip has 30 to 250 %.",
    ),
}


@pytest.mark.parametrize("family", FAMILIES)
async def test_in_every_family_of_act_one_key_answers_and_esc_leaves_all_that_was_typed(
    lab_path: Path, family: str
) -> None:
    opens, typed, said = FAMILIES[family]
    make_bench(lab_path)
    lab = open_lab(lab_path)
    add_check(lab, "R1", "sticky", at=NOW - timedelta(minutes=20))
    lab.close()
    before = _acts(lab_path)
    async with opened(lab_path, SIZES[0], NOW) as driver:
        await opens(driver.app)
        await driver.settle()
        form = driver.app.screen
        assert isinstance(form, Form)
        form.put(**typed)
        await driver.press("ctrl+s")
        screen = driver.app.screen
        assert isinstance(screen, QuestionScreen) and said in [each.text[-len(said) :] for each in screen.questions]
        await driver.press(*OTHER_KEYS)
        assert driver.app.screen is screen and _acts(lab_path) == before
        await driver.press("escape")
        assert driver.app.screen is form and "Nothing was saved." in driver.text()
        assert form.typed().items() >= typed.items() and _acts(lab_path) == before
        await driver.press("ctrl+s", "ctrl+y")
        assert driver.app.screen is not form
        assert _acts(lab_path) == before + 1


async def test_what_is_typed_after_a_question_is_asked_about_anew(lab_path: Path) -> None:
    make_bench(lab_path)
    async with opened(lab_path, SIZES[0], NOW) as driver:
        await ask_slab_event(driver.app, "P2", "weighed")
        await driver.settle()
        await driver.fill(mass_g="12.4 kg")
        await driver.press("ctrl+s", "escape")
        await driver.fill(mass_g="9.98 kg")
        await driver.press("ctrl+s")
        assert not isinstance(driver.app.screen, QuestionScreen | Form)
    lab = open_lab(lab_path)
    with lab.reading() as record:
        assert [row.mass_g for row in record.rows(SlabEvent, slab="P2", event="weighed")] == [10_000.0, 9_980.0]
    lab.close()


def _acts(path: Path) -> int:
    lab = open_lab(path)
    with lab.reading() as record:
        found = record.last_act()
    lab.close()
    return found
