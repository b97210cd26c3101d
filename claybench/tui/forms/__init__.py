"""Forms: the screen that asks a few values, its fields, and the forms of acts that more than one place opens."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.tui.forms import (
        correcting as correcting,
        layers as layers,
        pieces as pieces,
        question_screen as question_screen,
        saving_tables as saving_tables,
        slab_log as slab_log,
    )
else:
    __getattr__ = modules_of(__name__)
