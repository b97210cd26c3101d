"""The next set of a plan from a lab's rows: what is known, what to make and repeat, where it dries, what it takes."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.plan.next_set import (
        followed_set as followed_set,
        known_bodies as known_bodies,
        making as making,
        next_set as next_set,
        set_placement as set_placement,
        set_progress as set_progress,
        stock as stock,
    )
else:
    __getattr__ = modules_of(__name__)
