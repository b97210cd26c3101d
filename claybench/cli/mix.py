"""Sizing on the command line: `mix slab` and `mix slip`, each figure with its reason in JSON."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import typer

from claybench.cli.common import Json, emit, moment, opened, quantity, say, table

if TYPE_CHECKING:
    from claybench.facts.reason import Figure

app = typer.Typer(help="Size a slab, or a batch of slip.", no_args_is_help=True)
_Q = "as typed: 25 lb, 12,5 mm, 1 1/2 in"


@app.command("slab")
def slab(
    context: typer.Context,
    shape: str = typer.Option("rectangle", "--shape", help="rectangle or round."),
    length: str | None = typer.Option(None, "--length", help=f"Inside length of the form or its diameter; {_Q}."),
    width: str | None = typer.Option(None, "--width", help="Inside width."),
    depth: str | None = typer.Option(None, "--depth", help="Depth to pour, the slab's thickness."),
    plaster: str | None = typer.Option(None, "--plaster", help="Plaster in hand, as in 25 lb; `bag` or `half bag`."),
    capacity: str | None = typer.Option(None, "--capacity", help="Water that each slab should take up."),
    heaviest: str | None = typer.Option(None, "--heaviest", help="The most one slab may weigh, full of water."),
    one_person: bool = typer.Option(False, "--one-person", help="As thick as one person should lift."),
    ratio: str = typer.Option("70", "--ratio", help="Water for 100 parts of plaster, by mass."),
    taper: str | None = typer.Option(None, "--taper", help="How far each side leans out over the depth."),
    taper_over: str | None = typer.Option(None, "--taper-over", help="Height over which it leans out so far."),
    corner: str | None = typer.Option(None, "--corner", help="Radius of the corners."),
    count: int = typer.Option(1, "--count", help="Slabs of this size."),
    waste: str = typer.Option("5 %", "--waste", help="Share of the mix that is left in the bucket and spilt."),
    bag: str = typer.Option("25 kg", "--bag", help="What a bag of plaster holds."),
    weighing_bucket: str = typer.Option("5 L", "--weighing-bucket", help="The weighing bucket, brim-full."),
    mixing_bucket: str = typer.Option("15 L", "--mixing-bucket", help="The mixing bucket, brim-full."),
    scale_largest: str = typer.Option("5 kg", "--scale-largest", help="Largest load of the scale."),
    scale_step: str = typer.Option("1 g", "--scale-step", help="Step of the scale."),
    record: str | None = typer.Option(None, "--record", help="Record the slab as cast now, under this code."),
    family: str | None = typer.Option(None, "--family", help="What will dry on it, where it is recorded."),
    as_json: bool = Json,
) -> None:
    """A plaster slab: plaster and water, masses, capacity, portions, buckets and the lift."""
    from claybench.mix import SLAB_FIGURES, SlabRequest, size_slab

    bag_g = quantity(bag, "g", "--bag")
    sized = size_slab(
        SlabRequest(
            shape=shape,
            length_mm=quantity(length, "mm", "--length"),
            width_mm=quantity(width, "mm", "--width"),
            depth_mm=quantity(depth, "mm", "--depth"),
            corner_radius_mm=quantity(corner, "mm", "--corner") or 0.0,
            taper_mm=quantity(taper, "mm", "--taper") or 0.0,
            taper_over_mm=quantity(taper_over, "mm", "--taper-over"),
            count=count,
            mix_ratio=quantity(ratio, "1", "--ratio") or 0.0,
            waste_pct=quantity(waste, "%", "--waste") or 0.0,
            plaster_g=_plaster(plaster, bag_g or 25_000.0),
            capacity_g=quantity(capacity, "g", "--capacity"),
            max_lift_kg=quantity(heaviest, "kg", "--heaviest"),
            one_person=one_person,
            bag_g=bag_g,
            weighing_bucket_ml=quantity(weighing_bucket, "mL", "--weighing-bucket"),
            mixing_bucket_ml=quantity(mixing_bucket, "mL", "--mixing-bucket"),
            scale_largest_g=quantity(scale_largest, "g", "--scale-largest"),
            scale_step_g=quantity(scale_step, "g", "--scale-step") or 1.0,
        )
    )
    if record is not None:
        _record_slab(context, sized, record, family)
    extra = {
        "portions": [_portion(portion) for mix in sized.mixes for portion in mix.plaster_portions],
        "lift": sized.lift,
    }
    _show(sized.figures(), SLAB_FIGURES, sized.cautions, extra, as_json)


def _plaster(text: str | None, bag_g: float) -> float | None:
    """Plaster in hand; a bag, half a bag, 2 bags."""
    if text is None:
        return None
    bags = re.fullmatch(r"\s*(half(?: a)?|a|\d+(?:[.,]\d+)?|1/2|½)?\s*bags?\s*", text.lower())
    if bags:
        word = (bags.group(1) or "1").replace(",", ".")
        share = 0.5 if word.startswith("half") or word in ("1/2", "½") else 1.0 if word == "a" else float(word)
        return share * bag_g
    return quantity(text, "g", "--plaster")


def _record_slab(context: typer.Context, sized: Any, code: str, family: str | None) -> None:
    from claybench import clock
    from claybench.terms import Slab
    from claybench.work.slabs import cast_slab

    with opened(context) as lab:
        now = clock.in_zone(lab.now(), lab.zone)
        plaster = round(sized.plaster_each_g, 1)
        slab = Slab(
            slab=code,
            family=family,
            shape=sized.request.shape,
            length_mm=round(sized.length_mm, 1),
            width_mm=round(sized.width_mm, 1) if sized.width_mm else None,
            thickness_mm=round(sized.depth_mm, 1),
            mix_ratio=sized.request.mix_ratio,
            plaster_g=plaster,
            water_g=round(plaster * sized.request.mix_ratio / 100, 1),
            cast_at=now,
        )
        cast_slab(lab, slab, mixed_at=now)
    say(f"Recorded slab {code}.")


@app.command("slip")
def slip(
    context: typer.Context,
    body: str | None = typer.Option(None, "--body", help="A body of the lab, with its lots and slabs."),
    parts: list[str] = typer.Option([], "--part", help="A material and its parts, as in 'kaolin 30'; several times."),
    pieces: int | None = typer.Option(None, "--pieces", help="Bars for each firing."),
    length: str | None = typer.Option(None, "--length", help=f"Length of a bar as formed; {_Q}."),
    width: str | None = typer.Option(None, "--width", help="Its width."),
    thickness: str | None = typer.Option(None, "--thickness", help="Its thickness."),
    piece_mass: str | None = typer.Option(
        None, "--piece-mass", help="Plastic mass of one piece, in place of its size."
    ),
    firings: int = typer.Option(1, "--firings", help="Firings."),
    spares: int = typer.Option(0, "--spares", help="Bars more for each firing."),
    plastic: str | None = typer.Option(None, "--plastic", help="Workable clay wanted, loss not yet added."),
    dry: str | None = typer.Option(None, "--dry", help="Dry batch to make, loss already in it."),
    sg: str | None = typer.Option(None, "--sg", help="Specific gravity of the slip."),
    water_per_dry: str | None = typer.Option(None, "--water-per-dry", help="Water over dry mass, 0.8 for 80 %."),
    workable_water: str | None = typer.Option(None, "--workable-water", help="Water when workable, of dry mass."),
    loss: str = typer.Option("5 %", "--loss", help="Slip and clay left in buckets and on hands."),
    layer: str | None = typer.Option(None, "--layer", help="Depth of slip; everything in one pour where left out."),
    slab_code: str | None = typer.Option(None, "--slab", help="Only this slab of the lab."),
    slab_area: str | None = typer.Option(None, "--slab-area", help="Usable area of a slab, without a lab."),
    rim: str = typer.Option("25 mm", "--rim", help="Height of the slab's rim or frame; 0 for a bare slab."),
    scale_step: str = typer.Option("1 g", "--scale-step", help="Step of the scale."),
    scale_largest: str = typer.Option("5 kg", "--scale-largest", help="Largest load of the scale."),
    mixing_bucket: str = typer.Option("15 L", "--mixing-bucket", help="The mixing bucket, brim-full."),
    rounding: str = typer.Option("5 %", "--rounding", help="Largest error that rounding may leave in a material."),
    as_of: str | None = typer.Option(None, "--as-of", help="Slabs as they were then."),
    record: str | None = typer.Option(None, "--record", help="Record the batch as mixed now, under this code."),
    as_json: bool = Json,
) -> None:
    """A batch of slip: dry batch, water, slip, what to weigh, and how it lies on the slabs."""
    from dataclasses import replace

    from claybench.errors import BadInput
    from claybench.mix import SLIP_FIGURES, PieceWanted, SlabState, SlipRequest, size_slip

    known = _recipe(context, body, as_of) if body is not None else None
    if (known is None) == (not parts):
        raise BadInput(
            "Give either --body or --part.", "As in --body W-01, or --part 'kaolin 30' --part 'feldspar 70'."
        )
    slabs: tuple[SlabState, ...] = known.slabs if known else ()
    if slab_area is not None:
        slabs = (SlabState(slab="slab", usable_area_cm2=quantity(slab_area, "cm2", "--slab-area") or 0.0),)
    if slab_code is not None:
        slabs = tuple(each for each in slabs if each.slab.casefold() == slab_code.casefold())
        if not slabs:
            raise BadInput(f"No slab '{slab_code}' suits this body.", "Leave --slab out to see those that do.")
    height = quantity(rim, "mm", "--rim") or 0.0
    water = quantity(workable_water, "%", "--workable-water")
    gravity = quantity(sg, "1", "--sg")
    share = quantity(water_per_dry, "1", "--water-per-dry")
    if known is not None:
        water = known.body.workable_water_pct if water is None else water
        gravity = known.body.slip_sg if gravity is None and share is None else gravity
    wanted: tuple[PieceWanted, ...] = ()
    if pieces is not None:
        wanted = (
            PieceWanted(
                count=pieces,
                length_mm=quantity(length, "mm", "--length"),
                width_mm=quantity(width, "mm", "--width"),
                thickness_mm=quantity(thickness, "mm", "--thickness"),
                plastic_g=quantity(piece_mass, "g", "--piece-mass"),
                spares=spares,
            ),
        )
    sized = size_slip(
        SlipRequest(
            body=known.parts if known else tuple(_parts(parts)),
            pieces=wanted,
            firings=firings,
            plastic_g=quantity(plastic, "g", "--plastic"),
            dry_g=quantity(dry, "g", "--dry"),
            workable_water_pct=water,
            loss_pct=quantity(loss, "%", "--loss") or 0.0,
            slip_sg=gravity,
            water_per_dry=share,
            scale_step_g=quantity(scale_step, "g", "--scale-step") or 1.0,
            scale_largest_g=quantity(scale_largest, "g", "--scale-largest"),
            mixing_bucket_ml=quantity(mixing_bucket, "mL", "--mixing-bucket"),
            max_rounding_pct=quantity(rounding, "%", "--rounding") or 0.0,
            family=known.body.family if known else None,
            slabs=tuple(replace(each, rim_mm=height) for each in slabs),
            layer_mm=quantity(layer, "mm", "--layer"),
        )
    )
    if record is not None:
        _record_batch(context, sized, record, body)
    lines = [
        {
            "material": line.material,
            "lot": line.lot,
            "weigh_g": line.rounded_g,
            "dry_g": line.dry_g,
            "error_pct": line.error_pct,
        }
        for line in sized.lines
    ]
    fits = [
        {"slab": fit.slab, "takes": fit.takes, "pours": fit.pours, "layer_mm": fit.layer_mm, "because": fit.because}
        for fit in sized.slabs
    ]
    if not as_json:
        table(
            ["weigh", "lot", "grams"],
            [
                *[[line.material, line.lot or "", f"{line.rounded_g:g}"] for line in sized.lines],
                ["water", "", f"{sized.water_to_add_g:.0f}"],
            ],
        )
        table(
            ["slab", "takes it", "pours", "depth", "because"],
            [[fit.slab, fit.takes, str(fit.pours), f"{fit.layer_mm:.1f} mm", fit.because] for fit in sized.slabs],
        )
    _show(sized.figures(), SLIP_FIGURES, sized.cautions, {"lines": lines, "slabs": fits}, as_json)


def _recipe(context: typer.Context, body: str, as_of: str | None) -> Any:
    from claybench.ask.batches import recipe

    with opened(context) as lab:
        return recipe(lab, body, as_of=moment(lab, as_of))


def _parts(texts: Iterable[str]) -> Iterable[Any]:
    from claybench.errors import BadInput
    from claybench.mix import BodyPart
    from claybench.quantity import read_number

    for text in texts:
        name, _, number = text.strip().rpartition(" ")
        if not name:
            raise BadInput(f"'{text}' has no parts.", "Write it as 'kaolin 30'.", field="--part")
        yield BodyPart(material=name.strip(), parts=read_number(number))


def _record_batch(context: typer.Context, sized: Any, code: str, body: str | None) -> None:
    from claybench import clock
    from claybench.errors import BadInput
    from claybench.terms import Batch
    from claybench.work.recipes import mix_batch

    if body is None:
        raise BadInput("A batch is recorded of a body of the lab.", "Use --body in place of --part.")
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


def _show(
    figures: dict[str, Figure],
    names: dict[str, tuple[str, str]],
    cautions: Iterable[Any],
    extra: dict[str, Any],
    as_json: bool,
) -> None:
    if as_json:
        emit(
            {
                name: {"value": one.value, "unit": one.unit, "low": one.low, "high": one.high, "why": one.why.lines()}
                for name, one in figures.items()
            }
            | extra
            | {"cautions": [caution.line() for caution in cautions]}
        )
        return
    rows = []
    for name, one in figures.items():
        spread = "" if one.low is None or one.high is None else f"{one.low:.4g} to {one.high:.4g}"
        rows.append(
            [
                name,
                f"{one.value:.6g}",
                "" if one.unit == "1" else one.unit,
                spread,
                names.get(name, (name.replace(".", " ").replace("_", " "), ""))[0],
            ]
        )
    table(["figure", "value", "unit", "range", "what it is"], rows)
    for portion in extra.get("portions", ()):
        say(f"  weigh in {portion['mass_g']:g} g; the scale shows {portion['reading_g']:g} g")
    for caution in cautions:
        say(f"! {caution.line()}")


def _portion(portion: Any) -> dict[str, Any]:
    return {
        "what": portion.what,
        "fill": portion.fill,
        "mass_g": portion.mass_g,
        "reading_g": portion.reading_g,
        "so_far_g": portion.so_far_g,
    }
