"""Keys in the order they were pressed, each handed on when what the one before began has come about.

A key that opens a form asks the record first; what is typed meanwhile is meant for that form, not for the screen that
is still in front. So a key waits for as long as one of these is under way: handling the key before it; a worker of the
usual group, which a key began; putting up a screen, and the first look of that screen. What takes long and opens
nothing says so (`go_beside`) and is waited for by nobody. A question is answered by nobody who has not seen it: what
was typed before it stood there is dropped, with a bell.
"""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Awaitable, Callable
from contextlib import suppress

from textual import events
from textual.app import App
from textual.dom import DOMNode
from textual.message_pump import MessagePump
from textual.worker import NoActiveWorker, Worker, WorkerError, get_current_worker

_AT_ONCE = ("ctrl+q", "ctrl+c")
"""Whatever is under way: closing, and copying what is marked."""
_PAST_A_LOOK = ("escape", "1", "2", "3", "4", "5", "6", "7")
"""Leaving a screen does not wait until it shows anything, unless keys are waiting already."""
_WAITED_FOR = ("default", "fields")
"""Groups of workers that may open something, or put up fields to type into."""
_BESIDE = "beside"
_ROUNDS = 8
"""How often messages that a key led to may lead to others."""

Typed = events.Key | events.Paste


class KeyQueue:
    """Holds what is typed until its turn has come."""

    def __init__(self, app: App[None], deliver: Callable[[Typed], Awaitable[None]]) -> None:
        self._app = app
        self._hand_over = deliver
        self._waiting: deque[tuple[Typed, DOMNode]] = deque()
        """What was typed, and the screen that was in front then."""
        self._handing_on: asyncio.Task[None] | None = None
        self._released = asyncio.Event()

    def take(self, event: Typed) -> bool:
        """Take what was typed; False where it is to be handled at once."""
        if isinstance(event, events.Key) and event.key in _AT_ONCE:
            return False
        self._waiting.append((event, self._app.screen))
        if self._handing_on is None or self._handing_on.done():
            self._handing_on = asyncio.create_task(self._hand_on())
        return True

    def go_beside(self) -> None:
        """Called by a worker that takes long and opens nothing: keys do not wait for it."""
        with suppress(NoActiveWorker):
            get_current_worker().group = _BESIDE
            self._released.set()

    def give_up(self) -> None:
        """What keys wait for never comes about: there is no lab."""
        for worker in self._app.workers:
            if worker.group in _WAITED_FOR:
                worker.cancel()

    def close(self) -> None:
        """Nothing is handed on any more."""
        self._waiting.clear()
        if self._handing_on is not None:
            self._handing_on.cancel()

    async def _hand_on(self) -> None:
        while self._waiting:
            await self._until_free()
            if self._drop_unseen():
                continue
            (event, _), chain = self._waiting.popleft(), list[DOMNode]()
            self._app.call_later(self._deliver, event, chain)
            await _passed(self._app)
            await _settled([*chain, self._app])

    def _drop_unseen(self) -> bool:
        """Drop what was typed before the question that is in front was; True where anything was."""
        screen = self._app.screen
        if not getattr(screen, "is_question", False) or self._waiting[0][1] is screen:
            return False
        self._waiting = deque(each for each in self._waiting if each[1] is screen)
        self._app.bell()
        return True

    async def _deliver(self, event: Typed, chain: list[DOMNode]) -> None:
        target = self._app.focused or self._app.screen
        chain += [node for node in target.ancestors_with_self if node is not self._app]
        await self._hand_over(event)

    async def _until_free(self) -> None:
        while True:
            screen = self._app.screen
            await _passed(screen)  # it is made, and has begun to look
            await _passed(self._app)  # and has the focus where it wants it
            workers = [each for each in self._app.workers if self._holds(each, screen)]
            if screen is self._app.screen and not workers:
                return
            if workers:
                await self._first_end(workers)

    async def _first_end(self, workers: list[Worker[object]]) -> None:
        """Until one of them ends, or takes long by its own account."""
        self._released.clear()
        ends = [asyncio.ensure_future(end) for end in (*map(_ended, workers), _set(self._released))]
        await asyncio.wait(ends, return_when=asyncio.FIRST_COMPLETED)
        for end in ends:
            end.cancel()

    def _holds(self, worker: Worker[object], screen: DOMNode) -> bool:
        if worker.is_finished:
            return False
        if worker.group in _WAITED_FOR:
            return True
        first_look = worker.group == "look" and worker.node is screen and not getattr(screen, "shown", True)
        return first_look and not self._leaves(screen)

    def _leaves(self, screen: DOMNode) -> bool:
        """Whether the key only leaves the screen, so that nobody minds what it will show."""
        first, _ = self._waiting[0]
        if len(self._waiting) > 1 or not isinstance(first, events.Key) or first.key not in _PAST_A_LOOK:
            return False
        return first.key == "escape" or not getattr(screen, "takes_text", False)


async def _set(event: asyncio.Event) -> None:
    await event.wait()


async def _ended(worker: Worker[object]) -> None:
    with suppress(WorkerError):
        await worker.wait()


async def _settled(chain: list[DOMNode]) -> None:
    """Wait until a key and what it led to have gone all the way up."""
    for round_ in range(_ROUNDS):
        if round_ > 1 and not any(node.message_queue_size for node in chain if node.is_running):
            return
        for node in chain:
            await _passed(node)


async def _passed(node: MessagePump) -> None:
    """Wait until a node has handled what it was sent before; at once where it handles nothing any more."""
    passed = asyncio.Event()
    if node.call_later(passed.set):
        await passed.wait()
