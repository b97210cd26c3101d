"""The record: SQLModel tables, opening a lab, migrations, acts and history, backup."""

from claybench.record.act import Act
from claybench.record.backup import keep_copy
from claybench.record.history import ActEntry, Earlier, acts, earlier, last_redoable, last_undoable
from claybench.record.lab import Lab
from claybench.record.opening import create_lab, default_path, open_lab, open_or_create
from claybench.record.read import Between, Reader
from claybench.record.undoing import undo

__all__ = [
    "Act",
    "ActEntry",
    "Between",
    "Earlier",
    "Lab",
    "Reader",
    "acts",
    "create_lab",
    "default_path",
    "earlier",
    "keep_copy",
    "last_redoable",
    "last_undoable",
    "open_lab",
    "open_or_create",
    "undo",
]
