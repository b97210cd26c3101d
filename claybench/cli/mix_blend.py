"""`mix blend`: mixtures of two or three bodies."""

from __future__ import annotations

import typer

from claybench import ask
from claybench.acts.from_sizing import BLEND_FIELDS, blend_act
from claybench.cli.lab_context import lab_settings, opened
from claybench.cli.options import Anyway, Json
from claybench.cli.output import say, write_plain_table
from claybench.cli.record_acts import record_act
from claybench.cli.sizing_options import TypedIn, with_inputs
from claybench.cli.sizing_output import write_sizing
from claybench.errors import BadInput
from claybench.insight.sizing.requests import blend_request, blend_typed
from claybench.mix.blends import blend_figures, size_blend
from claybench.mix.cautions import cautions_for
from claybench.quantity.shown import plain, short_number
from claybench.terms.sizing import BLEND


@with_inputs(BLEND.values(), BLEND_FIELDS, "Record the mixtures as bodies, their codes beginning with this.")
def blend(
    context: typer.Context,
    typed: TypedIn,
    recorded: TypedIn,
    bodies: list[str] = typer.Argument(..., help="Two bodies of the lab for a line, three for a triangle."),
    anyway: bool = Anyway,
    as_json: bool = Json,
) -> None:
    """A line or a triangle between bodies: what to take of each, by volume of slip or by dry mass."""
    weights = typed.pop("sg", "").split(";") if "sg" in typed else []
    if weights and len(weights) != len(bodies):
        raise BadInput(f"{len(weights)} slips for {len(bodies)} bodies.", "Give --sg once for each body.", field="--sg")
    with opened(context) as lab:
        slips = [ask.sizing_start.body_slip(lab, code) for code in bodies]
    sized = size_blend(blend_request(blend_typed(typed, weights), slips, lab_settings(context), by_option=True))
    if recorded:
        with opened(context) as lab:
            name = record_act(lab, blend_act(sized, slips), recorded, anyway=anyway)
        say(f"Recorded set {name}.")
    by_slip = sized.total_slip_ml is not None
    if not as_json:
        write_plain_table(
            ["no", *(f"{name}, {'mL' if by_slip else 'g'}" for name in sized.request.bodies), "shares of dry mass, %"],
            [
                [
                    str(number),
                    *(plain(take, 0) for take in (each.slip_ml or each.dry_g)),
                    " : ".join(short_number(100 * share, 3) for share in each.shares),
                ]
                for number, each in enumerate(sized.blends, 1)
            ],
        )
    blends = [{"shares": each.shares, "dry_g": each.dry_g, "slip_ml": each.slip_ml} for each in sized.blends]
    write_sizing(blend_figures(sized), {}, cautions_for("mix_slip"), {"blends": blends}, as_json, sized.questions)
