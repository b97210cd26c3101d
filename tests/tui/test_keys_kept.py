"""Keys pressed while something is opening are kept, in order, and land in what opens; they set off nothing else."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from claybench.record.history import list_acts
from tests.sample import END, copy_lab
from tests.tui.driver import Driver, opened

pytestmark = pytest.mark.slow


class Held:
    """A question to the record that is answered when it is let go."""

    def __init__(self, ask: Callable[..., Any]) -> None:
        self._ask, self.asked, self.go = ask, threading.Event(), threading.Event()

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        self.asked.set()
        assert self.go.wait(20)
        return self._ask(*args, **kwargs)


def hold(monkeypatch: pytest.MonkeyPatch, module: str, name: str) -> Held:
    """Hold a question up."""
    import importlib

    home = importlib.import_module(module)
    held = Held(getattr(home, name))
    monkeypatch.setattr(home, name, held)
    return held


async def _asked(held: Held) -> None:
    await asyncio.to_thread(held.asked.wait, 20)


def _acts(driver: Driver) -> int:
    with driver.app.lab.reading() as record:
        return len(list_acts(record, limit=1000))


@pytest.fixture
def sample(sample_lab_file: Path, tmp_path: Path) -> Path:
    """The sample lab."""
    return copy_lab(sample_lab_file, tmp_path / "lab.claybench")


@pytest.mark.parametrize("together", [True, False], ids=["all at once", "one by one"])
async def test_what_is_typed_while_the_pour_form_opens_stands_in_it(
    sample: Path, monkeypatch: pytest.MonkeyPatch, together: bool
) -> None:
    pouring = hold(monkeypatch, "claybench.ask.runs", "pour_choice")
    async with opened(sample, start=END) as driver:
        before = _acts(driver)
        if together:
            driver.send("p", *"xu1Q")
            await _asked(pouring)
        else:
            driver.send("p")
            await _asked(pouring)
            for key in "xu1Q":
                driver.send(key)
                await driver.pilot.pause()
        assert driver.app.screen.place == "bench"  # type: ignore[attr-defined]
        pouring.go.set()
        await driver.settle()
        assert "Pour slip on a slab" in driver.text()
        assert driver.app.focused is not None and driver.app.focused.value.endswith("xu1Q")  # type: ignore[attr-defined]
        assert _acts(driver) == before


async def test_letters_after_enter_reach_the_next_field(sample: Path) -> None:
    async with opened(sample, start=END) as driver:
        await driver.press("2", "e")
        driver.send(*"N1", "enter", *"buff")
        await driver.settle()
        typed = driver.app.screen.typed()  # type: ignore[attr-defined]
        assert (typed["slab"], typed["family"]) == ("N1", "buff")


async def test_a_key_after_enter_on_a_line_goes_to_its_page(sample: Path) -> None:
    async with opened(sample, start=END) as driver:
        driver.send("2", "enter", "m", *"8750")
        await driver.settle()
        assert "8750" in driver.text() and driver.app.screen.place == "form"  # type: ignore[attr-defined]


async def test_a_digit_typed_on_the_way_to_sizing_is_text(sample: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    start = hold(monkeypatch, "claybench.ask.sizing_start", "sizing_start")
    async with opened(sample, start=END) as driver:
        driver.send("3")
        await _asked(start)
        driver.send(*"1k2")
        await driver.pilot.pause()
        start.go.set()
        await driver.settle()
        assert "[3 Mix]" in driver.text() and "1k2" in driver.text()


async def test_leaving_a_screen_does_not_wait_for_what_it_shows(sample: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    slabs = hold(monkeypatch, "claybench.ask.slabs", "slab_list")
    async with opened(sample, start=END) as driver:
        driver.send("2")
        await _asked(slabs)
        driver.send("1")
        await driver.pilot.pause()
        assert "[1 Bench]" in driver.text()
        slabs.go.set()
        await driver.settle()


async def test_an_act_that_opens_nothing_holds_no_key_up(sample: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    deleting = hold(monkeypatch, "claybench.work.any_row", "delete_row")
    async with opened(sample, start=END) as driver:
        await driver.press("6", *["right"] * 4)
        driver.send("d")
        await _asked(deleting)
        driver.send("2")
        await driver.pilot.pause()
        assert "[2 Slabs]" in driver.text()
        deleting.go.set()
        await driver.settle()


async def test_nobody_answers_a_question_before_it_is_seen(sample: Path) -> None:
    """Ctrl+y does again what was taken back, and says yes to a question: pressed before it stood there, neither."""
    async with opened(sample, start=END) as driver:
        while not driver.app.screen.layers_here():  # type: ignore[attr-defined]
            await driver.press("down")
        await driver.press("x")
        driver.clock.forward(1)
        before = _acts(driver)
        driver.send("f", "ctrl+y")
        await driver.settle()
        assert "Is this meant?" in driver.text() and _acts(driver) == before
        await driver.press("ctrl+y")
        assert "Is this meant?" not in driver.text() and _acts(driver) == before + 1
