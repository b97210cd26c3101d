"""`mix slip`: a batch of slip from the pieces wanted, for a body of the lab or one given on the line."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import typer

from claybench.cli.common import AsOf, Json, bucket, moment, opened, quantity, say, settings_of, table
from claybench.cli.figures import show_sizing

if TYPE_CHECKING:
    from claybench.mix import PieceWanted, SlabState

_Q = "as typed: 25 lb, 12,5 mm, 1 1/2 in"
_LAB = "the lab's where left out"


def slip(
    context: typer.Context,
    body: str | None = typer.Option(None, "--body", help="A body of the lab, with its lots and slabs."),
    parts: list[str] = typer.Option([], "--part", help="A material and its parts, as in 'kaolin 30'; several times."),
    parts_sum: str | None = typer.Option(None, "--parts-sum", help="What the parts have to add up to."),
    additions: list[str] = typer.Option(
        [], "--addition", help="On top of the body, in % of its dry mass, as in 'bentonite 1 %'; several times."
    ),
    deflocculants: list[str] = typer.Option(
        [], "--deflocculant", help="The same for a deflocculant, as in 'sodium silicate 0.3 %'."
    ),
    pieces: int | None = typer.Option(None, "--pieces", help="Pieces for each firing."),
    shape: str = typer.Option("bar", "--shape", help="bar, tile or disc."),
    length: str | None = typer.Option(None, "--length", help=f"Length as formed, or a disc's diameter; {_Q}."),
    width: str | None = typer.Option(None, "--width", help="Its width."),
    thickness: str | None = typer.Option(None, "--thickness", help="Its thickness."),
    piece_mass: str | None = typer.Option(
        None, "--piece-mass", help="Plastic mass of one piece, in place of its size."
    ),
    firings: int = typer.Option(1, "--firings", help="Firings."),
    spares: int = typer.Option(0, "--spares", help="Pieces more for each firing."),
    plastic: str | None = typer.Option(None, "--plastic", help="Workable clay wanted, loss not yet added."),
    plastic_density: str | None = typer.Option(
        None, "--plastic-density", help="Of workable clay; else from its water."
    ),
    dry: str | None = typer.Option(None, "--dry", help="Dry batch to make, loss already in it."),
    sg: str | None = typer.Option(None, "--sg", help="Specific gravity of the slip."),
    water_per_dry: str | None = typer.Option(None, "--water-per-dry", help="Water over dry mass, 0.8 or 80 %."),
    workable_water: str | None = typer.Option(None, "--workable-water", help="Water when workable, of dry mass."),
    loss: str | None = typer.Option(None, "--loss", help=f"Slip and clay left in buckets and on hands; {_LAB}."),
    layer: str | None = typer.Option(None, "--layer", help="Depth of slip; everything in one pour where left out."),
    slab_code: str | None = typer.Option(None, "--slab", help="Only this slab of the lab."),
    slab_area: str | None = typer.Option(None, "--slab-area", help="Usable area of a slab, without a lab."),
    slab_takes: str | None = typer.Option(None, "--slab-takes", help="Water that slab can still take."),
    rim: str = typer.Option("25 mm", "--rim", help="Height of the slab's rim or frame; 0 for a bare slab."),
    family: str | None = typer.Option(None, "--family", help="Family of a body given with --part."),
    scale_step: str | None = typer.Option(None, "--scale-step", help=f"Step of the scale; {_LAB}."),
    scale_largest: str | None = typer.Option(None, "--scale-largest", help=f"Largest load of the scale; {_LAB}."),
    weighing_bucket: str | None = typer.Option(
        None, "--weighing-bucket", help=f"The weighing bucket, brim-full, or the powder it holds; {_LAB}."
    ),
    mixing_bucket: str | None = typer.Option(None, "--mixing-bucket", help=f"The mixing bucket, brim-full; {_LAB}."),
    fill: str | None = typer.Option(None, "--fill", help="Share of the mixing bucket that leaves room to stir."),
    rounding: str = typer.Option("5 %", "--rounding", help="Largest error that rounding may leave in a material."),
    as_of: str | None = AsOf,
    record: str | None = typer.Option(None, "--record", help="Record the batch as mixed now, under this code."),
    as_json: bool = Json,
) -> None:
    """A batch of slip: dry batch, water, slip, what to weigh, and how it lies on the slabs."""
    from claybench.errors import BadInput
    from claybench.facts.plaster import MIXING_FILL
    from claybench.mix import SLIP_FIGURES, Addition, SlipRequest, size_slip
    from claybench.mix.typed import named_number

    if (body is None) == (not parts):
        raise BadInput(
            "Give either --body or --part.", "As in --body W-01, or --part 'kaolin 30' --part 'feldspar 70'."
        )
    if body is None and record is not None:
        raise BadInput("A batch is recorded of a body of the lab.", "Use --body in place of --part.")
    known = _recipe(context, body, as_of) if body is not None else None
    lab = known.settings if known is not None else settings_of(context)
    water = quantity(workable_water, "%", "--workable-water")
    gravity = quantity(sg, "1", "--sg")
    share = quantity(water_per_dry, "1", "--water-per-dry")
    if known is not None:
        water = known.body.workable_water_pct if water is None else water
        if gravity is None and share is None:
            # The body's own figure, else what has poured well before.
            gravity = known.body.slip_sg
            share = known.water_per_dry if gravity is None else None
    bucket_ml, bucket_g = bucket(weighing_bucket, "--weighing-bucket", lab.number("weighing_bucket_ml"))
    sized = size_slip(
        SlipRequest(
            body=known.parts if known else tuple(_parts(parts)),
            pieces=() if pieces is None else (_piece(pieces, shape, length, width, thickness, piece_mass, spares),),
            firings=firings,
            plastic_g=quantity(plastic, "g", "--plastic"),
            dry_g=quantity(dry, "g", "--dry"),
            additions=tuple(
                Addition(material=name, pct_of_dry=number, deflocculant=thins)
                for texts, option, thins in ((additions, "--addition", False), (deflocculants, "--deflocculant", True))
                for name, number in (named_number(text, option) for text in texts)
            ),
            workable_water_pct=water,
            plastic_density=quantity(plastic_density, "g/mL", "--plastic-density"),
            loss_pct=quantity(loss, "%", "--loss", lab.number("usual_loss_pct")),
            parts_sum=quantity(parts_sum, "1", "--parts-sum"),
            slip_sg=gravity,
            water_per_dry=share,
            scale_step_g=quantity(scale_step, "g", "--scale-step", lab.number("scale_step_g")),
            scale_largest_g=quantity(scale_largest, "g", "--scale-largest", lab.number("scale_largest_g")),
            weighing_bucket_g=bucket_g,
            weighing_bucket_ml=bucket_ml,
            mixing_bucket_ml=quantity(mixing_bucket, "mL", "--mixing-bucket", lab.number("mixing_bucket_ml")),
            mixing_fill=quantity(fill, "1", "--fill", MIXING_FILL.value),
            max_rounding_pct=quantity(rounding, "%", "--rounding", 0.0),
            family=known.body.family if known else family,
            slabs=_slabs(known.slabs if known else (), slab_code, slab_area, slab_takes, rim),
            layer_mm=quantity(layer, "mm", "--layer"),
        )
    )
    if record is not None and known is not None:
        _record(context, sized, record, known.body.body)
    times = {} if known is None else {
        fit.slab: known.time_on(fit.slab, fit.layer_mm, sized.slip_sg) for fit in sized.slabs if slab_area is None
    }  # fmt: skip
    _tell(sized, times, as_json)
    show_sizing(sized.figures(), SLIP_FIGURES, sized.cautions, _extra(sized, times), as_json)


def _tell(sized: Any, times: dict[str, Any], as_json: bool) -> None:
    if as_json:
        return
    table(
        ["weigh", "lot", "grams"],
        [
            *[[line.material, line.lot or "", f"{line.rounded_g:g}"] for line in sized.lines],
            ["water", "", f"{sized.water_to_add_g:.0f}"],
        ],
    )
    if sized.slabs:
        table(
            ["slab", "takes it", "pours", "depth", "workable after, min", "because"],
            [
                [fit.slab, fit.takes, str(fit.pours), f"{fit.layer_mm:.1f} mm", _span(times.get(fit.slab)), fit.because]
                for fit in sized.slabs
            ],
        )


def _span(found: Any) -> str:
    return "" if found is None else f"{found.median_min:.0f} ({found.low_min:.0f} to {found.high_min:.0f})"


def _extra(sized: Any, times: dict[str, Any]) -> dict[str, Any]:
    return {
        "lines": [
            {
                "material": line.material,
                "lot": line.lot,
                "weigh_g": line.rounded_g,
                "dry_g": line.dry_g,
                "error_pct": line.error_pct,
            }
            for line in sized.lines
        ],
        "slabs": [
            {
                "slab": fit.slab,
                "takes": fit.takes,
                "pours": fit.pours,
                "layer_mm": fit.layer_mm,
                "because": fit.because,
                "workable_min": _minutes(times.get(fit.slab)),
            }
            for fit in sized.slabs
        ],
    }


def _minutes(found: Any) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "median": found.median_min,
        "low": found.low_min,
        "high": found.high_min,
        "why": list(found.because),
    }


def _piece(
    count: int,
    shape: str,
    length: str | None,
    width: str | None,
    thickness: str | None,
    mass: str | None,
    spares: int,
) -> PieceWanted:
    from claybench.mix import PieceWanted

    return PieceWanted(
        shape=shape,
        count=count,
        length_mm=quantity(length, "mm", "--length"),
        width_mm=quantity(width, "mm", "--width"),
        thickness_mm=quantity(thickness, "mm", "--thickness"),
        plastic_g=quantity(mass, "g", "--piece-mass"),
        spares=spares,
    )


def _slabs(
    held: tuple[SlabState, ...], code: str | None, area: str | None, takes: str | None, rim: str
) -> tuple[SlabState, ...]:
    """The slabs to look at: the lab's, one of them, or one given on the line."""
    from dataclasses import replace

    from claybench.errors import BadInput
    from claybench.mix import SlabState

    if area is not None:
        left = quantity(takes, "g", "--slab-takes")
        held = (
            SlabState(slab="slab", usable_area_cm2=quantity(area, "cm²", "--slab-area", 0.0), capacity_left_g=left),
        )
    elif takes is not None:
        raise BadInput("--slab-takes belongs to a slab given with --slab-area.", "Give its area too.")
    elif code is not None:
        held = tuple(each for each in held if each.slab.casefold() == code.casefold())
        if not held:
            raise BadInput(f"No slab '{code}' suits this body.", "Leave --slab out to see those that do.")
    height = quantity(rim, "mm", "--rim", 0.0)
    return tuple(replace(each, rim_mm=height) for each in held)


def _recipe(context: typer.Context, body: str, as_of: str | None) -> Any:
    from claybench.ask.mixing import recipe

    with opened(context) as lab:
        return recipe(lab, body, as_of=moment(lab, as_of))


def _parts(texts: Iterable[str]) -> Iterable[Any]:
    from claybench.mix import BodyPart
    from claybench.mix.typed import named_number

    for text in texts:
        name, number = named_number(text, "--part")
        yield BodyPart(material=name, parts=number)


def _record(context: typer.Context, sized: Any, code: str, body: str) -> None:
    from claybench import clock
    from claybench.terms import Batch
    from claybench.work.recipes import mix_batch

    with opened(context) as lab:
        now = clock.in_zone(lab.now(), lab.zone)
        batch = Batch(
            batch=code,
            body=body,
            made="slip",
            mixed_at=now,
            dry_mass_g=round(sized.dry_g, 1),
            water_g=float(round(sized.water_g)),
            slip_sg=round(sized.slip_sg, 3),
        )
        mix_batch(lab, batch, [(line.material, line.lot, line.rounded_g) for line in sized.lines])
    say(f"Recorded batch {code}.")
