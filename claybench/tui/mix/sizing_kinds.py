"""The four sizings of the Mix place: what each asks, how it is sized, its words, and what it becomes in the record."""

from __future__ import annotations

import asyncio
from abc import ABC, abstractmethod
from collections.abc import Callable, Coroutine, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from claybench import ask, insight
from claybench.acts.field import ActField
from claybench.errors import BadInput
from claybench.mix.blends import blend_figures, size_blend
from claybench.mix.cautions import cautions_for
from claybench.mix.material_cautions import Caution
from claybench.mix.slab_figures import slab_figures, slabs_by_ratio
from claybench.mix.slab_sizing import size_slab
from claybench.mix.slip_correction import correction_figures, size_correction
from claybench.mix.slip_figures import slip_figures
from claybench.mix.slip_sizing import size_slip
from claybench.quantity.shown import plain
from claybench.tui.mix.sizing_forms import (
    ask_batch,
    ask_batch_to_weigh,
    ask_blend,
    ask_cast,
    ask_correction,
    ask_pour_by_steps,
    blend_fields,
    correction_fields,
    slab_fields,
    slip_fields,
)
from claybench.tui.mix.sizing_text import blend_lines, correction_lines, figure_reasons, slab_lines, slip_lines

if TYPE_CHECKING:
    from claybench.ask.sizing_start import BodyRecipe, SizingStart
    from claybench.insight.sizing.requests import BodySlip
    from claybench.insight.slab_water.sized_slab_dry_out import SizedDryOut
    from claybench.mix.slab_sizing import SlabSizing
    from claybench.terms import Batch
    from claybench.tui.notebook import Notebook

StartForm = Callable[[], Coroutine[None, None, None]]


@dataclass(frozen=True, slots=True)
class SizingResult:
    """One sizing as it stands: its words, its reasons, what can be done with it."""

    lines: list[str]
    reasons: Callable[[], list[str]]
    care: str
    """The act that its cautions belong to."""
    cautions: tuple[Caution, ...]
    record: StartForm
    begin: StartForm | None = None


class SizingKind(ABC):
    """One sizing."""

    name = ""
    title = ""
    first = 0
    """The field to start in."""

    def __init__(self, notebook: Notebook) -> None:
        self.notebook = notebook

    @abstractmethod
    def asks(self, start: SizingStart, wanted: str) -> tuple[ActField, ...]:
        """Its fields; `wanted` is the body or batch one came with."""

    @abstractmethod
    async def size(self, typed: dict[str, str], start: SizingStart) -> SizingResult:
        """Size from what is typed."""

    @abstractmethod
    def forget(self) -> None:
        """The record changed: what was asked of it is asked again."""


class SlabSizingKind(SizingKind):
    """A slab."""

    name, title, first = "slab", "A slab", 1

    def forget(self) -> None:
        """It asks nothing but the air."""

    def asks(self, start: SizingStart, wanted: str) -> tuple[ActField, ...]:
        """Form, depth and wishes."""
        return slab_fields(start)

    async def size(self, typed: dict[str, str], start: SizingStart) -> SizingResult:
        """Plaster, water, masses, days to dry."""
        sized = size_slab(insight.sizing.requests.slab_request(typed, start.settings, start.room, start.fan))

        def dry_outs() -> list[tuple[str, SizedDryOut]]:
            airs = (("in the room", start.room), ("before a fan", start.fan))
            return [
                (name, insight.slab_water.sized_slab_dry_out.estimate_sized_dry_out(sized, air, start.settings))
                for name, air in airs
            ]

        drying = await asyncio.to_thread(dry_outs)
        return SizingResult(
            slab_lines(sized, drying),
            lambda: [*figure_reasons(slab_figures(sized)), *_further_reasons(sized, drying)],
            "pour_plaster",
            sized.cautions,
            lambda: ask_cast(self.notebook, sized),
            lambda: ask_pour_by_steps(self.notebook, sized),
        )


def _further_reasons(sized: SlabSizing, dry_outs: list[tuple[str, SizedDryOut]]) -> list[str]:
    """Reasons of what stands beside a slab's own figures: its days to dry, and other mix ratios."""
    lines: list[str] = []
    for name, drying in dry_outs:
        lines.append(f"days to dry {name}")
        lines += [f"    {line}" for line in drying.why]
    for each in slabs_by_ratio(sized.volume_ml):
        lines += ["", f"at mix ratio {plain(each.mix_ratio)}", *[f"    {line}" for line in each.why()]]
    return lines


