"""Plan files on disk: where they live, which are there, reading and writing one. What stands in them is `insight`'s."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from claybench.errors import BadInput, CannotOpen, ClaybenchError, NotFound
from claybench.exchange.files import write_whole
from claybench.insight.plan.design.plan_file import format_plan, parse_plan
from claybench.insight.plan.design.plan_request import PlanRequest
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import natural_key

FOLDER = "plans"
ENDING = ".toml"
BEFORE = ".before"
"""Added to the name of a file under which its last version but one is kept."""


@dataclass(frozen=True, slots=True)
class PlanFile:
    """One plan file, readable or not."""

    path: Path
    request: PlanRequest | None
    fault: str
    """Why it cannot be read; empty where it can."""
    changed: datetime


def folder_beside(lab: Path) -> Path:
    """Where the plans of a lab file live: `plans`, beside it."""
    return lab.parent / FOLDER


def plan_files(folder: Path, others: Iterable[Path] = (), properties: PropertySet = BUILT_IN) -> list[PlanFile]:
    """The plans of a folder and others named one by one, newest first; a file that is gone is left out."""
    paths = [*sorted(folder.glob(f"*{ENDING}")), *others] if folder.is_dir() else list(others)
    files = [_file(path, properties) for path in dict.fromkeys(paths) if path.is_file()]
    return sorted(files, key=lambda file: (file.changed, natural_key(file.path.name)), reverse=True)


def _file(path: Path, properties: PropertySet) -> PlanFile:
    changed = datetime.fromtimestamp(path.stat().st_mtime, UTC)
    try:
        return PlanFile(path, read_plan(path, properties), "", changed)
    except ClaybenchError as error:
        return PlanFile(path, None, str(error), changed)


def read_plan(path: Path, properties: PropertySet = BUILT_IN) -> PlanRequest:
    """The plan of one file; its targets are among these properties.

    Raises
    ------
    NotFound
        A file that cannot be read as UTF-8 text.
    BadInput
        A plan with a fault.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise NotFound(f"The plan '{path}' cannot be read: {error.strerror}.", "Name a plan file.") from error
    except UnicodeDecodeError as error:
        raise NotFound(f"The plan '{path}' is not text in UTF-8.", "Save it as UTF-8, or name another file.") from error
    return parse_plan(text, properties)


def write_plan(path: Path, request: PlanRequest) -> Path:
    """Write a plan in one piece; what stood in the file before is kept beside it under `NAME.toml.before`."""
    text = format_plan(request)
    try:
        changed = path.exists() and path.read_bytes() != text.encode()
        write_whole(path, text, before=path.with_name(path.name + BEFORE) if changed else None)
    except OSError as error:
        raise CannotOpen(f"{path} cannot be written: {error.strerror}.", "Choose another place.") from error
    return path


def place_for(typed: str, title: str, folder: Path) -> Path:
    """The file that a typed name means: a bare name lies in the folder, a path where it says.

    >>> place_for("", "Less shrinkage, same colour", Path("plans")).as_posix()
    'plans/less shrinkage, same colour.toml'
    >>> place_for("set 7", "", Path("plans")).as_posix()
    'plans/set 7.toml'
    """
    name = typed.strip() or _plain(title)
    if not name:
        raise BadInput("The plan has no title to name its file by.", "Give it a title.", field="title")
    path = Path(name).expanduser()
    if path.suffix.lower() != ENDING:
        path = path.with_name(path.name + ENDING)
    return path if len(path.parts) > 1 else folder / path


def _plain(title: str) -> str:
    return re.sub(r'[\\/:*?"<>|\x00-\x1f]+', " ", title).strip(" .").casefold()[:60]
