"""`mix correct` and `mix blend`: slip brought to its target, and mixtures of two or three bodies."""

from __future__ import annotations

from typing import Any

import typer

from claybench.cli.common import Json, opened, settings_of, table
from claybench.cli.figures import show_sizing
from claybench.cli.inputs import TypedIn, taking
from claybench.terms.sizing import BLEND, CORRECTION


@taking(CORRECTION.values())
def correct(context: typer.Context, typed: TypedIn, as_json: bool = Json) -> None:
    """Slip that came out too thick or too thin: water or dry body to add."""
    from claybench.insight.sizing import correction_request
    from claybench.mix import cautions_for
    from claybench.mix.correction import CORRECTION_FIGURES, size_correction

    held = slip = None
    if "batch" in typed:
        from claybench.ask.mixing import slip_of_batch

        with opened(context) as lab:
            held, slip = slip_of_batch(lab, typed["batch"])
    settings = settings_of(context)
    sized = size_correction(
        correction_request(typed, slip, held.slip_sg if held is not None else None, settings, by_option=True)
    )
    extra: dict[str, Any] = {"nothing_to_do": sized.nothing_to_do}
    if sized.add_dry_g is not None and slip is not None:
        total = sum(parts for _, parts in slip.lines)
        extra["add"] = [{"material": name, "dry_g": sized.add_dry_g * parts / total} for name, parts in slip.lines]
    cautions = cautions_for("mix_slip")
    show_sizing(sized.figures(), CORRECTION_FIGURES, cautions, extra, as_json, sized.questions)


@taking(BLEND.values())
def blend(
    context: typer.Context,
    typed: TypedIn,
    bodies: list[str] = typer.Argument(..., help="Two bodies of the lab for a line, three for a triangle."),
    as_json: bool = Json,
) -> None:
    """A line or a triangle between bodies: what to take of each, by volume of slip or by dry mass."""
    from claybench.ask.mixing import body_slip
    from claybench.errors import BadInput
    from claybench.insight.sizing import blend_request, blend_typed
    from claybench.mix import cautions_for
    from claybench.mix.blends import size_blend

    weights = typed.pop("sg", "").split(";") if "sg" in typed else []
    if weights and len(weights) != len(bodies):
        raise BadInput(f"{len(weights)} slips for {len(bodies)} bodies.", "Give --sg once for each body.", field="--sg")
    with opened(context) as lab:
        slips = [body_slip(lab, code) for code in bodies]
    sized = size_blend(blend_request(blend_typed(typed, weights), slips, settings_of(context), by_option=True))
    by_slip = sized.total_slip_ml is not None
    if not as_json:
        table(
            ["no", *(f"{name}, {'mL' if by_slip else 'g'}" for name in sized.request.bodies), "shares of dry mass, %"],
            [
                [
                    str(number),
                    *(f"{take:.0f}" for take in (each.slip_ml or each.dry_g)),
                    " : ".join(f"{100 * share:.3g}" for share in each.shares),
                ]
                for number, each in enumerate(sized.blends, 1)
            ],
        )
    blends = [{"shares": each.shares, "dry_g": each.dry_g, "slip_ml": each.slip_ml} for each in sized.blends]
    show_sizing(sized.figures(), {}, cautions_for("mix_slip"), {"blends": blends}, as_json, sized.questions)
