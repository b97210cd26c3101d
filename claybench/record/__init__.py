"""The record: SQLModel tables, opening a lab, migrations, acts and history, backup."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.record import (
        act as act,
        allowed_readings as allowed_readings,
        backup as backup,
        changed_rows as changed_rows,
        codec as codec,
        history as history,
        lab as lab,
        migrate as migrate,
        opening as opening,
        read as read,
        schema as schema,
        undoing as undoing,
    )
else:
    __getattr__ = modules_of(__name__)
