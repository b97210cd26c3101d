"""The sizings in words: what to weigh first, then what the slab or batch will be. Knows no widget."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from claybench.errors import Question
from claybench.facts.reason import Figure
from claybench.insight.drying.forecast import Forecast
from claybench.insight.slab_water.dry_out_curve import DryOutCurve
from claybench.insight.slab_water.sized_slab_dry_out import SizedDryOut
from claybench.mix.blends import BlendSizing
from claybench.mix.slab_figures import STRENGTH_BY_RATIO, slabs_by_ratio
from claybench.mix.slab_sizing import SlabSizing
from claybench.mix.slip_correction import Correction, dry_by_material
from claybench.mix.slip_sizing import SlipSizing
from claybench.quantity.shown import format_interval, plain, short_number, show
from claybench.tui.display_text import duration_text, number_text


def slab_lines(sized: SlabSizing, dry_outs: Sequence[tuple[str, SizedDryOut]] = ()) -> list[str]:
    """A slab, ready to be cast; `dry_outs` are where it may dry, and how it would."""
    each = "" if sized.request.count == 1 else " each"
    size = f"{number_text(sized.length_mm, 0)} × " + (
        f"{number_text(sized.width_mm, 0)} × " if sized.width_mm else "round × "
    )
    lines = [
        f"plaster   {number_text(sized.plaster_weighed_g, unit='g'):>12}   "
        f"{show(sized.request.waste_pct, '%')} waste included",
        f"water     {number_text(sized.water_weighed_g, unit='g'):>12}",
        f"one slab  {size}{number_text(sized.depth_mm, 0)} mm, face {number_text(sized.area_cm2, 0, 'cm²')}",
        f"volume    {number_text(sized.volume_ml / 1000, 2, 'L')}{each}, slurry {number_text(sized.slurry_ml / 1000, 2, 'L')}",
        "",
        f"as cast   {number_text(sized.as_cast_g / 1000, 2, 'kg'):>9}",
        f"dry       {number_text(sized.dry_g / 1000, 2, 'kg'):>9}   to dry off {number_text(sized.dry_off_g, 0, 'g')}",
        f"full      {number_text(sized.full_g / 1000, 2, 'kg'):>9}   at the most; soaking fills it with {number_text(sized.capacity_g, 0, 'g')}",
        f"lift      {sized.lift}: full, it is {sized.lift_case}",
        f"warms by  {show(sized.temperature_rise_k, '°C', digits=0)} at most",
    ]
    if sized.day_load_g is not None:
        lines.append(
            f"a day's batches give up {number_text(sized.day_load_g, 0, 'g')}, each slab's share {number_text(sized.day_load_g / sized.request.count, 0, 'g')}"
        )
    if sized.dried_again_g is not None:
        lines.append(
            f"in {show(sized.request.dry_again_h, 'h')} its wet faces lose {number_text(sized.dried_again_g, 0, 'g')}"
        )
    for where, drying in dry_outs:
        lines.append(f"dries out {where} in {_days_text(drying.dry)}")
        if drying.ready_h is not None:
            again, took = number_text(drying.ready_h, 0, "h"), number_text(drying.takes_g, 0, "g")
            lines.append(f"    ready again about {again} after it took {took} of water")
    lines.append("")
    for index, mix in enumerate(sized.mixes, 1):
        head = "mix" if len(sized.mixes) == 1 else f"mix {index} of {len(sized.mixes)}"
        lines.append(
            f"{head}: {number_text(mix.plaster_g, unit='g')} plaster into {number_text(mix.water_g, unit='g')} water"
        )
        lines += [
            f"  {portion.what:<8}{number_text(portion.mass_g, unit='g'):>9}"
            f"   scale shows {number_text(portion.reading_g, unit='g'):>9}   so far {number_text(portion.so_far_g, unit='g')}"
            for portion in (*mix.water_portions, *mix.plaster_portions)
        ]
    return [*lines, "", *_ratio_lines(sized), "", *_question_lines(sized.questions)]


def _days_text(curve: DryOutCurve) -> str:
    if curve.dry_at_h is None:
        return "more than three months: this air takes next to nothing"
    high = "3 months or more" if curve.dry_high_h is None else f"{plain(curve.dry_high_h / 24, 0)} days"
    return f"about {plain(curve.dry_at_h / 24, 0)} days (90 %: {plain((curve.dry_low_h or 0) / 24, 0)} to {high})"


def _ratio_lines(sized: SlabSizing) -> list[str]:
    """What another mix ratio would make of this slab."""
    lines = ["mix ratio   plaster   dry slab   takes up   strength dry"]
    for each in slabs_by_ratio(sized.volume_ml):
        mark = "▸" if each.mix_ratio == sized.request.mix_ratio else " "
        lines.append(
            f"{mark}{plain(each.mix_ratio, 0):>7}{number_text(each.plaster_g, 0, 'g'):>12}{show(each.dry_g / 1000, 'kg', digits=2):>11}"
            f"{number_text(each.capacity_g, 0, 'g'):>11}{each.strength_text:>15}"
        )
    return [*lines, *textwrap.wrap(STRENGTH_BY_RATIO, 76)]


def slip_lines(
    sized: SlipSizing, times: dict[str, Forecast] | None = None, well: Sequence[tuple[str, float]] = ()
) -> list[str]:
    """A batch, ready to be weighed out; `times` to workable by slab, `well` the batches its water is taken from."""
    lines = ["weigh out"]
    total = 0.0
    for line in sized.lines:
        total += line.rounded_g
        lot = f" ({line.lot})" if line.lot else ""
        lines.append(
            f"  {line.material + lot:<26.26}{number_text(line.rounded_g, None, 'g'):>10}{number_text(total, None):>10}"
            f"   {line.basis}".rstrip()
        )
    lines.append(f"  {'water to add':<26}{number_text(sized.water_weighed_g, None, 'g'):>10}")
    if well:
        named = ", ".join(batch for batch, _ in well[:3])
        lines.append(
            f"  water as its {len(well)} earlier batch{'es' if len(well) > 1 else ''} that poured well ({named})"
        )
    lines += [
        "",
        f"dry {number_text(sized.dry_g, 0, 'g')}, makes {number_text(sized.plastic_g, 0, 'g')} of workable clay",
        f"slip {number_text(sized.slip_ml / 1000, 2, 'L')} at {plain(sized.slip_sg, 3)}, "
        f"water {plain(sized.water_per_dry, 2)} of dry",
        f"gives up {number_text(sized.give_up_g, 0, 'g')} of water"
        + ("" if sized.mixes == 1 else f"; {sized.mixes} fills of the mixing bucket"),
        f"rounding leaves {show(sized.worst_error_pct, '%', digits=2)} at most"
        + ("" if sized.cost is None else f"; cost {plain(sized.cost, 2)}"),
        "",
    ]
    for fit in sized.slabs:
        pours = "one pour" if fit.pours == 1 else f"{fit.pours} pours"
        lines.append(f"on {fit.slab}: {fit.takes}, {pours} of {show(fit.layer_mm, 'mm', digits=0)}. {fit.because}")
        if times and (forecast := times.get(fit.slab)) is not None and fit.takes != "no":
            span = f"{duration_text(forecast.low_min)} to {duration_text(forecast.high_min)}"
            lines.append(f"    workable after about {duration_text(forecast.median_min)} (90 %: {span})")
    if not sized.slabs:
        lines.append("No slab of this family yet: Ctrl+b sizes one, or enter one that you have on the Slabs place.")
    return [*lines, "", *_question_lines(sized.questions)]


def correction_lines(sized: Correction, recipe: Sequence[tuple[str, float]] = ()) -> list[str]:
    """What to do to the slip; the dry body to add comes material by material where the recipe is known."""
    low, high = sized.measured_range
    span = "" if low is None or high is None else f" (measured so, {format_interval(low, high, digits=3)})"
    lines = [f"it weighs {plain(sized.slip_sg, 3)}{span}, wanted {plain(sized.request.target_sg, 3)}", ""]
    if sized.nothing_to_do:
        lines += ["That is the target, as nearly as this weighing can tell: pour it.", ""]
    if sized.add_water_g is not None:
        lines.append(f"add water {number_text(sized.add_water_g, 0, 'g'):>12}")
    if sized.add_dry_g is not None:
        lines.append(f"add dry body {number_text(sized.add_dry_g, 0, 'g'):>9}")
        shares = dry_by_material(sized.add_dry_g, recipe)
        lines += [f"  {name:<26.26}{number_text(mass, 1, 'g'):>10}" for name, mass in shares]
        lines.append(f"or let it settle and take off {number_text(sized.take_off_water_g, 0, 'g')} of water")
    lines += [
        "",
        f"in the bucket: {number_text(sized.slip_g, 0, 'g')} of slip, {number_text(sized.dry_g, 0, 'g')} dry, {number_text(sized.water_g, 0, 'g')} water",
        f"afterwards {number_text(sized.slip_after_ml / 1000, 2, 'L')}",
        "",
    ]
    return [*lines, *_question_lines(sized.questions)]


def blend_lines(sized: BlendSizing) -> list[str]:
    """Every mixture with what to take of each body."""
    request = sized.request
    by_slip = sized.total_slip_ml is not None
    unit = "mL of slip" if by_slip else "g dry"
    lines = [f"{len(sized.blends)} mixtures of {number_text(request.dry_g, 0, 'g')} dry clay, {unit} of each body", ""]
    lines.append("  no " + "".join(f"{name:>14.13}" for name in request.bodies) + "   shares, %")
    for index, blend in enumerate(sized.blends, 1):
        take = blend.slip_ml if by_slip and blend.slip_ml else blend.dry_g
        shares = " : ".join(short_number(100 * share, 3) for share in blend.shares)
        lines.append(f"{index:>4} " + "".join(f"{number_text(each, 0):>14}" for each in take) + f"   {shares}")
    totals = sized.total_slip_ml or sized.total_dry_g
    lines += [" all " + "".join(f"{number_text(each, 0):>14}" for each in totals), ""]
    if by_slip:
        lines.append(
            "Stir each slip just before measuring: it settles. Shares are of dry mass, whatever each slip weighs."
        )
    return [*lines, *_question_lines(sized.questions)]


def _question_lines(questions: Iterable[Question]) -> list[str]:
    return [f"? {question.text}" for question in questions]


def figure_reasons(figures: dict[str, Figure]) -> list[str]:
    """Every figure with its formula, this case's numbers, and where the constants come from."""
    lines: list[str] = []
    for name, figure in figures.items():
        spread = "" if figure.low is None else f"   ({number_text(figure.low)} to {number_text(figure.high)})"
        unit = "" if figure.unit == "1" else figure.unit
        lines.append(f"{name.replace('_', ' ')}: {number_text(figure.value)} {unit}{spread}")
        lines += [f"    {line}" for line in figure.why.lines()]
        lines.append("")
    return lines
