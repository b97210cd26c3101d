"""A layer that is thought of or was just poured, as far as it is known."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.terms import Batch, Body


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedLayer:
    """One layer; a field that is not known is None."""

    body: Body | None = None
    batch: Batch | None = None
    batch_slip_ml: float | None = None
    """Slip of the batch that no layer has taken yet; 0 where it is used up."""
    mass_g: float | None = None
    depth_mm: float | None = None
    area_cm2: float | None = None
    slip_sg: float | None = None
    face: str | None = None
    run: str | None = None
    """Its own code where it stands in the record already: it is not in its own way."""

    @property
    def density(self) -> float | None:
        """Density of the slip, g/mL."""
        return self.slip_sg or (self.batch.slip_sg if self.batch is not None else None)

    def volume_ml(self, usable_cm2: float) -> float | None:
        """Slip in the layer: by its mass, else by its depth on its area; the usable face where no area is given."""
        if self.mass_g is not None and self.density is not None:
            return self.mass_g / self.density
        if self.depth_mm is not None:
            return self.depth_mm * (self.area_cm2 or usable_cm2) / 10
        return None
