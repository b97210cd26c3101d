"""Keys beyond the data itself, for the common acts of a bench day; the table of docs/promises.md is made of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import Check, Piece, Run, SlabEvent
from claybench.tui.forms.question_screen import QuestionScreen
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, opened

pytestmark = pytest.mark.slow

Step = tuple[str, ...] | str
"""Keys, or a text that is typed: the data."""


@dataclass(frozen=True)
class Counted:
    """One act from the bench: its keys and its data, how many keys it may take, what is then in the record."""

    name: str
    steps: tuple[Step, ...]
    most: int
    done: Callable[[Lab], bool]

    @property
    def keys(self) -> int:
        """Keys that are no data."""
        return sum(len(step) for step in self.steps if isinstance(step, tuple))


def has(kind: type, **wanted: object) -> Callable[[Lab], bool]:
    def found(lab: Lab) -> bool:
        with lab.reading() as record:
            rows = record.rows(kind)
        return any(all(getattr(row, name) == value for name, value in wanted.items()) for row in rows)

    return found


COUNTED = (
    Counted("touch the layer on the line, now", (("w",),), 1, has(Check, run="D149", feel="workable")),
    Counted("lift it, with the clay's mass", (("w", "l"), "1500", ("ctrl+s",)), 3,
            has(Run, run="D149", clay_off_g=1500.0)),
    Counted("pour by the names of batch and slab",
            (("p",), "P3", ("up", "end", "ctrl+u"), "B-05-5", ("down", "down", "down"), "10", ("ctrl+s", "ctrl+y")), 9,
            has(Run, slab="P3", batch="B-05-5", layer_mm=10.0)),
    Counted("weigh a slab, now", (("down", "m"), "9500", ("ctrl+s", "ctrl+y")), 4,
            has(SlabEvent, slab="P2", event="weighed", mass_g=9500.0)),
    Counted("weigh a slab an hour ago", (("down", "m"), "9500", ("enter",), "1 h ago", ("ctrl+s", "ctrl+y")), 5,
            has(SlabEvent, slab="P2", event="weighed", mass_g=9500.0)),
    Counted("form eight bars of a layer",
            (("enter", "n", "down", "down", "end", "ctrl+u"), "8", ("ctrl+s",)), 9, has(Piece, run="D149")),
    Counted("note the air", (("a",), "19", ("enter",), "55", ("ctrl+s",)), 3, lambda lab: True),
)  # fmt: skip


@pytest.mark.parametrize("act", COUNTED, ids=lambda act: act.name)
async def test_an_act_takes_no_more_keys(act: Counted, sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        for step in act.steps:
            if isinstance(step, str):
                await driver.write(step)
                continue
            for key in step:
                if key == "ctrl+y" and not isinstance(driver.app.screen, QuestionScreen):
                    continue
                await driver.press(key)
    lab = open_lab(path)
    assert act.done(lab), act.name
    lab.close()
    assert act.keys <= act.most


def test_the_docs_say_how_many() -> None:
    text = (Path(__file__).parent.parent.parent / "docs" / "promises.md").read_text(encoding="utf-8")
    for act in COUNTED:
        assert f"| {act.name} | {act.keys} |" in text, (act.name, act.keys)
