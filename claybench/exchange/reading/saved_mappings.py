"""Mappings saved by name on this machine, beside the drafts: small TOML files, as commands take them."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from claybench.errors import BadInput, NotFound, Refused
from claybench.exchange.state_folder import state_folder
from claybench.quantity.shown import natural_key


def mappings_folder() -> Path:
    """Where saved mappings lie."""
    return state_folder() / "mappings"


def saved_mapping_names() -> list[str]:
    """The names of all saved mappings, in the order in which people count."""
    return sorted((file.stem for file in mappings_folder().glob("*.toml")), key=natural_key)


def save_mapping(name: str, text: str) -> Path:
    """Save the TOML text of a mapping by a name; one of the same name is replaced.

    Raises
    ------
    BadInput
        A name that cannot be a file's.
    Refused
        A folder that cannot be written to.
    """
    if not name.strip() or name != name.strip() or any(mark in '/\\:*?"<>|' or ord(mark) < 32 for mark in name):
        raise BadInput(f"'{name}' cannot be the name of a mapping.", "Use letters, digits and blanks.", field="name")
    path = mappings_folder() / f"{name[:80]}.toml"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(dir=path.parent, prefix=".mapping-")
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            stream.write(text)
        os.replace(beside, path)
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.", "Free some room and keep it again.") from error
    return path


def mapping_text(name: str) -> str:
    """The text of a mapping: of a TOML file, or of one saved by this name.

    Raises
    ------
    NotFound
        No such file or name, or a file that is not UTF-8.
    """
    path = Path(name).expanduser()
    if path.suffix.lower() != ".toml" and name in saved_mapping_names():
        path = mappings_folder() / f"{name}.toml"
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        names = ", ".join(saved_mapping_names())
        remedy = f"Name a TOML file in UTF-8, or one kept by name: {names}." if names else "Name a TOML file in UTF-8."
        raise NotFound(f"The mapping '{name}' cannot be read.", remedy) from error
