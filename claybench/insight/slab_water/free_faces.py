"""The faces and edges of a slab that the air reaches, by how it stands."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SlabFaces:
    """Areas of one slab, cm²."""

    face_cm2: float
    """One of its two faces."""
    edges_cm2: float
    """All its edges together."""
    base_cm2: float
    """The edge that it rests on when it stands on edge."""

    @classmethod
    def from_sides(cls, length_mm: float, width_mm: float | None, thickness_mm: float) -> SlabFaces:
        """From its sides; without a width it is round, the length its diameter.

        >>> SlabFaces.from_sides(500, 400, 45)
        SlabFaces(face_cm2=2000.0, edges_cm2=810.0, base_cm2=225.0)
        """
        if width_mm is None:
            face, around = math.pi / 4 * length_mm**2, math.pi * length_mm
            return cls(face / 100, around * thickness_mm / 100, 0.0)
        longest = max(length_mm, width_mm)
        edges = 2 * (length_mm + width_mm) * thickness_mm
        return cls(length_mm * width_mm / 100, edges / 100, longest * thickness_mm / 100)

    def free_cm2(self, standing: str | None) -> float:
        """Area that the air reaches: flat the face below is covered, on edge one edge; where nobody wrote how it
        stands, it is taken to stand free.

        >>> [SlabFaces(2000.0, 810.0, 225.0).free_cm2(each) for each in ("flat", "edge", "slats", None)]
        [2810.0, 4585.0, 4810.0, 4810.0]
        """
        below = {"flat": self.face_cm2, "edge": self.base_cm2}.get(standing or "", 0.0)
        return 2 * self.face_cm2 + self.edges_cm2 - below
