"""Which slab to pour a layer on now: each slab's forecast, and whether the layer may go there.

Nothing is decided for anyone: slabs that cannot be used now stay on the list and say why.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from claybench.errors import Question
from claybench.insight.drying.forecast import Forecast
from claybench.insight.drying.slip_layers import USUAL_DEPTH_MM
from claybench.insight.slab_condition.fitness_for_layer import DOUBTFUL, NOT_NOW
from claybench.insight.slab_condition.proposed_layer import ProposedLayer
from claybench.insight.slab_condition.ready_again import ReadyAgain
from claybench.insight.slab_condition.slab_verdicts import SlabVerdicts
from claybench.insight.slab_condition.verdict import Fitness
from claybench.insight.slab_water.wetness import Wetness
from claybench.quantity.shown import natural_key


@dataclass(frozen=True, slots=True)
class SlabChoice:
    """One slab under one layer that is only thought of."""

    slab: str
    family: str | None
    depth_mm: float
    wetness: Wetness
    forecast: Forecast | None
    """None on a slab kept for another family, unless it was asked about by name."""
    layer: Fitness
    """Whether the layer may go there, and what speaks against it."""
    again: ReadyAgain
    """When it is ready again, where it is too wet for what the lab calls ready."""

    @property
    def not_now(self) -> str:
        """Why nothing of this body is poured on it now; empty where something can be."""
        return next((_short(reason) for kind in NOT_NOW for reason in self.layer.of_kind(kind)), "")

    @property
    def remarks(self) -> str:
        """What stands in the way, or what to mind; empty where nothing does."""
        unknown = ["how wet it is, nobody knows: weigh it"] if self.wetness.room_g is None else []
        return self.not_now or "; ".join([*map(_short, self.layer.reasons), *unknown])


def _short(reason: Question) -> str:
    return reason.short or reason.text.rstrip(".")


def rank_slabs(verdicts: SlabVerdicts, layer: ProposedLayer, *, only: Iterable[str] | None = None) -> list[SlabChoice]:
    """Slabs for a layer, the best first: those nothing speaks against by their forecast, then those that take only a
    part of it, suspect ones, those that cannot be used now, and last those kept for other families.

    `only` names the slabs asked about, which are then forecast whatever their family.
    """
    codes = verdicts.model.slabs.balances if only is None else set(only)
    choices = [_judge_slab(verdicts, layer, code, named=only is not None) for code in codes]
    return sorted(choices, key=_rank)


def _rank(choice: SlabChoice) -> tuple[int, float, str]:
    """Group of the list, then its forecast, then its code."""
    forecast = choice.forecast
    if forecast is None:
        return 4, 0.0, natural_key(choice.slab)
    if choice.not_now:
        group = 3
    elif choice.layer.of_kind(*DOUBTFUL):
        group = 2
    else:
        group = 1 if choice.remarks else 0
    return group, forecast.median_min, natural_key(choice.slab)


def _judge_slab(verdicts: SlabVerdicts, layer: ProposedLayer, slab: str, *, named: bool) -> SlabChoice:
    """One slab under the layer; of another family it is forecast only where it was asked about by name."""
    model, depth_mm = verdicts.model, layer.depth_mm or USUAL_DEPTH_MM
    fitness = verdicts.fitness(slab, layer)
    forecast = None
    if named or not fitness.of_kind("other_family"):
        batch = layer.batch.batch if layer.batch else None
        forecast = model.forecasts.forecast_layer(layer.body, slab, depth_mm, slip_sg=layer.slip_sg, batch=batch)
    return SlabChoice(
        slab=slab,
        family=model.slabs.balances[slab].slab.family,
        depth_mm=depth_mm,
        wetness=model.wetnesses[slab],
        forecast=forecast,
        layer=fitness,
        again=verdicts.verdict(slab).again,
    )
