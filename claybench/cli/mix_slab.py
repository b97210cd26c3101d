"""`mix slab`: plaster, water and masses of a slab from its form, the plaster in hand, or what it should take up."""

from __future__ import annotations

from typing import Any

import typer

from claybench.cli.common import Json, bucket, opened, quantity, say, settings_and_air, table
from claybench.cli.figures import show_sizing
from claybench.quantity.shown import short

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
    batches_a_day: float | None = typer.Option(
        None, "--batches-a-day", help="In place of --capacity: batches that the slabs dry a day."
    ),
    batch_dry: str | None = typer.Option(None, "--batch-dry", help="Dry clay in each of these batches."),
    batch_water_per_dry: str | None = typer.Option(
        None, "--batch-water-per-dry", help="Water over dry clay in their slip; thin cream where left out."
    ),
    workable_water: str | None = typer.Option(
        None, "--workable-water", help="Their water when workable, of dry mass; the usual where left out."
    ),
    heaviest: str | None = typer.Option(None, "--heaviest", help="The most one slab may weigh, full of water."),
    one_person: bool = typer.Option(False, "--one-person", help="As thick as one person should lift."),
    ratio: str = typer.Option("70", "--ratio", help="Water for 100 parts of plaster, by mass."),
    taper: str | None = typer.Option(None, "--taper", help="How far each side leans out over the depth."),
    taper_over: str | None = typer.Option(None, "--taper-over", help="Height over which it leans out so far."),
    corner: str | None = typer.Option(None, "--corner", help="Radius of the corners."),
    count: int = typer.Option(1, "--count", help="Slabs of this size."),
    waste: str = typer.Option("5 %", "--waste", help="Share of the mix that is left in the bucket and spilt."),
    water_temp: str = typer.Option("20 °C", "--water-temp", help="Temperature of the water."),
    evaporation: str | None = typer.Option(
        None,
        "--evaporation",
        help="What the air takes from a wet face, g/(m² h); by the room's or the fan's air where left out.",
    ),
    dry_again: str | None = typer.Option(None, "--dry-again", help="Time in which the air should take that water."),
    fan: bool = typer.Option(True, "--fan/--room", help="Whether it dries before a fan or in the room's air."),
    bag: str | None = typer.Option(None, "--bag", help=f"What a bag of plaster holds; {_LAB}."),
    weighing_bucket: str | None = typer.Option(
        None, "--weighing-bucket", help=f"The weighing bucket, brim-full, or the powder it holds; {_LAB}."
    ),
    bucket_tare: str = typer.Option("0 g", "--bucket-tare", help="The empty weighing bucket's mass, on the scale too."),
    mixing_bucket: str | None = typer.Option(None, "--mixing-bucket", help=f"The mixing bucket, brim-full; {_LAB}."),
    fill: str | None = typer.Option(None, "--fill", help="Share of the mixing bucket that leaves room to stir."),
    scale_largest: str | None = typer.Option(None, "--scale-largest", help=f"Largest load of the scale; {_LAB}."),
    scale_step: str | None = typer.Option(None, "--scale-step", help=f"Step of the scale; {_LAB}."),
    record: str | None = typer.Option(
        None, "--record", help="Record the slab as cast now, under this code; several with commas between."
    ),
    family: str | None = typer.Option(None, "--family", help="What will dry on it, where it is recorded."),
    as_json: bool = Json,
) -> None:
    """A plaster slab: plaster and water, masses, capacity, portions, buckets and the lift."""
    from claybench.facts.clay import WORKABLE_WATER
    from claybench.facts.plaster import MIXING_FILL
    from claybench.mix import SLAB_FIGURES, SlabRequest, size_slab
    from claybench.mix.slab_request import USUAL_WATER_PER_DRY

    lab, airs = settings_and_air(context)
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
            batches_a_day=batches_a_day,
            batch_dry_g=quantity(batch_dry, "g", "--batch-dry"),
            batch_water_per_dry=quantity(batch_water_per_dry, "1", "--batch-water-per-dry", USUAL_WATER_PER_DRY),
            workable_water_pct=quantity(workable_water, "%", "--workable-water", WORKABLE_WATER.value),
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
            evaporation_g_m2_h=quantity(
                evaporation, "g/(m**2*hour)", "--evaporation", _evaporation(airs[fan]) if dry_again else None
            ),
            dry_again_h=quantity(dry_again, "h", "--dry-again"),
        )
    )
    if record is not None:
        _record(context, sized, record, family)
    portions = [_portion(portion) for mix in sized.mixes for portion in mix.plaster_portions]
    water_portions = [_portion(portion) for mix in sized.mixes for portion in mix.water_portions]
    if not as_json:
        table(
            ["weigh in", "grams", "scale shows"],
            [
                [one.what, short(one.mass_g, 12), short(one.reading_g, 12)]
                for mix in sized.mixes
                for one in (*mix.water_portions, *mix.plaster_portions)
            ],
        )
    extra = {"portions": portions, "water_portions": water_portions, "lift": sized.lift}
    extra |= _beside(sized, airs, lab, as_json)
    show_sizing(sized.figures(), SLAB_FIGURES, sized.cautions, extra, as_json)


