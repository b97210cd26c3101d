"""Which layer of the next set goes on which slab, and when: fewest days, then least wetness.

Slabs, layers and hours in, a plan and its reasons out; neither the record, the fit nor the clock is asked here.
Planning anew is asking again with the slabs as they are and the layers that are left."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.plan.schedule import (
        calendar_words as calendar_words,
        lab_schedule as lab_schedule,
        layer_split as layer_split,
        placement as placement,
        pour_slots as pour_slots,
        schedule_request as schedule_request,
        slab_to_dry_tonight as slab_to_dry_tonight,
    )
else:
    __getattr__ = modules_of(__name__)
