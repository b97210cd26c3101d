"""Driving the screen with keys only, on a lab whose clock moves when told to."""

from __future__ import annotations

import asyncio
import unicodedata
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from textual import events
from textual.keys import REPLACED_KEYS, _character_to_key, _get_unicode_name_from_key
from textual.pilot import Pilot
from textual.widgets import Static

from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.tui.app import NotebookApp
from claybench.tui.row_lines import RowLines
from claybench.tui.text_screen import TextLines

SIZES = [(80, 24), (140, 40)]


class Clock:
    """The lab's clock."""

    def __init__(self, start: datetime) -> None:
        self.time = start
        self.moved: Callable[[], object] = lambda: None
        """Called when time has gone by."""

    def __call__(self) -> datetime:
        return self.time

    def forward(self, minutes: float) -> None:
        """Move on."""
        self.time += timedelta(minutes=minutes)
        self.moved()


class Driver:
    """Types and reads; never touches a widget."""

    def __init__(self, pilot: Pilot[Any], app: NotebookApp, clock: Clock, threads: _Threads) -> None:
        self.pilot = pilot
        self.app = app
        self.clock = clock
        self.threads = threads

    async def rest(self) -> None:
        """Wait until no message is under way, nothing runs in a thread, and the screen is painted.

        The loop is asked instead of the clock: the pilot's own pause waits until the process seems idle, which costs
        more than what is tested and takes a thread that waits for the disk for idleness.
        """
        loop: Any = asyncio.get_running_loop()
        while True:
            await asyncio.sleep(0)
            if loop._ready:
                continue  # others have a turn to take
            if under_way := self.threads.under_way():
                await asyncio.wait(under_way)
            elif not self.app.animator._complete_event.is_set():
                await self.app.animator.wait_until_complete()
            elif not self._paint():
                return

    def _paint(self) -> bool:
        """Paint now what waits for the next frame; False when nothing does."""
        screen = self.app.screen
        waiting = (
            screen._layout_required
            or screen._scroll_required
            or screen._repaint_required
            or screen._recompose_required
            or screen._dirty_widgets
            or screen._callbacks
        )
        if waiting:
            screen._on_timer_update()
        return bool(waiting)

    async def settle(self) -> None:
        """Wait until every worker is done and the screen is painted."""
        await self.rest()
        while workers := list(self.app.workers):
            await asyncio.wait([asyncio.ensure_future(worker.wait()) for worker in workers])
            await self.rest()
        if self.app.mishaps:
            raise self.app.mishaps[0]

    async def tap(self, *keys: str) -> None:
        """Press keys one after another, each when the one before has done what it does at once."""
        for key in keys:
            self.send(key)
            await self.rest()

    def send(self, *keys: str) -> None:
        """Have keys arrive from the terminal all together."""
        for key in keys:
            event = _key(key)
            event.set_sender(self.app)
            self.app._driver.send_message(event)

    async def press(self, *keys: str) -> None:
        """Press keys one after another and wait for what they began."""
        await self.tap(*keys)
        await self.settle()

    async def fill(self, **typed: str) -> None:
        """Go to each field with the arrows and type into it."""
        for name, text in typed.items():
            await self.go_to(f"f-{name}")
            await self.clear()
            await self.write(text)
        await self.settle()

    async def go_to(self, field: str) -> None:
        """Arrow to where the field lies, then the other way, until it has the focus."""
        names = [each.id for each in self.app.screen.focus_chain]
        focused = self.app.focused
        above = focused is not None and field in names[: names.index(focused.id) if focused.id in names else 0]
        for key in ("up", "down") if above else ("down", "up"):
            before = None
            for _ in range(30):
                focused = self.app.focused
                if focused is not None and focused.id == field:
                    return
                if focused is not None and focused is before:
                    break  # the end of the form
                before = focused
                await self.tap(key)
        raise AssertionError(f"no field {field} on this screen")

    async def clear(self) -> None:
        """Empty the field."""
        await self.tap("end", "ctrl+u")

    async def write(self, text: str) -> None:
        """Type a text, quicker than the screen is painted."""
        self.send(*text)
        await self.rest()

    def text(self) -> str:
        """Everything the screen says."""
        return "\n".join(
            "".join(segment.text for segment in strip) for strip in self.app.screen._compositor.render_strips()
        )

    def said(self, id: str) -> str:
        """What one text on the screen says, its lines whole."""
        shown = self.app.screen.query_one(id, Static)
        if isinstance(shown, RowLines):
            return "\n".join(line.text for line in shown.lines)
        return "\n".join(shown.lines) if isinstance(shown, TextLines) else str(shown.render())


class _Threads:
    """What the loop has given to its threads and not yet got back."""

    def __init__(self) -> None:
        loop: Any = asyncio.get_running_loop()
        give = loop.run_in_executor
        self._given: set[asyncio.Future[Any]] = set()

        def given(*what: Any) -> asyncio.Future[Any]:
            future: asyncio.Future[Any] = give(*what)
            self._given.add(future)
            return future

        loop.run_in_executor = given

    def under_way(self) -> set[asyncio.Future[Any]]:
        """What is not yet back."""
        self._given = {each for each in self._given if not each.done()}
        return self._given


def _key(key: str) -> events.Key:
    """A key by its name, or a mark by the key that types it."""
    if len(key) == 1:
        return events.Key(_character_to_key(key), key)
    try:
        return events.Key(key, unicodedata.lookup(_get_unicode_name_from_key(REPLACED_KEYS.get(key, key))))
    except KeyError:
        return events.Key(key, None)


@asynccontextmanager
async def opened(
    path: Path, size: tuple[int, int] = SIZES[0], start: datetime = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
) -> AsyncIterator[Driver]:
    """The notebook on a lab file."""
    clock = Clock(start)
    opener: Callable[[], Lab] = lambda: _with_clock(path, clock)  # noqa: E731
    app = NotebookApp(opener=opener)
    clock.moved = app.clear_notifications  # none of them stays for minutes
    threads = _Threads()
    async with app.run_test(size=size, notifications=True) as pilot:
        driver = Driver(pilot, app, clock, threads)
        await app.opened.wait()
        await driver.settle()
        yield driver


def _with_clock(path: Path, clock: Clock) -> Lab:
    lab = open_lab(path)
    lab.now = clock
    return lab
