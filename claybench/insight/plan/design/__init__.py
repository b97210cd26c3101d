"""Where bodies of a few materials may lie, and which of them make a good first set.

Bounds in, recipes out; what was measured on them is in `surface`."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.plan.design import (
        first_choice as first_choice,
        first_sets as first_sets,
        model_terms as model_terms,
        optimal as optimal,
        plan_file as plan_file,
        plan_request as plan_request,
        plan_values as plan_values,
        polytope as polytope,
        region as region,
        region_slice as region_slice,
        rounding as rounding,
        targets as targets,
    )
else:
    __getattr__ = modules_of(__name__)
