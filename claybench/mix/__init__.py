"""Sizing slabs and batches of slip: pure functions, floats and frozen dataclasses in and out.

No database, no clock, no screen. `size_slab` and `size_slip` are the two ways in; each formula they
use stands alone in a module beside them."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.mix import (
        blends as blends,
        buckets as buckets,
        cautions as cautions,
        check as check,
        codes as codes,
        correct_slip as correct_slip,
        correction as correction,
        day_load as day_load,
        doses as doses,
        forms as forms,
        layer as layer,
        lift as lift,
        plaster as plaster,
        portions as portions,
        pour_list as pour_list,
        pour_steps as pour_steps,
        ratios as ratios,
        recipe_line as recipe_line,
        setting as setting,
        sized_for as sized_for,
        slab as slab,
        slab_figures as slab_figures,
        slab_fit as slab_fit,
        slab_form as slab_form,
        slab_masses as slab_masses,
        slab_request as slab_request,
        slip as slip,
        slip_balance as slip_balance,
        slip_batch as slip_batch,
        slip_figures as slip_figures,
        slip_request as slip_request,
        typed as typed,
        weights as weights,
    )
else:
    __getattr__ = modules_of(__name__)
