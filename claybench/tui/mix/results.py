"""The sizings in words: what to weigh first, then what the slab or batch will be. Knows no widget."""

from __future__ import annotations

from collections.abc import Iterable

from claybench.facts.reason import Figure
from claybench.mix import Caution, SlabSizing, SlipSizing
from claybench.tui.words import number


def slab_lines(sized: SlabSizing) -> list[str]:
    """A slab, ready to be cast."""
    each = "" if sized.request.count == 1 else " each"
    size = f"{number(sized.length_mm, 0)} × " + (f"{number(sized.width_mm, 0)} × " if sized.width_mm else "round × ")
    lines = [
        f"plaster   {number(sized.plaster_weighed_g, 0, 'g'):>12}",
        f"water     {number(sum(mix.water_g for mix in sized.mixes), 0, 'g'):>12}",
        f"one slab  {size}{number(sized.depth_mm, 0)} mm, face {number(sized.area_cm2, 0, 'cm²')}",
        f"volume    {number(sized.volume_ml / 1000, 2, 'L')}{each}, slurry {number(sized.slurry_ml / 1000, 2, 'L')}",
        "",
        f"as cast   {number(sized.as_cast_g / 1000, 2, 'kg'):>9}",
        f"dry       {number(sized.dry_g / 1000, 2, 'kg'):>9}   to dry off {number(sized.dry_off_g, 0, 'g')}",
        f"full      {number(sized.full_g / 1000, 2, 'kg'):>9}   takes up {number(sized.capacity_g, 0, 'g')}",
        f"lift      {sized.lift}",
        f"warms by  {sized.temperature_rise_k:.0f} K at most",
        "",
    ]
    for index, mix in enumerate(sized.mixes, 1):
        head = "mix" if len(sized.mixes) == 1 else f"mix {index} of {len(sized.mixes)}"
        lines.append(f"{head}: {number(mix.plaster_g, 0, 'g')} plaster into {number(mix.water_g, 0, 'g')} water")
        lines += [
            f"  weigh in {number(portion.mass_g, 0, 'g'):>9}   scale shows {number(portion.reading_g, 0, 'g'):>9}"
            f"   so far {number(portion.so_far_g, 0, 'g')}"
            for portion in mix.plaster_portions
        ]
    return [*lines, "", *_cautions(sized.cautions)]


def slip_lines(sized: SlipSizing) -> list[str]:
    """A batch, ready to be weighed out."""
    lines = ["weigh out"]
    total = 0.0
    for line in sized.lines:
        total += line.rounded_g
        lot = f" ({line.lot})" if line.lot else ""
        lines.append(f"  {line.material + lot:<26.26}{number(line.rounded_g, None, 'g'):>10}{number(total, None):>10}")
    lines += [
        f"  {'water':<26}{number(sized.water_to_add_g, 0, 'g'):>10}",
        "",
        f"dry {number(sized.dry_g, 0, 'g')}, makes {number(sized.plastic_g, 0, 'g')} of workable clay",
        f"slip {number(sized.slip_ml / 1000, 2, 'L')} at {sized.slip_sg:.3f}, water {sized.water_per_dry:.2f} of dry",
        f"gives up {number(sized.give_up_g, 0, 'g')} of water"
        + ("" if sized.mixes == 1 else f"; {sized.mixes} fills of the mixing bucket"),
        f"rounding leaves {sized.worst_error_pct:.2f} % at most"
        + ("" if sized.cost is None else f"; cost {sized.cost:.2f}"),
        "",
    ]
    for fit in sized.slabs:
        pours = "one pour" if fit.pours == 1 else f"{fit.pours} pours"
        lines.append(f"on {fit.slab}: {fit.takes}, {pours} of {fit.layer_mm:.0f} mm. {fit.because}")
    if not sized.slabs:
        lines.append("No slab of this family yet.")
    return [*lines, "", *_cautions(sized.cautions)]


def _cautions(cautions: Iterable[Caution]) -> list[str]:
    return [f"! {caution.line()}" for caution in cautions]


def reasons(figures: dict[str, Figure]) -> list[str]:
    """Every figure with its formula, this case's numbers, and where the constants come from."""
    lines: list[str] = []
    for name, figure in figures.items():
        spread = "" if figure.low is None else f"   ({number(figure.low)} to {number(figure.high)})"
        unit = "" if figure.unit == "1" else figure.unit
        lines.append(f"{name.replace('_', ' ')}: {number(figure.value)} {unit}{spread}")
        lines += [f"    {line}" for line in figure.why.lines()]
        lines.append("")
    return lines