def _evaporation(air: Any) -> float:
    from claybench.water.dryout import evaporation

    return evaporation(1e4, air.temp_c, air.rh_pct, air.speed_m_s)


def _beside(sized: Any, airs: tuple[Any, Any], lab: Any, as_json: bool) -> dict[str, Any]:
    """Days to dry in room and fan, and the same slab at other mix ratios."""
    from dataclasses import asdict

    from claybench.insight.sized_slab import sized_drying
    from claybench.mix.ratios import by_ratio, why_ratio

    ratios = [asdict(each) | {"why": why_ratio(sized.volume_ml, each.mix_ratio)} for each in by_ratio(sized.volume_ml)]
    dry_out: dict[str, Any] = {}
    for name, air in zip(("room", "fan"), airs, strict=True):
        found = sized_drying(sized, air, lab)
        dry = found.dry
        days = [None if each is None else each / 24 for each in (dry.dry_at_h, dry.dry_low_h, dry.dry_high_h)]
        dry_out[name] = {"days": days[0], "low": days[1], "high": days[2], "air": asdict(air)}
        dry_out[name] |= {"takes_g": found.takes_g, "ready_again_h": found.ready_h, "why": list(found.why)}
    if not as_json:
        table(
            ["mix ratio", "plaster", "dry slab", "takes up", "dry strength, rough"],
            [
                [
                    short(each["mix_ratio"]),
                    f"{each['plaster_g']:.0f} g",
                    f"{each['dry_g'] / 1000:.2f} kg",
                    f"{each['capacity_g']:.0f} g",
                    f"{each['dry_strength_mpa']:.0f} MPa",
                ]
                for each in ratios
            ],
        )
        table(
            ["dries out", "days", "90 %", "ready again after", "having taken"],
            [
                [
                    name,
                    short(found["days"], 2),
                    f"{short(found['low'], 2)} to {short(found['high'], 2)}",
                    "" if found["ready_again_h"] is None else f"{found['ready_again_h']:.0f} h",
                    f"{found['takes_g']:.0f} g",
                ]
                for name, found in dry_out.items()
            ],
        )
    return {"ratios": ratios, "dry_out": dry_out}


def _plaster(text: str | None, bag_g: float) -> float | None:
    """Plaster in hand; a bag, half a bag, 2 bags."""
    from claybench.errors import BadInput
    from claybench.mix.typed import plaster_in_hand

    if text is None:
        return None
    try:
        return plaster_in_hand(text, bag_g)
    except BadInput as error:
        raise BadInput(f"--plaster: {error.reason}", error.remedy, field="--plaster") from error


def _record(context: typer.Context, sized: Any, codes: str, family: str | None) -> None:
    from claybench import clock
    from claybench.mix.pour_list import codes_of_pour, pour_list, slabs_of
    from claybench.work.slabs import cast_slab

    named, pour = codes_of_pour(codes, sized.request.count)
    with opened(context) as lab:
        now = clock.in_zone(lab.now(), lab.zone)
        for slab in slabs_of(sized, named, family=family, cast_at=now, pour=pour):
            cast_slab(lab, slab, mixed_at=now, weighed=pour_list(sized) if slab.slab == named[0] else ())
    say(f"Recorded slab{'' if len(named) == 1 else 's'} {', '.join(named)}.")


def _portion(portion: Any) -> dict[str, Any]:
    return {
        "what": portion.what,
        "fill": portion.fill,
        "mass_g": portion.mass_g,
        "reading_g": portion.reading_g,
        "so_far_g": portion.so_far_g,
    }
