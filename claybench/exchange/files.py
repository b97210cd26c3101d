"""Files on this machine: written whole or not at all, and the folder of a person's drafts and saved mappings."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import platformdirs


def state_folder() -> Path:
    """The folder of this user's state; `CLAYBENCH_STATE` names another one."""
    named = os.environ.get("CLAYBENCH_STATE")
    return Path(named) if named else platformdirs.user_state_path("claybench", appauthor=False)


def write_whole(
    path: Path, text: str, *, encoding: str = "utf-8", before: Path | None = None, replace: bool = True
) -> bool:
    """Write a text beside its place and put it there at once, so that no half of it is ever read.

    What stood there before is kept at `before`, where that is given. False where a file is there already that is not
    to be replaced; `OSError` where the place cannot be written to.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".claybench-")
    beside = Path(name)
    try:
        with os.fdopen(handle, "w", encoding=encoding, newline="") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        beside.chmod(0o644)
        if before is not None and path.exists():
            os.replace(path, before)
        if not replace:
            return _put_new(beside, path)
        os.replace(beside, path)
        return True
    finally:
        beside.unlink(missing_ok=True)


def _put_new(beside: Path, path: Path) -> bool:
    """Into its place; one that another program made meanwhile is left alone."""
    try:
        os.link(beside, path)
    except FileExistsError:
        return False
    except OSError:  # a file system without links
        with path.open("xb") as stream:
            stream.write(beside.read_bytes())
    return True
