"""The water in each slab: what it holds, how wet it is at any moment, how it dries out."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.slab_water import (
        balance_state as balance_state,
        bare_weighings as bare_weighings,
        constant_mass as constant_mass,
        dry_out_curve as dry_out_curve,
        dry_out_estimate as dry_out_estimate,
        drying_rate as drying_rate,
        free_faces as free_faces,
        heat_and_frost as heat_and_frost,
        layer_cover as layer_cover,
        sized_slab_dry_out as sized_slab_dry_out,
        slab_properties as slab_properties,
        water_balance as water_balance,
        weighing_steps as weighing_steps,
        wetness as wetness,
    )
else:
    __getattr__ = modules_of(__name__)
