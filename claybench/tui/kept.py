"""Mappings kept by name on this machine, beside the drafts: small TOML files, the same as commands take."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from claybench.errors import BadInput, NotFound, Refused
from claybench.quantity.shown import natural
from claybench.tui.drafts import state_folder


def folder() -> Path:
    """Where they lie."""
    return state_folder() / "mappings"


def kept_names() -> list[str]:
    """All of them, by name."""
    return sorted((file.stem for file in folder().glob("*.toml")), key=natural)


def keep(name: str, text: str) -> Path:
    """Keep a mapping; one of the same name is replaced."""
    if not name.strip() or name != name.strip() or any(mark in '/\\:*?"<>|' or ord(mark) < 32 for mark in name):
        raise BadInput(f"'{name}' cannot be the name of a mapping.", "Use letters, digits and blanks.", field="name")
    path = folder() / f"{name[:80]}.toml"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(dir=path.parent, prefix=".mapping-")
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            stream.write(text)
        os.replace(beside, path)
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.", "Free some room and keep it again.") from error
    return path


def kept(name: str) -> str:
    """The text of a mapping: a TOML file, or one kept by its name."""
    path = Path(name).expanduser()
    if path.suffix.lower() != ".toml" and name in kept_names():
        path = folder() / f"{name}.toml"
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        names = ", ".join(kept_names())
        remedy = f"Name a TOML file in UTF-8, or one kept by name: {names}." if names else "Name a TOML file in UTF-8."
        raise NotFound(f"The mapping '{name}' cannot be read.", remedy) from error
