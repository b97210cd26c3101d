"""Priors of the log resistances of bodies and slabs: means and spreads before any run of the lab.

u = ln 1/R² is the log resistance of a body, R the desorptivity of its slip; v = ln 1/S² that of a slab, S the
sorptivity of the dry slab.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from claybench.facts.water import DESORPTIVITY, SLAB_SORPTIVITY
from claybench.later import Floats, np

FAMILY_SD = 0.8
"""Spread of u between families; from memory."""


DEFLOCCULATED_SHIFT = 1.3
"""How much higher u of a deflocculated slip is: its particles settle into a denser cake, and it gives up its water 3.7
times as slowly, volume for volume; from memory."""
DEFLOCCULATED_SD = 0.7
"""Spread of that between labs: 1.2 to 12 times; from memory."""


SHARE_SD = 1.5
"""Spread of what a whole body of one material would add to u against its family's mean: a tenth more of it changes the
time by 15 %; from memory."""


AIR_LOG_SD = 0.4
"""Spread of ln of what the air takes from a layer: correlations miss quiet-air data by 25 %, and nobody reads the air
all day; from memory."""
_SLOW_FACE_SD = 0.05
"""Spread of v from layer to layer for each unit that a face is slower than usual slabs: what slows it is not a smaller
sorptivity alone, a skin slows thin layers more; by made-up labs."""


class Spreads(NamedTuple):
    """Standard deviations that are learnt from the runs, at their prior values until then."""

    scatter: float = 0.1
    """Spread of ln time of one run, feel included; from memory."""
    body_sd: float = 0.35
    """Spread of u of bodies within a family; from memory."""
    slab_sd: float = 0.5
    """Spread of v between slabs of one lab; derived from the published range of uptake rates."""


PRIOR_SPREADS = Spreads()


def prior_body_resistance() -> float:
    """Mean u of a body of which nothing is known."""
    return -2 * math.log(DESORPTIVITY.value)


def slow_face_sd(resistance: Floats) -> Floats:
    """Spread of v from layer to layer on faces of such v."""
    excess: Floats = np.maximum(resistance - prior_slab_resistance(), 0.0)
    return _SLOW_FACE_SD * excess


def prior_slab_resistance() -> float:
    """Mean v of a slab of which nothing is known."""
    return -2 * math.log(SLAB_SORPTIVITY.value)
