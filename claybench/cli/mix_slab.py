"""`mix slab`: plaster, water and masses of a slab from its form, the plaster in hand, or what it should take up."""

from __future__ import annotations

import re
from typing import Any

import typer

from claybench.cli.common import Json, bucket, opened, quantity, say, settings_of, table
from claybench.cli.figures import short, show_sizing

_Q = "as typed: 25 lb, 12,5 mm, 1 1/2 in"
_LAB = "the lab's where left out"


def slab(
    context: typer.Context,
    shape: str = typer.Option("rectangle", "--shape", help="rectangle or round."),
    length: str | None = typer.Option(None, "--length", help=f"Inside length of the form or its diameter; {_Q}."),
    width: str | None = typer.Option(None, "--width", help="Inside width."),
    depth: str | None = typer.Option(None, "--depth", help="Depth to pour, the slab's thickness."),
    plaster: str | None = typer.Option(None, "--plaster", help="Plaster in hand, as in 25 lb; `bag` or `half bag`."),
    capacity: str | None = typer.Option(None, "--capacity", help="Water that each slab should take up."),
    capacity_share: str = typer.Option("100 %", "--capacity-share", help="Share of a slab that this water may fill."),
    heaviest: str | None = typer.Option(None, "--heaviest", help="The most one slab may weigh, full of water."),
    one_person: bool = typer.Option(False, "--one-person", help="As thick as one person should lift."),
    ratio: str = typer.Option("70", "--ratio", help="Water for 100 parts of plaster, by mass."),
    taper: str | None = typer.Option(None, "--taper", help="How far each side leans out over the depth."),
    taper_over: str | None = typer.Option(None, "--taper-over", help="Height over which it leans out so far."),
    corner: str | None = typer.Option(None, "--corner", help="Radius of the corners."),
    count: int = typer.Option(1, "--count", help="Slabs of this size."),
    waste: str = typer.Option("5 %", "--waste", help="Share of the mix that is left in the bucket and spilt."),
    water_temp: str = typer.Option("20 °C", "--water-temp", help="Temperature of the water."),
    evaporation: str | None = typer.Option(None, "--evaporation", help="What the air takes from a wet face, g/(m² h)."),
    dry_again: str | None = typer.Option(None, "--dry-again", help="Time in which the air should take that water."),
    bag: str | None = typer.Option(None, "--bag", help=f"What a bag of plaster holds; {_LAB}."),
    weighing_bucket: str | None = typer.Option(
        None, "--weighing-bucket", help=f"The weighing bucket, brim-full, or the powder it holds; {_LAB}."
    ),
    bucket_tare: str = typer.Option("0 g", "--bucket-tare", help="The empty weighing bucket's mass, on the scale too."),
    mixing_bucket: str | None = typer.Option(None, "--mixing-bucket", help=f"The mixing bucket, brim-full; {_LAB}."),
    fill: str | None = typer.Option(None, "--fill", help="Share of the mixing bucket that leaves room to stir."),
    scale_largest: str | None = typer.Option(None, "--scale-largest", help=f"Largest load of the scale; {_LAB}."),
    scale_step: str | None = typer.Option(None, "--scale-step", help=f"Step of the scale; {_LAB}."),
    record: str | None = typer.Option(None, "--record", help="Record the slab as cast now, under this code."),
    family: str | None = typer.Option(None, "--family", help="What will dry on it, where it is recorded."),
    as_json: bool = Json,
) -> None:
    """A plaster slab: plaster and water, masses, capacity, portions, buckets and the lift."""
    from claybench.facts.plaster import MIXING_FILL
    from claybench.mix import SLAB_FIGURES, SlabRequest, size_slab

    lab = settings_of(context)
    bag_g = quantity(bag, "g", "--bag", lab.number("bag_g"))
    bucket_ml, bucket_g = bucket(weighing_bucket, "--weighing-bucket", lab.number("weighing_bucket_ml"))
    sized = size_slab(
        SlabRequest(
            shape=shape,
            length_mm=quantity(length, "mm", "--length"),
            width_mm=quantity(width, "mm", "--width"),
            depth_mm=quantity(depth, "mm", "--depth"),
            corner_radius_mm=quantity(corner, "mm", "--corner", 0.0),
            taper_mm=quantity(taper, "mm", "--taper", 0.0),
            taper_over_mm=quantity(taper_over, "mm", "--taper-over"),
            count=count,
            mix_ratio=quantity(ratio, "%", "--ratio", 0.0),
            waste_pct=quantity(waste, "%", "--waste", 0.0),
            plaster_g=_plaster(plaster, bag_g),
            capacity_g=quantity(capacity, "g", "--capacity"),
            capacity_share=quantity(capacity_share, "1", "--capacity-share", 1.0),
            max_lift_kg=quantity(heaviest, "kg", "--heaviest"),
            one_person=one_person,
            bag_g=bag_g,
            weighing_bucket_g=bucket_g,
            weighing_bucket_ml=bucket_ml,
            bucket_tare_g=quantity(bucket_tare, "g", "--bucket-tare", 0.0),
            mixing_bucket_ml=quantity(mixing_bucket, "mL", "--mixing-bucket", lab.number("mixing_bucket_ml")),
            mixing_fill=quantity(fill, "1", "--fill", MIXING_FILL.value),
            scale_largest_g=quantity(scale_largest, "g", "--scale-largest", lab.number("scale_largest_g")),
            scale_step_g=quantity(scale_step, "g", "--scale-step", lab.number("scale_step_g")),
            water_temp_c=quantity(water_temp, "°C", "--water-temp", 20.0),
            evaporation_g_m2_h=quantity(evaporation, "g/(m**2*hour)", "--evaporation"),
            dry_again_h=quantity(dry_again, "h", "--dry-again"),
        )
    )
    if record is not None:
        _record(context, sized, record, family)
    portions = [_portion(portion) for mix in sized.mixes for portion in mix.plaster_portions]
    if not as_json:
        table(
            ["weigh in", "grams", "scale shows"],
            [[one["what"], short(one["mass_g"], 7), short(one["reading_g"], 7)] for one in portions],
        )
    show_sizing(sized.figures(), SLAB_FIGURES, sized.cautions, {"portions": portions, "lift": sized.lift}, as_json)


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


def _record(context: typer.Context, sized: Any, code: str, family: str | None) -> None:
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


def _portion(portion: Any) -> dict[str, Any]:
    return {
        "what": portion.what,
        "fill": portion.fill,
        "mass_g": portion.mass_g,
        "reading_g": portion.reading_g,
        "so_far_g": portion.so_far_g,
    }
