"""The record: SQLModel tables, opening a lab, migrations, acts and history, backup."""

from claybench.record.act import Act
from claybench.record.backup import keep_copy
from claybench.record.changed import Changed, changed, corrected
from claybench.record.history import ActEntry, acts, last_redoable, last_undoable, taken_back
from claybench.record.lab import Lab
from claybench.record.opening import create_lab, default_path, open_lab, open_or_create
from claybench.record.read import Between, Reader
from claybench.record.undoing import undo

__all__ = [
    "Act",
    "ActEntry",
    "Between",
    "Changed",
    "Lab",
    "Reader",
    "acts",
    "changed",
    "corrected",
    "create_lab",
    "default_path",
    "keep_copy",
    "last_redoable",
    "last_undoable",
    "open_lab",
    "open_or_create",
    "taken_back",
    "undo",
]
