"""`mix correct` and `mix blend`: slip brought to its target, and mixtures of two or three bodies."""

from __future__ import annotations

from typing import Any

import typer

from claybench.cli.common import Json, opened, quantity, settings_of, table
from claybench.cli.figures import show_sizing


def correct(
    context: typer.Context,
    batch: str | None = typer.Option(
        None, "--batch", help="A batch of the lab: its dry body, and what it should weigh."
    ),
    mass: str | None = typer.Option(None, "--mass", help="Mass of a measured volume of the slip, vessel taken off."),
    volume: str | None = typer.Option(None, "--volume", help="That volume."),
    sg: str | None = typer.Option(None, "--sg", help="Or its specific gravity."),
    target: str | None = typer.Option(None, "--target", help="Specific gravity it should have."),
    slip: str | None = typer.Option(None, "--slip", help="Slip in the bucket, by mass."),
    slip_volume: str | None = typer.Option(None, "--slip-volume", help="Or by volume."),
    solids_sg: str | None = typer.Option(
        None, "--solids-sg", help="Specific gravity of the dry body, without a batch."
    ),
    as_json: bool = Json,
) -> None:
    """Slip that came out too thick or too thin: water or dry body to add."""
    from claybench.errors import BadInput
    from claybench.facts.clay import SOLIDS_SG
    from claybench.mix import cautions_for
    from claybench.mix.correction import CORRECTION_FIGURES, CorrectionRequest, size_correction

    solids, wanted = quantity(solids_sg, "1", "--solids-sg", SOLIDS_SG.value), quantity(target, "1", "--target")
    lines: tuple[tuple[str, float], ...] = ()
    if batch is not None:
        from claybench.ask.mixing import slip_of_batch

        with opened(context) as lab:
            held, body = slip_of_batch(lab, batch)
        solids, lines = body.solids_sg, body.lines
        wanted = wanted or held.slip_sg or body.body.slip_sg
    if wanted is None:
        raise BadInput("What the slip should weigh is not given.", "Use --target; thin cream is 1.4.", field="--target")
    sized = size_correction(
        CorrectionRequest(
            target_sg=wanted,
            slip_sg=quantity(sg, "1", "--sg"),
            mass_g=quantity(mass, "g", "--mass"),
            volume_ml=quantity(volume, "mL", "--volume"),
            slip_g=quantity(slip, "g", "--slip"),
            slip_ml=quantity(slip_volume, "mL", "--slip-volume"),
            solids_sg=solids,
            solids_known=batch is not None or solids_sg is not None,
            scale_step_g=settings_of(context).number("scale_step_g"),
        )
    )
    extra: dict[str, Any] = {"nothing_to_do": sized.nothing_to_do}
    if sized.add_dry_g is not None and lines:
        total = sum(parts for _, parts in lines)
        extra["add"] = [{"material": name, "dry_g": sized.add_dry_g * parts / total} for name, parts in lines]
    show_sizing(sized.figures(), CORRECTION_FIGURES, cautions_for("mix_slip"), extra, as_json)


def blend(
    context: typer.Context,
    bodies: list[str] = typer.Argument(..., help="Two bodies of the lab for a line, three for a triangle."),
    steps: int = typer.Option(4, "--steps", help="Even steps from corner to corner."),
    dry: str = typer.Option("1 kg", "--dry", help="Dry clay in each mixture."),
    sg: list[str] = typer.Option(
        [], "--sg", help="What each slip weighs, in the bodies' order; by dry mass where left out."
    ),
    as_json: bool = Json,
) -> None:
    """A line or a triangle between bodies: what to take of each, by volume of slip or by dry mass."""
    from claybench.ask.mixing import body_slip
    from claybench.errors import BadInput
    from claybench.mix import cautions_for
    from claybench.mix.blends import BlendRequest, size_blend

    if sg and len(sg) != len(bodies):
        raise BadInput(f"{len(sg)} slips for {len(bodies)} bodies.", "Give --sg once for each body.", field="--sg")
    with opened(context) as lab:
        slips = [body_slip(lab, code) for code in bodies]
    sized = size_blend(
        BlendRequest(
            bodies=tuple(each.body.body for each in slips),
            steps=steps,
            dry_g=quantity(dry, "g", "--dry", 1000.0),
            solids_sg=tuple(each.solids_sg for each in slips),
            slip_sg=tuple(quantity(each, "1", "--sg") for each in sg) or (None,) * len(slips),
        )
    )
    if not as_json:
        table(
            ["no", *(f"{name}, {'mL' if sg else 'g'}" for name in sized.request.bodies), "shares of dry mass, %"],
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
    show_sizing(sized.figures(), {}, cautions_for("mix_slip"), {"blends": blends}, as_json)
