"""Which cautions a person has seen at which act: kept beside the drafts, never in the record.

A file that is lost or damaged only means that its cautions are shown whole once more.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from claybench.exchange.files import state_folder, write_whole

if TYPE_CHECKING:
    from claybench.mix.material_cautions import Caution


class SeenCautions:
    """What the people of one lab have seen, a file for each person."""

    def __init__(self, lab: str) -> None:
        self._folder = state_folder() / "seen" / _digest(lab)

    def has_seen(self, person: str, act: str, cautions: Iterable[Caution]) -> bool:
        """Whether the person has seen each of them, word for word, at this act."""
        return set(_marks(act, cautions)) <= self._load(person)

    def add(self, person: str, act: str, cautions: Iterable[Caution]) -> None:
        """The person has seen them at this act."""
        seen = self._load(person) | set(_marks(act, cautions))
        with suppress(OSError):  # a full disk must not stop the act; they are shown whole again
            write_whole(self._path(person), json.dumps(sorted(seen)))

    def _load(self, person: str) -> set[str]:
        try:
            marks = json.loads(self._path(person).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return set()
        return {mark for mark in marks if isinstance(mark, str)} if isinstance(marks, list) else set()

    def _path(self, person: str) -> Path:
        return self._folder / f"{_digest(' '.join(person.split()).casefold())}.json"


def _marks(act: str, cautions: Iterable[Caution]) -> list[str]:
    """A mark for each caution at an act; one whose words changed is another one."""
    return [_digest(f"{act}\n{caution.key}\n{caution.line()}") for caution in cautions]


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]
