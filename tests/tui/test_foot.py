"""The keys at the foot of each screen have room on a narrow one: the last of them is how to get help."""

from __future__ import annotations

import pytest

from claybench.tui.keys import PLACES, Key
from tests.tui.driver import SIZES

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
