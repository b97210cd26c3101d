"""Whether a slab can take a layer of slip now: its area, its rim, its family and the water it has left.

How long it then takes is for `insight`; the wetness that the capacity left comes from, too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from claybench.facts.clay import BARE_DEPTH_MM, FREEBOARD_MM
from claybench.facts.fact import derived
from claybench.facts.formula import Example, Param, formula
from claybench.facts.practice import OVERFILL_SHARE
from claybench.mix.clay_masses import layer_depth
from claybench.mix.slip_request import SlabState
from claybench.quantity.shown import format_interval, show

Takes = Literal["yes", "no", "unknown"]


@dataclass(frozen=True, slots=True)
class SlabFit:
    """One slab under this batch."""

    slab: str
    takes: Takes
    because: str
    """Why, and if not, the nearest that works."""
    pours: int
    """Layers it takes to dry the whole batch on this slab, one after the other."""
    layer_mm: float
    """Depth of each."""
    all_at_once_mm: float
    """Depth if everything were poured at once."""
    slip_each_ml: float
    water_each_g: float
    """Water that each layer gives up."""
    share_taken: float | None
    """Share of one layer's water that the slab can take now; None where nothing is known."""


@formula(
    "Layers of a wanted depth that a batch makes on one slab",
    "pours = V / (area · depth) − 0.02, rounded up",
    "1",
    volume_ml=Param("V", "mL", "slip", above=0),
    area_cm2=Param("area", "cm^2", "usable area of the slab", above=0, field="usable_area_cm2"),
    layer_mm=Param("depth", "mm", "deepest layer wanted", above=0),
    facts=(OVERFILL_SHARE,),
    sources=derived("Geometry"),
    examples=Example(4500, 2000, 10, gives=3.0),
)
def pours_needed(volume_ml: float, area_cm2: float, layer_mm: float) -> float:
    one = area_cm2 * layer_mm / 10
    return float(max(1, math.ceil(volume_ml / one - OVERFILL_SHARE.value)))


def deepest_layer(slab: SlabState) -> float:
    """Deepest layer that stays on the slab: below its rim, or a few millimetres without one."""
    return max(BARE_DEPTH_MM.value, slab.rim_mm - FREEBOARD_MM.value)


def fit_slab(
    slab: SlabState, family: str | None, layer_mm: float | None, volume_ml: float, give_up_g: float
) -> SlabFit:
    """How a batch lies on one slab, and whether the slab can take the water of a layer now."""
    area = slab.usable_area_cm2
    at_once = layer_depth(volume_ml, area)
    pours = 1 if layer_mm is None else int(pours_needed(volume_ml, area, layer_mm))
    depth, water = at_once / pours, give_up_g / pours
    takes, because = _water_fits(slab, depth, water)
    if depth > deepest_layer(slab) * 1.02:
        takes, because = "no", _rim(slab, depth, volume_ml)
    if family and slab.family and family.casefold() != slab.family.casefold():
        takes, because = "no", f"It is kept for {slab.family}: take a slab of {family}."
    if slab.not_now:
        takes, because = "no", slab.not_now
    elif slab.mind:
        because = f"{slab.mind} {because}"
        takes = "unknown" if takes == "yes" else takes
    if takes == "yes" and pours > 1:
        because += f" Dry it between the {pours} pours."
    left = slab.capacity_left_g
    return SlabFit(
        slab=slab.slab,
        takes=takes,
        because=because,
        pours=pours,
        layer_mm=depth,
        all_at_once_mm=at_once,
        slip_each_ml=volume_ml / pours,
        water_each_g=water,
        share_taken=None if left is None or water <= 0 else max(0.0, left) / water,
    )


def _water_fits(slab: SlabState, depth: float, water: float) -> tuple[Takes, str]:
    left = slab.capacity_left_g
    if left is None:
        return "unknown", "How wet it is is not known: weigh it, or enter its dry mass."
    low = left if slab.capacity_left_low_g is None else slab.capacity_left_low_g
    high = left if slab.capacity_left_high_g is None else slab.capacity_left_high_g
    if water <= low:
        return (
            "yes",
            f"The layer gives up {show(water, 'g', digits=0)}, and it can take {show(low, 'g', digits=0)} or more.",
        )
    thinner = max(0.0, low) / water * depth
    nearest = f"a layer of {show(thinner, 'mm', digits=1)} would do" if thinner >= 0.5 else "dry it first"
    if water <= high:
        return (
            "unknown",
            f"The layer gives up {show(water, 'g', digits=0)}, and it can "
            f"take {format_interval(max(0.0, low), high, 'g', digits=0)}: "
            f"weigh the slab, or {nearest}.",
        )
    return (
        "no",
        f"The layer gives up {show(water, 'g', digits=0)}, and it can take "
        f"{show(max(0.0, left), 'g', digits=0)}: {nearest}.",
    )


def _rim(slab: SlabState, depth: float, volume_ml: float) -> str:
    most = deepest_layer(slab)
    pours = int(pours_needed(volume_ml, slab.usable_area_cm2, most))
    runs_off = f"rises too near a rim of {show(slab.rim_mm, 'mm')}" if slab.rim_mm else "runs off a bare slab"
    return (
        f"{show(depth, 'mm', digits=1)} of slip {runs_off}: set a frame of {math.ceil(depth + FREEBOARD_MM.value)} mm, "
        f"or pour {pours} layers of {show(most, 'mm')}."
    )
