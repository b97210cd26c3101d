"""What a person does: one function an act, one transaction each, writes only."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.work import (
        answers as answers,
        common as common,
        kept_questions as kept_questions,
        pieces as pieces,
        recipes as recipes,
        runs as runs,
        settings as settings,
        slabs as slabs,
        standing as standing,
    )
else:
    __getattr__ = modules_of(__name__)
