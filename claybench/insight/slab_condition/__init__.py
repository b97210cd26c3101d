"""What speaks for and against a slab: evidence, verdict, and whether a layer may go on it."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.slab_condition import (
        best_slab as best_slab,
        damage_follow_up as damage_follow_up,
        dry_mass_change as dry_mass_change,
        fitness_for_layer as fitness_for_layer,
        observed_evidence as observed_evidence,
        piece_fault_evidence as piece_fault_evidence,
        proposed_layer as proposed_layer,
        ready_again as ready_again,
        ring_and_dry_mass as ring_and_dry_mass,
        slab_damage as slab_damage,
        slab_standing as slab_standing,
        slab_verdicts as slab_verdicts,
        slowness as slowness,
        verdict as verdict,
    )
else:
    __getattr__ = modules_of(__name__)
