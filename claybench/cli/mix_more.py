"""`mix correct` and `mix blend`: slip brought to its target, and mixtures of two or three bodies."""

from __future__ import annotations

from typing import Any

import typer

from claybench.acts.field import Ask
from claybench.acts.sized import BLEND_FIELDS, CORRECTED_FIELDS, blend_act, corrected_act
from claybench.cli.acts import Anyway, record
from claybench.cli.common import Json, opened, say, settings_of, table
from claybench.cli.figures import show_sizing
from claybench.cli.inputs import TypedIn, taking
from claybench.quantity.shown import plain, short
from claybench.terms.sizing import BLEND, CORRECTION

_LOGGED = (
    Ask(name="record", label="record", kind="yesno", option="record"),
    *(ask for ask in CORRECTED_FIELDS if ask.name != "batch"),
)


@taking(CORRECTION.values(), _LOGGED, "Log with the batch what was added, which is what is worked out here.")
def correct(
    context: typer.Context, typed: TypedIn, recorded: TypedIn, anyway: bool = Anyway, as_json: bool = Json
) -> None:
    """Slip that came out too thick or too thin: water or dry body to add."""
    from claybench.errors import BadInput
    from claybench.insight.sizing.requests import correction_request
    from claybench.mix import cautions_for
    from claybench.mix.correction import CORRECTION_FIGURES, dry_by_material, size_correction

    held = slip = None
    if "batch" in typed:
        from claybench.ask.mixing import slip_of_batch

        with opened(context) as lab:
            held, slip = slip_of_batch(lab, typed["batch"])
    settings = settings_of(context)
    sized = size_correction(
        correction_request(typed, slip, held.slip_sg if held is not None else None, settings, by_option=True)
    )
    if recorded:
        if held is None:
            raise BadInput("Which batch was corrected is not given.", "Name it: --batch.", field="--batch")
        asked = {name: text for name, text in recorded.items() if name != "record"}
        with opened(context) as lab:
            record(lab, corrected_act(sized), {**asked, "batch": held.batch}, anyway=anyway)
        say(f"Logged with batch {held.batch}.")
    extra: dict[str, Any] = {"nothing_to_do": sized.nothing_to_do}
    if sized.add_dry_g is not None and slip is not None:
        shares = dry_by_material(sized.add_dry_g, slip.lines)
        extra["add"] = [{"material": name, "dry_g": mass} for name, mass in shares]
    cautions = cautions_for("mix_slip")
    show_sizing(sized.figures(), CORRECTION_FIGURES, cautions, extra, as_json, sized.questions)


@taking(BLEND.values(), BLEND_FIELDS, "Record the mixtures as bodies, their codes beginning with this.")
def blend(
    context: typer.Context,
    typed: TypedIn,
    recorded: TypedIn,
    bodies: list[str] = typer.Argument(..., help="Two bodies of the lab for a line, three for a triangle."),
    anyway: bool = Anyway,
    as_json: bool = Json,
) -> None:
    """A line or a triangle between bodies: what to take of each, by volume of slip or by dry mass."""
    from claybench.ask.mixing import body_slip
    from claybench.errors import BadInput
    from claybench.insight.sizing.requests import blend_request, blend_typed
    from claybench.mix import cautions_for
    from claybench.mix.blends import size_blend

    weights = typed.pop("sg", "").split(";") if "sg" in typed else []
    if weights and len(weights) != len(bodies):
        raise BadInput(f"{len(weights)} slips for {len(bodies)} bodies.", "Give --sg once for each body.", field="--sg")
    with opened(context) as lab:
        slips = [body_slip(lab, code) for code in bodies]
    sized = size_blend(blend_request(blend_typed(typed, weights), slips, settings_of(context), by_option=True))
    if recorded:
        with opened(context) as lab:
            name = record(lab, blend_act(sized, slips), recorded, anyway=anyway)
        say(f"Recorded set {name}.")
    by_slip = sized.total_slip_ml is not None
    if not as_json:
        table(
            ["no", *(f"{name}, {'mL' if by_slip else 'g'}" for name in sized.request.bodies), "shares of dry mass, %"],
            [
                [
                    str(number),
                    *(plain(take, 0) for take in (each.slip_ml or each.dry_g)),
                    " : ".join(short(100 * share, 3) for share in each.shares),
                ]
                for number, each in enumerate(sized.blends, 1)
            ],
        )
    blends = [{"shares": each.shares, "dry_g": each.dry_g, "slip_ml": each.slip_ml} for each in sized.blends]
    show_sizing(sized.figures(), {}, cautions_for("mix_slip"), {"blends": blends}, as_json, sized.questions)
