"""What a person does: one function an act, one transaction each, writes only."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.work import (
        any_row as any_row,
        pieces as pieces,
        recipes as recipes,
        runs as runs,
        settings as settings,
        slabs as slabs,
    )
else:
    __getattr__ = modules_of(__name__)
