"""What was worked out last, for whoever asks from the very same data again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

Answer = TypeVar("Answer")


class KeptAnswer(Generic[Answer]):
    """Keeps one answer with the data that it follows from.

    Data are compared by what they say, so that nothing has to be told when they change.
    """

    def __init__(self) -> None:
        self._last: tuple[object, Answer] | None = None

    def given(self, data: object, work_out: Callable[[], Answer]) -> Answer:
        """The answer that follows from these data."""
        last = self._last
        if last is None or last[0] != data:
            self._last = last = None  # an old answer is not held while its successor takes shape
            last = data, work_out()
            self._last = last
        return last[1]
