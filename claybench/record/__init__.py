"""The record: SQLModel tables, opening a lab, migrations, acts and history, backup."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.record import backup as backup, history as history, opening as opening, undoing as undoing
else:
    __getattr__ = modules_of(__name__)
