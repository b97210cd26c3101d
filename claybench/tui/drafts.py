"""What was typed into a form and not saved yet: kept on disk at every change, so that nothing is lost."""

from __future__ import annotations

import hashlib
import json
from contextlib import suppress
from pathlib import Path

from claybench.exchange.files import state_folder, write_whole


class Drafts:
    """The drafts of one lab."""

    def __init__(self, lab: str) -> None:
        self._folder = state_folder() / "drafts" / hashlib.sha256(lab.encode()).hexdigest()[:16]

    def load(self, form: str) -> dict[str, str]:
        """What was typed last; empty where nothing was, or where the file cannot be read."""
        try:
            typed = json.loads(self._path(form).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        if not isinstance(typed, dict):
            return {}
        return {str(name): str(text) for name, text in typed.items()}

    def keep(self, form: str, typed: dict[str, str]) -> None:
        """Keep what is typed."""
        if not any(typed.values()):
            self.drop(form)
            return
        with suppress(OSError):  # a full disk must not stop the typing itself
            write_whole(self._path(form), json.dumps(typed, ensure_ascii=False))

    def drop(self, form: str) -> None:
        """Forget a draft."""
        self._path(form).unlink(missing_ok=True)

    def _path(self, form: str) -> Path:
        return self._folder / f"{hashlib.sha256(form.encode()).hexdigest()[:16]}.json"
