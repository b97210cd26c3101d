"""Which slab to pour a layer on now: each slab's forecast, and whether the layer may go there.

Nothing is decided for anyone: slabs that cannot be used now stay on the list and say why.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from claybench.errors import Question
from claybench.insight.drying.forecast import Forecast
from claybench.insight.slab_condition.fitness_for_layer import DOUBTFUL, NOT_NOW
from claybench.insight.slab_condition.proposed_layer import ProposedLayer
from claybench.insight.slab_condition.ready_again import ReadyAgain
from claybench.insight.slab_condition.slab_verdicts import SlabVerdicts
from claybench.insight.slab_condition.verdict import Fitness
from claybench.insight.slab_water.wetness import Wetness
from claybench.quantity.shown import natural
from claybench.terms import Batch, Body


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


def rank_slabs(
    verdicts: SlabVerdicts,
    body: Body | None,
    depth_mm: float,
    *,
    batch: Batch | None = None,
    slip_sg: float | None = None,
    slip_ml: float | None = None,
    only: Iterable[str] | None = None,
) -> list[SlabChoice]:
    """Slabs for a layer of a body, the best first: those nothing speaks against by their forecast, then those that
    take only a part of it, suspect ones, those that cannot be used now, and last those kept for other families.

    `slip_ml` is the slip there is to pour; `only` names the slabs asked about, which are then forecast whatever
    their family.
    """
    named = None if only is None else set(only)
    ranked = []
    for code in verdicts.model.slabs.balances:
        if named is None or code in named:
            choice = _judge_slab(verdicts, body, depth_mm, code, batch, slip_sg, slip_ml, named is not None)
            ranked.append((_rank(choice), choice))
    return [choice for _, choice in sorted(ranked, key=lambda pair: pair[0])]


def _rank(choice: SlabChoice) -> tuple[int, float, str]:
    seen, layer = choice.forecast, choice.layer
    group = (
        4 if seen is None else 3 if choice.not_now else 2 if layer.of_kind(*DOUBTFUL) else 1 if choice.remarks else 0
    )
    return group, seen.median_min if seen is not None else 0.0, natural(choice.slab)


def _judge_slab(
    verdicts: SlabVerdicts,
    body: Body | None,
    depth_mm: float,
    slab: str,
    batch: Batch | None,
    slip_sg: float | None,
    slip_ml: float | None,
    anyhow: bool,
) -> SlabChoice:
    model = verdicts.model
    water = model.slabs.balances[slab]
    layer = ProposedLayer(body=body, batch=batch, batch_slip_ml=slip_ml, depth_mm=depth_mm, slip_sg=slip_sg)
    fitness = verdicts.fitness(slab, layer)
    other = bool(fitness.of_kind("other_family"))
    forecast = None if other and not anyhow else model.forecasts.forecast_layer(body, slab, depth_mm, slip_sg=slip_sg)
    return SlabChoice(
        slab, water.slab.family, depth_mm, model.slabs.wetnesses[slab], forecast, fitness, verdicts.verdict(slab).again
    )
