"""Settings, kept questions and steps of a pour are acts: refused and asked about by the same words everywhere."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from claybench.acts.act import understand_fields
from claybench.acts.settings import setting_act
from claybench.errors import BadInput
from claybench.mix.pour_steps import POUR_STEPS
from claybench.quantity.plausible import describe_unusual_number
from claybench.record.opening import open_lab
from claybench.terms import SETTINGS, STEP_NAMES, SlabEvent
from claybench.tui.table_view import TableView
from tests.cli.conftest import Command
from tests.tui.driver import opened


@pytest.mark.parametrize("name", sorted(name for name, term in SETTINGS.items() if term.column is not None))
def test_every_number_has_a_usual_range_within_the_possible_one_with_its_default_inside(name: str) -> None:
    term = SETTINGS[name]
    assert term.column is not None
    low, high = term.usual
    assert low is not None and high is not None and term.low <= low < high <= term.high
    assert describe_unusual_number(term.column, float(term.default)) == ""


async def test_an_unusual_setting_is_asked_about_by_both(command: Command, lab_path: Path) -> None:
    lab = ("--lab", lab_path)
    said = "The setting 'touch a layer every' is 1 min; 3 to 120 min is usual."
    asked = command("settings", "touch_every_min", "1 min", *lab)
    assert asked.code == 7 and said in asked.err and "--anyway" in asked.err
    assert command("settings", "touch_every_min", *lab).out.split("\n")[1].split()[1] == "15"
    async with opened(lab_path) as driver:
        await driver.press("6")
        while "touch_every_min" not in (names := [row.record for row in driver.app.screen.query_one(TableView).rows]):
            await driver.press("left")
        await driver.press(*["down"] * names.index("touch_every_min"), "enter")
        await driver.fill(value="1 min")
        await driver.press("ctrl+s")
        assert said in " ".join(driver.text().split())
        await driver.press("ctrl+y")
    assert command("settings", "touch_every_min", *lab).out.split("\n")[1].split()[1] == "1"


@pytest.mark.parametrize(
    ("name", "typed"), [("touch_every_min", "0"), ("bag_g", "5 mm"), ("paper", "A3"), ("name", " ")]
)
def test_what_a_setting_cannot_be_is_refused_with_the_same_words(
    command: Command, lab_path: Path, name: str, typed: str
) -> None:
    lab = open_lab(lab_path)
    with pytest.raises(BadInput) as refused:
        understand_fields(setting_act(name).offered(lab), {"value": typed}, lab.now())
    lab.close()
    answer = command("settings", name, typed, "--lab", lab_path)
    assert answer.code == 2 and refused.value.reason.split(": ", 1)[-1].split(".")[0] in answer.err


def test_steps_of_a_pour_by_commands(command: Command, lab_path: Path) -> None:
    lab = ("--lab", lab_path)
    size = ("--length", "500", "--width", "400", "--depth", "45", "--count", "2")
    assert command("mix", "slab", *size, "--record", "P1, P2", *lab).code == 0
    warm = command("pour-step", "P2", "water", "--temp", "50", *lab)
    assert warm.code == 7 and "The temperature of the water is 50 °C; 3 to 35 °C is usual." in warm.err
    assert command("pour-step", "P2", "water", "--temp", "14", *lab).code == 0
    stray = command("pour-step", "P2", "sift", "--temp", "14", *lab)
    assert stray.code == 2 and "--temp says nothing here" in stray.err
    light = command("pour-step", "P1", "weigh", "--mass", "18 g", "--anyway", *lab)
    assert light.code == 2 and "cannot be plaster" in light.err
    assert command("pour-step", "P1", "weigh", "--mass", "14.6 kg", *lab).code == 0
    opened_lab = open_lab(lab_path)
    with opened_lab.reading() as record:
        notes = [row.note for row in record.rows(SlabEvent, event="note") if "water, 14 °C" in (row.note or "")]
        masses = {row.slab: row.mass_g for row in record.rows(SlabEvent, event="weighed")}
    opened_lab.close()
    assert len(notes) == 2 and masses == {"P1": 14_600.0, "P2": None}


def test_the_words_of_a_pour_are_its_steps_and_asking_them_loads_no_sizing() -> None:
    assert tuple(step.name for step in POUR_STEPS) == STEP_NAMES
    code = (
        "import sys, claybench.acts.registry; print([name for name in sys.modules if name.startswith('claybench.mix')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
