"""Every substance that is known by name, the worst first."""

from __future__ import annotations

from claybench.facts.hazardous_materials import FLUXES, METALS, MIXTURES
from claybench.facts.plain_materials import ONLY_DUST, PARTS, SILICA

SUBSTANCES = (*METALS, *FLUXES, *MIXTURES, *SILICA, *ONLY_DUST, *PARTS)
