"""Sizing slabs and batches of slip: pure functions, floats and frozen dataclasses in and out.

No database, no clock, no screen. `size_slab` and `size_slip` are the two ways in; each formula they
use stands alone in a module beside them.
"""

from claybench.mix.blends import Blend, blend_shares, weigh_blend
from claybench.mix.cautions import ACTS, DEFER, Caution, cautions_for, material_cautions
from claybench.mix.codes import legible, looks_like, next_codes
from claybench.mix.plaster import check_slab_mass
from claybench.mix.portions import Portion, portions
from claybench.mix.pour_steps import POUR_STEPS, Step
from claybench.mix.slab import Mix, SlabSizing, size_slab
from claybench.mix.slab_figures import SLAB_FIGURES, slab_figures
from claybench.mix.slab_fit import SlabFit, fit_slab
from claybench.mix.slab_request import SlabRequest
from claybench.mix.slip_batch import Line, SlipSizing, size_slip
from claybench.mix.slip_figures import SLIP_FIGURES, slip_figures
from claybench.mix.slip_request import Addition, BodyPart, PieceWanted, SlabState, SlipRequest

__all__ = [
    "ACTS",
    "DEFER",
    "POUR_STEPS",
    "SLAB_FIGURES",
    "SLIP_FIGURES",
    "Addition",
    "Blend",
    "BodyPart",
    "Caution",
    "Line",
    "Mix",
    "PieceWanted",
    "Portion",
    "SlabFit",
    "SlabRequest",
    "SlabSizing",
    "SlabState",
    "SlipRequest",
    "SlipSizing",
    "Step",
    "blend_shares",
    "cautions_for",
    "check_slab_mass",
    "fit_slab",
    "legible",
    "looks_like",
    "material_cautions",
    "next_codes",
    "portions",
    "size_slab",
    "size_slip",
    "slab_figures",
    "slip_figures",
    "weigh_blend",
]
