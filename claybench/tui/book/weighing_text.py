"""A batch being weighed out in words: the material in large, the list of what is in. Knows no widget."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench.errors import ClaybenchError
from claybench.quantity.shown import percent
from claybench.tui.display_text import number_text

if TYPE_CHECKING:
    from claybench.ask.weighing_out import WeighingOut


def progress_text(weighing: WeighingOut, at: int) -> str:
    """Every material with its target and what was put in, and the water last; a mark at line `at`."""
    lines, total = [f"  {'':<28}{'target':>10}{'put in':>12}{'off':>9}"], 0.0
    for index, line in enumerate(weighing.lines):
        total += line.weighed_g or 0.0
        mark = "▸" if index == at else "✓" if line.weighed_g is not None else "·"
        name = line.material + (f" ({line.lot})" if line.lot else "")
        put = number_text(line.weighed_g, None, "g") if line.weighed_g is not None else ""
        off = ""
        if line.weighed_g is not None and line.weigh_g:
            off = percent(line.weighed_g / line.weigh_g - 1, 1, signed=True)
        cells = f"{name:<28.28}{number_text(line.weigh_g):>10}{put:>12}{off:>9}"
        lines.append(f"{mark} {cells}   so far {number_text(total, None, 'g')}")
    mark = "▸" if at == len(weighing.lines) else "·"
    return "\n".join([*lines, f"{mark} {'water':<28}{number_text(weighing.water_to_add_g):>10}"])


def target_text(weighing: WeighingOut, at: int, *, all_so_far: bool) -> str:
    """What to put in now and what the scale should show, with the dose and the fillings of a bucket below it."""
    if at >= len(weighing.lines):
        water = weighing.water_to_add_g
        if water is None:
            return "Everything is in. How much water was put to it? Enter its mass."
        dry = number_text(weighing.dry_g, 0, "g")
        return f"WATER   {number_text(water, None, 'g')}   for the {dry} of dry clay really put in"
    line = weighing.lines[at]
    name, target = line.material.upper(), line.weigh_g
    if target is None:
        return f"{name}   no longer in the recipe; what was put in?"
    if more := line.missing_g(weighing.step_g):
        more_text, there = number_text(more, None, "g"), number_text(line.weighed_g, None, "g")
        return f"{name}   {more_text} more to the {there} in it   type +{more_text}"
    scale = weighing.before_g(at) + target if all_so_far else target
    way = "all so far on one tare" if all_so_far else "this material alone"
    text = f"{name}   {number_text(target, None, 'g')}   the scale shows {number_text(scale, None, 'g')} ({way})"
    dose = f"its dose: {line.basis} of the dry mass" if line.basis else ""
    return "\n".join(filter(None, (text, dose, _fillings_text(weighing, target))))


def _fillings_text(weighing: WeighingOut, target_g: float) -> str:
    try:
        fillings = weighing.fillings(target_g)
    except ClaybenchError as error:
        return f"{error.reason} {error.remedy}"
    if len(fillings) < 2:
        return ""
    return f"in {len(fillings)} fillings: {' + '.join(number_text(mass, None, 'g') for mass in fillings)}"


def entry_text(weighing: WeighingOut, at: int, mass_g: float) -> str:
    """What was understood of a mass typed for line `at`: how far off its target, and what more of it would lead to."""
    target = weighing.target_of(at)
    if not target:
        return f"= {number_text(mass_g, None, 'g')}"
    off = f"{number_text(mass_g - target, None, 'g')} off the target ({percent(mass_g / target - 1, 1, signed=True)})"
    over = weighing.overshot(at, mass_g)
    text = f"= {number_text(mass_g, None, 'g')}, {off}"
    return text if over is None else f"{text}. Ctrl+g makes the rest follow: {over.words}"
