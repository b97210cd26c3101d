"""Sizing slabs and batches of slip: pure functions, floats and frozen dataclasses in and out.

No database, no clock, no screen. `size_slab` and `size_slip` are the two ways in; each formula they
use stands alone in a module beside them."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.mix import (
        batch_weights as batch_weights,
        blends as blends,
        buckets as buckets,
        cautions as cautions,
        clay_masses as clay_masses,
        correction_formulas as correction_formulas,
        day_load as day_load,
        doses as doses,
        form_geometry as form_geometry,
        input_checks as input_checks,
        lifting as lifting,
        plaster_mix as plaster_mix,
        plaster_setting as plaster_setting,
        portions as portions,
        pour_list as pour_list,
        pour_steps as pour_steps,
        ratio_comparison as ratio_comparison,
        recipe_line as recipe_line,
        scratched_codes as scratched_codes,
        sized_for as sized_for,
        slab_figures as slab_figures,
        slab_fit as slab_fit,
        slab_form as slab_form,
        slab_masses as slab_masses,
        slab_request as slab_request,
        slab_sizing as slab_sizing,
        slip_balance as slip_balance,
        slip_correction as slip_correction,
        slip_figures as slip_figures,
        slip_formulas as slip_formulas,
        slip_request as slip_request,
        slip_sizing as slip_sizing,
        typed_amounts as typed_amounts,
    )
else:
    __getattr__ = modules_of(__name__)
