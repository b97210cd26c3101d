"""One family of errors: every message says what is wrong and what would work.

The command line prints them on stderr with an exit code; the screen shows them
as a notice. Nothing else in claybench raises to the user.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class ClaybenchError(Exception):
    """Root of the family: a title, a reason, and what to do about it."""

    title = "claybench stopped"
    exit_code = 1

    def __init__(self, reason: str, remedy: str = "") -> None:
        super().__init__(reason)
        self.reason = reason
        self.remedy = remedy

    def __str__(self) -> str:
        return f"{self.reason} {self.remedy}".strip()


class BadInput(ClaybenchError, ValueError):
    """Something typed or handed in cannot be used; `field` names where it stands."""

    title = "This entry cannot be used"
    exit_code = 2

    def __init__(self, reason: str, remedy: str = "", *, field: str = "") -> None:
        super().__init__(reason, remedy)
        self.field = field


class OutOfRange(BadInput):
    """A number lies outside what the formula or the record accepts."""

    title = "Out of range"


class CannotOpen(ClaybenchError):
    """The lab cannot be opened: not a lab, newer, locked, read-only or damaged."""

    title = "The lab was not opened"
    exit_code = 3


class NotFound(ClaybenchError):
    """A code that the record does not know."""

    title = "Not in this lab"
    exit_code = 4


class Refused(ClaybenchError):
    """An act the record will not do: something refers to the row, or it has moved on."""

    title = "Not done"
    exit_code = 5


@dataclass(frozen=True, slots=True)
class Question:
    """Something that speaks against an act, which a person may still want."""

    kind: str
    """A short word for the rule, such as saturated, other_family or unusual."""
    text: str
    """The whole sentence."""
    field: str = ""
    """The field it is about; empty where it is about the act as a whole."""
    about: str = ""
    """The slab or batch whose state it is; empty where it is about this entry alone."""
    short: str = ""
    """The sentence without what it is about, for a list in which that stands beside it."""
    fact: str = ""
    """What it rests on: an answer holds for `about` until this changes. Empty: asked each time."""
    choices: tuple[str, ...] = ()
    """Answers to choose among, where one says more than yes; another may be typed."""
    answer: str = ""
    """What was answered, where it has choices; empty where the act is only meant all the same."""


class Unanswered(ClaybenchError):
    """An act that is asked about: nothing was written, and it is done when it is wanted anyway."""

    title = "Is this meant?"
    exit_code = 7

    def __init__(self, questions: Sequence[Question]) -> None:
        super().__init__("\n".join(question.text for question in questions))
        self.questions = tuple(questions)


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a file: where it stands and why it cannot be taken."""

    file: str
    """File name inside the folder."""
    line: int
    """Line in the file, the header being line 1; 0 when it concerns the whole file."""
    column: str
    """Column name; empty when it concerns the whole line."""
    reason: str
    """What is wrong and what would work."""
    typed: str = ""
    """What stands there, where that is worth showing."""

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        if self.typed:
            typed = self.typed if len(self.typed) <= 40 else f"{self.typed[:39]}…"
            return f"{place}: {self.column}: '{typed}': {self.reason}"
        return f"{place}: {self.column}: {self.reason}" if self.column else f"{place}: {self.reason}"


class FaultyFolder(ClaybenchError):
    """An import that was refused whole; carries every fault found."""

    title = "Nothing was imported"
    exit_code = 6

    def __init__(self, faults: list[Fault]) -> None:
        count = len(faults)
        super().__init__(
            f"{count} fault{'s' if count != 1 else ''} found, so nothing was written.",
            "Mend the lines named and import again.",
        )
        self.faults = faults
