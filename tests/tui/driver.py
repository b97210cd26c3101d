"""Driving the screen with keys only, on a lab whose clock moves when told to."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from textual.pilot import Pilot
from textual.widgets import Static

from claybench.record import Lab, open_lab
from claybench.tui.app import Notebook

SIZES = [(80, 24), (140, 40)]


class Clock:
    """The lab's clock."""

    def __init__(self, start: datetime) -> None:
        self.time = start

    def __call__(self) -> datetime:
        return self.time

    def forward(self, minutes: float) -> None:
        """Move on."""
        self.time += timedelta(minutes=minutes)


class Driver:
    """Types and reads; never touches a widget."""

    def __init__(self, pilot: Pilot[Any], app: Notebook, clock: Clock) -> None:
        self.pilot = pilot
        self.app = app
        self.clock = clock

    async def settle(self) -> None:
        """Wait until every worker is done and the screen is painted."""
        for _ in range(8):
            await self.pilot.pause()
            if not list(self.app.workers):
                break
            await self.app.workers.wait_for_complete()
        if self.app.mishaps:
            raise self.app.mishaps[0]

    async def press(self, *keys: str) -> None:
        """Press keys one after another."""
        for key in keys:
            await self.pilot.press(key)
        await self.settle()

    async def fill(self, **typed: str) -> None:
        """Go to each field with the arrows and type into it."""
        for name, text in typed.items():
            await self.go_to(f"f-{name}")
            await self.clear()
            await self.write(text)
        await self.settle()

    async def go_to(self, field: str) -> None:
        """Arrow down, then up, until the field has the focus."""
        for key in ("down", "up"):
            before = None
            for _ in range(30):
                focused = self.app.focused
                if focused is not None and focused.id == field:
                    return
                if focused is not None and focused is before:
                    break  # the end of the form
                before = focused
                await self.pilot.press(key)
        raise AssertionError(f"no field {field} on this screen")

    async def clear(self) -> None:
        """Empty the field."""
        await self.pilot.press("end", "ctrl+u")

    async def write(self, text: str) -> None:
        """Type a text."""
        await self.pilot.press(*[_KEYS.get(mark, mark) for mark in text])

    def text(self) -> str:
        """Everything the screen says."""
        return "\n".join(
            "".join(segment.text for segment in strip) for strip in self.app.screen._compositor.render_strips()
        )

    def said(self, id: str) -> str:
        """What one text on the screen says."""
        return str(self.app.screen.query_one(id, Static).render())


_KEYS = {
    " ": "space",
    ",": "comma",
    ".": "full_stop",
    "/": "slash",
    "-": "minus",
    "%": "percent_sign",
    "'": "apostrophe",
    "[": "left_square_bracket",
    "]": "right_square_bracket",
    ":": "colon",
}


@asynccontextmanager
async def opened(
    path: Path, size: tuple[int, int] = SIZES[0], start: datetime = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
) -> AsyncIterator[Driver]:
    """The notebook on a lab file."""
    clock = Clock(start)
    opener: Callable[[], Lab] = lambda: _with_clock(path, clock)  # noqa: E731
    app = Notebook(opener=opener)
    async with app.run_test(size=size, notifications=True) as pilot:
        driver = Driver(pilot, app, clock)
        await app.opened.wait()
        await driver.settle()
        yield driver


def _with_clock(path: Path, clock: Clock) -> Lab:
    lab = open_lab(path)
    lab.now = clock
    return lab