class SlipSizingKind(SizingKind):
    """A batch of slip."""

    name, title = "slip", "A batch of slip"

    def __init__(self, notebook: Notebook) -> None:
        super().__init__(notebook)
        self._recipe: BodyRecipe | None = None

    def forget(self) -> None:
        """Slabs dry, lots come."""
        self._recipe = None

    def asks(self, start: SizingStart, wanted: str) -> tuple[ActField, ...]:
        """Body, pieces, slip."""
        return slip_fields(start, wanted or (start.bodies[-1] if start.bodies else ""))

    async def size(self, typed: dict[str, str], start: SizingStart) -> SizingResult:
        """Weights, water, layers, times."""
        body = required_code(typed, "body", "The body")
        recipe = self._recipe
        if recipe is None or recipe.body.body.casefold() != body.casefold():
            recipe = self._recipe = await self.notebook.consult(ask.sizing_start.body_recipe, body)
        sized = size_slip(insight.sizing.requests.slip_request(typed, recipe))
        times = {fit.slab: recipe.time_on(fit.slab, fit.layer_mm, sized.slip_sg) for fit in sized.slabs}
        well = (
            recipe.poured_well
            if not typed["slip_sg"].strip() and not typed["water_per_dry"].strip() and recipe.body.slip_sg is None
            else ()
        )
        return SizingResult(
            slip_lines(sized, times, well),
            lambda: [
                *figure_reasons(slip_figures(sized)),
                *[f"time on {slab}: {', '.join(each.because)}" for slab, each in times.items()],
            ],
            "weigh_dry",
            sized.cautions,
            lambda: ask_batch(self.notebook, sized, recipe),
            lambda: ask_batch_to_weigh(self.notebook, sized, recipe),
        )


class CorrectionSizingKind(SizingKind):
    """Slip too thick or too thin."""

    name, title = "correct", "Slip too thick or too thin"
    first = 1

    def __init__(self, notebook: Notebook) -> None:
        super().__init__(notebook)
        self._held: tuple[Batch, BodySlip] | None = None

    def forget(self) -> None:
        """The batch may have changed."""
        self._held = None

    def asks(self, start: SizingStart, wanted: str) -> tuple[ActField, ...]:
        """A weighed volume and a target."""
        return correction_fields(start, start.batches[0] if start.batches else "")

    async def size(self, typed: dict[str, str], start: SizingStart) -> SizingResult:
        """Water or dry body to add."""
        code = typed["batch"].strip()
        held = self._held
        if code and (held is None or held[0].batch.casefold() != code.casefold()):
            held = self._held = await self.notebook.consult(ask.sizing_start.slip_of_batch, code)
        batch, slip = held if code and held is not None else (None, None)
        sized = size_correction(
            insight.sizing.requests.correction_request(typed, slip, batch.slip_sg if batch else None, start.settings)
        )
        return SizingResult(
            correction_lines(sized, slip.lines if slip else ()),
            lambda: figure_reasons(correction_figures(sized)),
            "mix_slip",
            cautions_for("mix_slip"),
            lambda: ask_correction(self.notebook, sized, code),
        )


class BlendSizingKind(SizingKind):
    """A line or a triangle of bodies."""

    name, title = "blend", "A blend of two or three bodies"

    def __init__(self, notebook: Notebook) -> None:
        super().__init__(notebook)
        self._held: dict[str, BodySlip] = {}

    def forget(self) -> None:
        """Bodies may have changed."""
        self._held = {}

    def asks(self, start: SizingStart, wanted: str) -> tuple[ActField, ...]:
        """Bodies and steps."""
        return blend_fields(start, wanted or (start.bodies[0] if start.bodies else ""))

    async def size(self, typed: dict[str, str], start: SizingStart) -> SizingResult:
        """Every mixture, by volume of slip or by dry mass."""
        slips: list[BodySlip] = []
        for code in self._codes(typed):
            if code.casefold() not in self._held:
                self._held[code.casefold()] = await self.notebook.consult(ask.sizing_start.body_slip, code)
            slips.append(self._held[code.casefold()])
        sized = size_blend(insight.sizing.requests.blend_request(typed, slips, start.settings))
        return SizingResult(
            blend_lines(sized),
            lambda: figure_reasons(blend_figures(sized)),
            "mix_slip",
            cautions_for("mix_slip"),
            lambda: ask_blend(self.notebook, sized, slips),
        )

    @staticmethod
    def _codes(typed: dict[str, str]) -> Sequence[str]:
        first, second = (
            required_code(typed, "first", "The first body"),
            required_code(typed, "second", "The second body"),
        )
        return [code for code in (first, second, typed["third"].strip()) if code]


def required_code(typed: dict[str, str], field: str, what: str) -> str:
    """The code in a field that cannot stay empty."""
    code = typed[field].strip()
    if not code:
        raise BadInput(f"{what} is needed.", "Type its code.", field=field)
    return code


SIZING_KINDS: dict[str, type[SizingKind]] = {
    kind.name: kind for kind in (SlipSizingKind, SlabSizingKind, CorrectionSizingKind, BlendSizingKind)
}
"""By the name the keys use."""
