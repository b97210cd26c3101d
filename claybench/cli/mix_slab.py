"""`mix slab`: plaster, water and masses of a slab from its form, the plaster in hand, or what it should take up."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import typer

from claybench.acts.from_sizing import CAST_FIELDS, cast_act
from claybench.cli.lab_context import opened, settings_and_air
from claybench.cli.options import Anyway, Json
from claybench.cli.output import say, write_plain_table
from claybench.cli.record_acts import record_act
from claybench.cli.sizing_options import TypedIn, with_inputs, write_sizing
from claybench.insight.sizing.requests import slab_request
from claybench.insight.slab_water.sized_slab_dry_out import estimate_sized_dry_out
from claybench.mix.slab_figures import SLAB_FIGURES, slab_figures, slabs_by_ratio
from claybench.mix.slab_sizing import size_slab
from claybench.quantity.shown import short_number, show
from claybench.terms.sizing import SLAB


@with_inputs(SLAB.values(), CAST_FIELDS, "Record the slab as cast, under this code; several with commas between.")
def slab(
    context: typer.Context,
    typed: TypedIn,
    recorded: TypedIn,
    anyway: bool = Anyway,
    as_json: bool = Json,
) -> None:
    """A plaster slab: plaster and water, masses, capacity, portions, buckets and the lift."""
    lab, airs = settings_and_air(context)
    sized = size_slab(slab_request(typed, lab, *airs, by_option=True))
    if recorded:
        with opened(context) as held:
            codes = record_act(held, cast_act(sized), recorded, anyway=anyway)
        say(f"Recorded slab{'s' if sized.request.count > 1 else ''} {codes}.")
    portions = [_portion(portion) for mix in sized.mixes for portion in mix.plaster_portions]
    water_portions = [_portion(portion) for mix in sized.mixes for portion in mix.water_portions]
    if not as_json:
        write_plain_table(
            ["weigh in", "grams", "scale shows"],
            [
                [one.what, short_number(one.mass_g, 12), short_number(one.reading_g, 12)]
                for mix in sized.mixes
                for one in (*mix.water_portions, *mix.plaster_portions)
            ],
        )
    extra = {"portions": portions, "water_portions": water_portions, "lift": sized.lift}
    extra |= _figures_beside(sized, airs, lab, as_json)
    write_sizing(slab_figures(sized), SLAB_FIGURES, sized.cautions, extra, as_json, sized.questions)


def _figures_beside(sized: Any, airs: tuple[Any, Any], lab: Any, as_json: bool) -> dict[str, Any]:
    """Days to dry in room and fan, and the same slab at other mix ratios."""
    ratios = [each.as_row() for each in slabs_by_ratio(sized.volume_ml)]
    dry_out: dict[str, Any] = {}
    for name, air in zip(("room", "fan"), airs, strict=True):
        drying = estimate_sized_dry_out(sized, air, lab)
        dry = drying.dry
        days = [None if each is None else each / 24 for each in (dry.dry_at_h, dry.dry_low_h, dry.dry_high_h)]
        dry_out[name] = {"days": days[0], "low": days[1], "high": days[2], "air": asdict(air)}
        dry_out[name] |= {"takes_g": drying.takes_g, "ready_again_h": drying.ready_h, "why": list(drying.why)}
    if not as_json:
        write_plain_table(
            ["mix ratio", "plaster", "dry slab", "takes up", "dry strength, rough"],
            [
                [
                    short_number(each["mix_ratio"]),
                    show(each["plaster_g"], "g", digits=0),
                    show(each["dry_g"] / 1000, "kg", digits=2),
                    show(each["capacity_g"], "g", digits=0),
                    show(each["dry_strength_mpa"], "MPa", digits=0),
                ]
                for each in ratios
            ],
        )
        write_plain_table(
            ["dries out", "days", "90 %", "ready again after", "having taken"],
            [
                [
                    name,
                    short_number(estimate["days"], 2),
                    f"{short_number(estimate['low'], 2)} to {short_number(estimate['high'], 2)}",
                    "" if estimate["ready_again_h"] is None else show(estimate["ready_again_h"], "h", digits=0),
                    show(estimate["takes_g"], "g", digits=0),
                ]
                for name, estimate in dry_out.items()
            ],
        )
    return {"ratios": ratios, "dry_out": dry_out}


def _portion(portion: Any) -> dict[str, Any]:
    return {
        "what": portion.what,
        "fill": portion.fill,
        "mass_g": portion.mass_g,
        "reading_g": portion.reading_g,
        "so_far_g": portion.so_far_g,
    }
