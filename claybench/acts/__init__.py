"""What a person does, declared once: the fields of each act, its checks and its questions.

Forms, commands and tables derive from it. What is written is in `work`, what is asked of the record in `ask`."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.acts import (
        act as act,
        any_row as any_row,
        faults as faults,
        layers as layers,
        material_naming as material_naming,
        pieces as pieces,
        properties as properties,
        readings as readings,
        recipes as recipes,
        registry as registry,
        settings as settings,
        slabs as slabs,
        weighing_out as weighing_out,
    )
else:
    __getattr__ = modules_of(__name__)
