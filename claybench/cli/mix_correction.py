"""`mix correct`: slip brought to its target."""

from __future__ import annotations

from typing import Any

import typer

from claybench import ask
from claybench.acts.field import ActField
from claybench.acts.from_sizing import CORRECTED_FIELDS, corrected_act
from claybench.cli.lab_context import lab_settings, opened
from claybench.cli.options import Anyway, Json
from claybench.cli.output import say
from claybench.cli.record_acts import record_act
from claybench.cli.sizing_options import TypedIn, with_inputs
from claybench.cli.sizing_output import write_sizing
from claybench.errors import BadInput
from claybench.insight.sizing.requests import correction_request
from claybench.mix.cautions import cautions_for
from claybench.mix.slip_correction import CORRECTION_FIGURES, correction_figures, dry_by_material, size_correction
from claybench.terms.sizing import CORRECTION

_LOGGED = (
    ActField(name="record", label="record", kind="yesno", option="record"),
    *(field for field in CORRECTED_FIELDS if field.name != "batch"),
)


@with_inputs(CORRECTION.values(), _LOGGED, "Log with the batch what was added, which is what is worked out here.")
def correct(
    context: typer.Context, typed: TypedIn, recorded: TypedIn, anyway: bool = Anyway, as_json: bool = Json
) -> None:
    """Slip that came out too thick or too thin: water or dry body to add."""
    held = slip = None
    if "batch" in typed:
        with opened(context) as lab:
            held, slip = ask.sizing_start.slip_of_batch(lab, typed["batch"])
    settings = lab_settings(context)
    sized = size_correction(
        correction_request(typed, slip, held.slip_sg if held is not None else None, settings, by_option=True)
    )
    if recorded:
        if held is None:
            raise BadInput("Which batch was corrected is not given.", "Name it: --batch.", field="--batch")
        asked = {name: text for name, text in recorded.items() if name != "record"}
        with opened(context) as lab:
            record_act(lab, corrected_act(sized), {**asked, "batch": held.batch}, anyway=anyway)
        say(f"Logged with batch {held.batch}.")
    extra: dict[str, Any] = {"nothing_to_do": sized.nothing_to_do}
    if sized.add_dry_g is not None and slip is not None:
        shares = dry_by_material(sized.add_dry_g, slip.lines)
        extra["add"] = [{"material": name, "dry_g": mass} for name, mass in shares]
    cautions = cautions_for("mix_slip")
    write_sizing(correction_figures(sized), CORRECTION_FIGURES, cautions, extra, as_json, sized.questions)
