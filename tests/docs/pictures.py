"""Takes the pictures of the docs from the real screen on the sample lab: `python -m tests.docs.pictures`.

Names after it take only these.
"""

from __future__ import annotations

import asyncio
import os
import re
import shutil
import sys
import tempfile
from collections.abc import Collection
from pathlib import Path

from tests.docs.reference import DOCS
from tests.sample import END, copy_lab, make_sample
from tests.tui.driver import Driver, opened

SIZE = (96, 30)
SHOTS: dict[str, tuple[tuple[str, ...], str]] = {
    "bench": (("1",), "What is on the slabs, how long yet, what is due next"),
    "where": (("1", "b", "b", "ctrl+u", "B", "minus", "0", "1", "enter"), "Which slab is best now"),
    "run": (("1", "down", "down", "down", "down", "enter"), "One layer, from the pour to the lift"),
    "slab": (("2", "down", "enter"), "One slab, its water and what happened to it"),
    "mix-slab": (("3", "ctrl+b"), "Sizing a slab"),
    "pour": (("3", "ctrl+b"), "The pour of a slab, step by step"),
    "dry-out": (("2", "down", "down", "down", "down", "down", "down", "enter", "right"), "A slab drying out"),
    "weigh": (("3", "ctrl+l"), "Weighing out, one material at a time"),
    "mix-slip": (("3", "ctrl+l"), "Sizing a batch of slip"),
    "read": (("R",), "A table of one's own, column by column"),
    "pieces": (("4",), "Test pieces with what follows from their readings"),
    "plan-form": (("7", "e"), "Writing a plan"),
    "plan": (("7", "enter"), "What a plan proposes"),
    "triangle": (("7", "enter", "right"), "Three materials as a triangle"),
    "calendar": (("7", "enter", "right", "right"), "The calendar of a set"),
    "set": (("7", *("down",) * 9, "enter"), "One set followed"),
    "measure": (("4", "slash", *"W-12-2", "enter", "m"), "A digit that slipped is asked about"),
    "scatter": (("4", "s"), "How much of the scatter is the caliper and the hand"),
    "whose-bar": (("W",), "Whose bar is it?"),
    "plasticity": (("ctrl+p",), "Liquid and plastic limit of a batch"),
    "compare": (("5", "down", "down", "down", "space", "space", "space", "c"), "Bodies side by side"),
    "differences": (
        ("5", "down", "down", "down", "space", "space", "space", "c", "v", "right"),
        "How far bodies lie from their control",
    ),
    "heat": (
        ("5", *["down"] * 10, "space", "end", *["up"] * 5, "space", "c", "v", "v"),
        "Where bodies are tight",
    ),
}


async def take(folder: Path, names: Collection[str]) -> None:
    """Take these pictures into a folder."""
    with tempfile.TemporaryDirectory() as place:
        os.environ["CLAYBENCH_STATE"] = str(Path(place) / "state")
        sample = make_sample(Path(place) / "sample.claybench")
        (Path(place) / "plans").mkdir()
        shutil.copy(DOCS / "less-shrinkage.toml", Path(place) / "plans")
        for name in names:
            keys, title = SHOTS[name]
            lab = copy_lab(sample, Path(place) / f"{name}.claybench")
            async with opened(lab, SIZE, END) as driver:
                await _shoot(driver, keys)
                if name == "mix-slab":
                    await driver.fill(length_mm="50 cm", width_mm="40 cm", depth_mm="1 3/4 in")
                if name == "pour":
                    await _pour(driver)
                if name == "weigh":
                    await _weigh(driver)
                if name == "read":
                    await _read(driver)
                if name == "measure":
                    await driver.write("59.4")
                    await driver.press("enter")
                if name == "whose-bar":
                    await _whose(driver)
                if name == "plasticity":
                    await driver.write("B-01-2")
                    await driver.press("enter", "enter", "t")
                svg = driver.app.export_screenshot(title=f"claybench: {title}")
            (folder / f"{name}.svg").write_text(_alone(svg), encoding="utf-8")


async def _shoot(driver: Driver, keys: tuple[str, ...]) -> None:
    for key in keys:
        await driver.press(key)
    await driver.settle()


async def _pour(driver: Driver) -> None:
    await driver.fill(length_mm="50 cm", width_mm="40 cm", depth_mm="1 3/4 in")
    await driver.press("ctrl+n", "ctrl+s", "enter")
    await driver.write("14")
    await driver.press("ctrl+s")
    for minutes in (1.5, 2.2):
        driver.clock.forward(minutes)
        await driver.press("enter")
    driver.clock.forward(2.6)
    driver.app.screen.tick(driver.clock.time)
    await driver.settle()


async def _read(driver: Driver) -> None:
    from claybench.exchange.reading.mapping import save_mapping

    save_mapping("kiln book", (DOCS / "examples" / "kiln-book.toml").read_text(encoding="utf-8"))
    await driver.write(str(DOCS / "examples" / "kiln-book.csv"))
    await driver.press("enter")
    await driver.write("with its measurements")
    await driver.press("enter", "m", "enter")
    driver.app.clear_notifications()
    await driver.settle()


async def _whose(driver: Driver) -> None:
    for text in ("88,4 mm", "55.7", "", "F-08"):
        await driver.write(text)
        await driver.press("enter")


async def _weigh(driver: Driver) -> None:
    await driver.press("ctrl+n", "ctrl+s")
    await driver.write("291")
    await driver.press("enter")
    driver.app.clear_notifications()
    await driver.settle()


def _alone(svg: str) -> str:
    """Without fonts from elsewhere and without names that change from one picture to the next."""
    svg = re.sub(r"@font-face \{.*?\}", "", svg, flags=re.DOTALL)
    svg = re.sub(r"terminal-\d+", "terminal", svg)
    return re.sub(r"[ \t]+\n", "\n", svg.replace("Fira Code", "DejaVu Sans Mono")) + "\n"


def main() -> None:
    """Take those named, or all."""
    folder = DOCS / "pictures"
    folder.mkdir(exist_ok=True)
    asyncio.run(take(folder, sys.argv[1:] or SHOTS))


if __name__ == "__main__":
    main()
