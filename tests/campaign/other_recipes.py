"""Families of bodies made of common materials, and how the clay of each gives up its water."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from claybench.terms import Body, BodyLine, Family, Material
from tests.campaign.other_physics import Clay

SOLIDS_SG = 2.6
SODA = "sodium silicate"

_MATERIALS = {
    # kind, specific gravity, slowness of 100 parts (ln), workable water of 100 parts [%]
    "kaolin": ("clay", 2.6, 0.3, 30.0),
    "ball clay": ("clay", 2.58, 1.6, 33.0),
    "fire clay": ("clay", 2.62, 0.1, 24.0),
    "red clay": ("clay", 2.68, 0.9, 27.0),
    "bentonite": ("plasticiser", 2.5, 16.0, 70.0),
    "feldspar": ("flux", 2.56, -0.9, 17.0),
    "quartz": ("filler", 2.65, -1.0, 17.0),
    "grog": ("filler", 2.6, -1.3, 14.0),
    SODA: ("deflocculant", 2.4, 0.0, 0.0),
}
_FAMILIES = {
    "white": {"kaolin": 40.0, "ball clay": 20.0, "feldspar": 22.0, "quartz": 18.0},
    "buff": {"fire clay": 45.0, "ball clay": 28.0, "feldspar": 10.0, "grog": 17.0},
    "red": {"red clay": 70.0, "ball clay": 8.0, "quartz": 10.0, "grog": 12.0},
}
_CONDUCTANCE = 0.12
"""Of a body whose slowness is half [mm2/min]."""


@dataclass(slots=True)
class MadeBody:
    """A body, and how its clay truly is."""

    row: Body
    lines: list[BodyLine]
    clay: Clay
    slip_sg: float
    deflocculated: bool = False
    names_soda: bool = False
    """Whether a line of the recipe says so; else it is written with the batch."""
    born_day: float = 0.0
    runs: int = 0
    wanted: int = 5
    """Runs after which nobody wants more of it; the control goes on."""
    usual_min: float = 60.0
    """What people have come to expect of a layer of 10 mm."""


def common_clay() -> Clay:
    """Clay that slabs are judged by."""
    return Clay(0.13, 0.25 * SOLIDS_SG, 15.0, 0.2, 3.0)


def water_over_solids(slip_sg: float) -> float:
    """Void ratio of a slip of that specific gravity."""
    solids = (1 - 1 / slip_sg) / (1 - 1 / SOLIDS_SG)
    return (1 / solids - 1) * SOLIDS_SG


def solids_mm(slip_sg: float, layer_mm: float) -> float:
    """Volume of solids over its area in a depth of slip [mm]."""
    return layer_mm / (1 + water_over_solids(slip_sg))


def family_rows(count: int) -> list[Family]:
    """The first few families."""
    return [Family(family=name, stain_rank=rank, note="invented") for rank, name in enumerate(list(_FAMILIES)[:count])]


def material_rows() -> list[Material]:
    """All materials."""
    return [
        Material(material=name, kind=kind, specific_gravity=gravity, note="invented")
        for name, (kind, gravity, _, _) in _MATERIALS.items()
    ]


def make_body(
    rng: np.random.Generator, family: str, number: int, parent: MadeBody | None, day: float, deflocculated: bool
) -> MadeBody:
    """A new body of a family: the first one its control, the others each some way from one that was there."""
    code = f"{family[0].upper()}{number:02d}"
    if parent is None:
        parts = dict(_FAMILIES[family])
    else:
        parts = {line.material: line.parts for line in parent.lines if line.material != SODA}
        for name in parts:
            parts[name] = max(parts[name] * math.exp(rng.normal(0, 0.22)), 0.5)
        if "bentonite" not in parts and rng.random() < 0.12:
            parts["bentonite"] = float(rng.uniform(0.5, 2))
    whole = sum(parts.values())
    parts = {name: round(100 * part / whole * 2) / 2 or 0.5 for name, part in parts.items()}
    whole = sum(parts.values())
    slowness = sum(part / whole * _MATERIALS[name][2] for name, part in parts.items()) - 0.5 + rng.normal(0, 0.13)
    water = sum(part / whole * _MATERIALS[name][3] for name, part in parts.items()) * math.exp(rng.normal(0, 0.03))
    power = float(np.clip(rng.normal(0.2, 0.015), 0.16, 0.24))
    clay = Clay(
        _CONDUCTANCE * math.exp(-slowness), water / 100 * SOLIDS_SG, float(rng.uniform(11, 19)), power,
        float(rng.uniform(2.6, 3.3)),
    )  # fmt: skip
    gravity = float(rng.uniform(1.34, 1.5))
    if deflocculated:
        # Particles that repel each other pack closer, and leave narrower ways for the water.
        clay = Clay(
            clay.conductance * float(rng.uniform(0.2, 0.35)), clay.workable_void * float(rng.uniform(0.8, 0.9)),
            clay.workable_kpa * 1.2, 0.13, clay.permeability_power,
        )  # fmt: skip
        gravity = float(rng.uniform(1.62, 1.78))
        if rng.random() < 0.7:
            parts[SODA] = 0.3
    said = None if rng.random() < 0.35 else round(100 * clay.workable_void / SOLIDS_SG + rng.normal(0, 0.7), 1)
    row = Body(
        body=code, title="invented", family=family, parent=parent.row.body if parent else None,
        control=True if parent is None else None, slip_sg=None if rng.random() < 0.3 else round(gravity, 2),
        workable_water_pct=said,
    )  # fmt: skip
    lines = [
        BodyLine(body=code, position=place, material=name, parts=part)
        for place, (name, part) in enumerate(parts.items(), 1)
    ]
    wanted = 10**9 if parent is None else int(rng.integers(3, 12))
    return MadeBody(row, lines, clay, gravity, deflocculated, SODA in parts, day, wanted=wanted)
