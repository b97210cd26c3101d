"""The next set: where recipes may lie, what they will come to, which to make, and when they dry on which slab."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.plan import (
        design as design,
        next_set as next_set,
        schedule as schedule,
        surfaces as surfaces,
    )
else:
    __getattr__ = modules_of(__name__)
