"""What a person does, declared once: the fields of each act, its checks and its questions.

Forms, commands and tables derive from it. What is written is in `work`, what is asked of the record in `ask`."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.acts import (
        declare as declare,
        field as field,
        layers as layers,
        noticed as noticed,
        pieces as pieces,
        planned as planned,
        points as points,
        pours as pours,
        recipes as recipes,
        registry as registry,
        rows as rows,
        seen as seen,
        settings as settings,
        sized as sized,
        slabs as slabs,
        weighing as weighing,
    )
else:
    __getattr__ = modules_of(__name__)
