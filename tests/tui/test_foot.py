"""The keys at the foot: those that work here, with room on a narrow screen, each there to be clicked."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.tui.foot import Foot, FootKey, keys_that_fit
from claybench.tui.keys import PLACES, Key
from tests.tui.driver import SIZES, Driver, opened

_SIGNS = {"escape": "esc", "enter": "⏎", "right": "→", "left": "←", "slash": "/", "question_mark": "?"}
_TYPED_IN = ("mix", "measure", "form", "pour_form", "plan_form", "ring", "study", "whose", "weigh", "files", "pick")
"""Where letters are typed, so that undo has no key and help is F1."""


def foot(keys: tuple[Key, ...]) -> str:
    """As it stands at the foot."""
    shown = (key for key in keys if key.footer and key.words)
    return " ".join(f"{_sign(key.key.split(',')[0])} {key.words}" for key in shown)


def _sign(key: str) -> str:
    return f"^{key.removeprefix('ctrl+')}" if key.startswith("ctrl+") else _SIGNS.get(key, key)


@pytest.mark.parametrize("place", [name for name in PLACES if name != "everywhere"])
def test_every_key_of_the_foot_has_room(place: str) -> None:
    ending = "f1 help" if place in _TYPED_IN else foot(PLACES["everywhere"][1])
    assert ending.endswith("help")
    assert len(f"{foot(PLACES[place][1])} {ending}") <= SIZES[0][0]


KEYS = tuple(FootKey(key, key, words, True) for key, words in (("p", "pour"), ("l", "lift"), ("?", "help")))
"""Six cells each, with one between two."""


@pytest.mark.parametrize(
    ("width", "kept"), [(80, "pl?"), (20, "pl?"), (19, "p?"), (13, "p?"), (12, "?"), (3, "?")], ids=str
)
def test_help_stays_when_the_line_is_short(width: int, kept: str) -> None:
    assert "".join(key.key for key in keys_that_fit(KEYS, width)) == kept


def test_no_keys_no_line() -> None:
    assert keys_that_fit((), 80) == ()


def last_line(driver: Driver) -> str:
    """The last line of the screen."""
    return driver.text().splitlines()[-1].rstrip()


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "140x40"])
async def test_it_follows_the_focus_and_takes_a_click(lab_path: Path, size: tuple[int, int]) -> None:
    async with opened(lab_path, size) as driver:
        assert last_line(driver).startswith("p pour f fluid") and last_line(driver).endswith("u undo ? help")
        await driver.press("5", "slash")
        assert last_line(driver) == "/ filter f1 help"
        await driver.press("escape", "1")
        at = last_line(driver).index("? help")
        await driver.pilot.click(Foot, offset=(at - 1, 0))  # between two keys lies none
        await driver.settle()
        assert last_line(driver).startswith("p pour")
        await driver.pilot.click(Foot, offset=(at + 3, 0))
        await driver.settle()
        assert "Help" in driver.text() and not driver.app.screen.query(Foot)


async def test_the_foot_says_the_same_without_colour_in_a_form_and_on_a_choice(
    lab_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(lab_path, SIZES[0]) as driver:
        assert last_line(driver).startswith("p pour f fluid s sticky w workable x stiff")
        await driver.press("2", "e")
        wanted = "^s save ^r start over esc leave f1 help"
        assert last_line(driver) == wanted
        await driver.go_to("f-shape")
        await driver.settle()
        assert last_line(driver) == wanted, "neither undo nor ? works where a word is typed"
        await driver.press("escape", "6", "slash")
        assert last_line(driver) == "/ filter f1 help"
