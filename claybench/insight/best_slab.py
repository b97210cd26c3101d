"""Which slab to pour a layer on now: each slab's forecast, and what stands in the way of pouring there.

Nothing is decided for anyone: slabs that cannot be used now stay on the list and say why.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from claybench.insight.forecast import Forecast
from claybench.insight.lab_model import LabModel, day_text
from claybench.insight.verdict import state_of
from claybench.insight.wetness import SlabWater, Wetness
from claybench.terms import Body

_NEARLY = 0.98
"""Of the slip or of the water: a fiftieth less than all is let pass, as in the sizing."""


@dataclass(frozen=True, slots=True)
class SlabChoice:
    """One slab under one layer that is only thought of."""

    slab: str
    family: str | None
    depth_mm: float
    wetness: Wetness
    forecast: Forecast | None
    """None on a slab kept for another family."""
    not_now: str
    """Why nothing can be poured on it now; empty where something can."""
    mind: tuple[str, ...]
    """What to mind where it can."""
    against: str
    """What was found against it."""

    @property
    def words(self) -> str:
        """What stands in the way, or what to mind; empty where nothing does."""
        return self.not_now or "; ".join(filter(None, (*self.mind, self.against)))


def slabs_for(
    model: LabModel,
    body: Body | None,
    depth_mm: float,
    *,
    slip_sg: float | None = None,
    slip_ml: float | None = None,
    against: Mapping[str, str] | None = None,
    only: Iterable[str] | None = None,
) -> list[SlabChoice]:
    """Slabs for a layer of a body, the best first: free ones by their forecast, then those that take only a part of
    it, suspect ones, those in use, and last those kept for other families.

    `slip_ml` is the slip there is to pour; `against` says by slab what was found against it; `only` names the
    slabs asked about, which are then forecast whatever their family.
    """
    named = None if only is None else set(only)
    found = []
    for code, water in model.waters.items():
        if named is not None and code not in named:
            continue
        choice = _choice(
            model, body, depth_mm, water, slip_sg, slip_ml, (against or {}).get(code, ""), named is not None
        )
        found.append((_rank(choice), choice))
    return [choice for _, choice in sorted(found, key=lambda pair: pair[0])]


def _rank(choice: SlabChoice) -> tuple[int, float, str]:
    seen = choice.forecast
    group = 4 if seen is None else 3 if choice.not_now else 2 if choice.against else 1 if choice.mind else 0
    return group, seen.median_min if seen is not None else 0.0, choice.slab


def _choice(
    model: LabModel,
    body: Body | None,
    depth_mm: float,
    water: SlabWater,
    slip_sg: float | None,
    slip_ml: float | None,
    against: str,
    anyhow: bool,
) -> SlabChoice:
    slab, wet = water.slab, model.wetnesses[water.slab.slab]
    other = bool(body and body.family and slab.family and body.family != slab.family)
    not_now = f"kept for {slab.family}" if other else _not_now(model, water)
    forecast = None if other and not anyhow else model.forecast_layer(body, slab.slab, depth_mm, slip_sg=slip_sg)
    mind = []
    if not not_now:
        layer = model.layers.wanted(body, depth_mm, water.body.layer_cm2, slip_sg)
        mind = [*_too_small(water, depth_mm, slip_ml), *_too_wet(wet, layer.water_g)]
    return SlabChoice(slab.slab, slab.family, depth_mm, wet, forecast, not_now, tuple(mind), against)


def _not_now(model: LabModel, water: SlabWater) -> str:
    code = water.slab.slab
    lying = [poured.run.run for poured in model.on_slab(code)]
    if lying:
        return f"busy: {', '.join(lying)} lies on it"
    ends = [event for event in water.events if event.event in ("broken", "resurfaced")]
    if ends and ends[-1].event == "broken":
        return f"broken since {day_text(ends[-1].at, model.zone)}"
    if state_of(water.slab, False, bool(model.lying.get(code)), model.at) == "drying":
        return "still drying from its cast"
    return ""


def _too_small(water: SlabWater, depth_mm: float, slip_ml: float | None) -> list[str]:
    takes = water.body.layer_cm2 * depth_mm / 10
    if slip_ml is None or takes >= _NEARLY * slip_ml:
        return []
    return [f"too small: takes {takes / 1000:.1f} of {slip_ml / 1000:.1f} L"]


def _too_wet(wet: Wetness, gives_g: float | None) -> list[str]:
    if wet.left_g is None:
        return ["how wet it is, nobody knows: weigh it"]
    left = wet.left_g[0]
    if gives_g is None or left >= _NEARLY * gives_g:
        return []
    return [f"too wet: room for {max(left, 0.0) / 1000:.1f} of {gives_g / 1000:.1f} kg of water"]
