"""Where a person's drafts and saved mappings live on this machine."""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs


def state_folder() -> Path:
    """The folder of this user's state; `CLAYBENCH_STATE` names another one."""
    named = os.environ.get("CLAYBENCH_STATE")
    return Path(named) if named else platformdirs.user_state_path("claybench", appauthor=False)
