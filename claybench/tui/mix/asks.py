"""What the two sizings ask, and the requests that come of it. Knows no widget."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from claybench.insight.settings import Settings
from claybench.mix import PieceWanted, SlabRequest, SlipRequest
from claybench.tui.forms import Ask

SLAB_ASKS = (
    Ask("shape", "form", "word", words=("rectangle", "round"), required=True, text="rectangle"),
    Ask("length_mm", "inside length", "number", "mm", above=0, note="or diameter: 50 cm, 20 in"),
    Ask("width_mm", "inside width", "number", "mm", above=0),
    Ask("depth_mm", "depth to pour", "number", "mm", above=0, note="or one of the next three"),
    Ask("plaster_g", "plaster in hand", "number", "g", above=0, note="25 lb, 12.5 kg"),
    Ask("capacity_g", "water it should take", "number", "g", above=0),
    Ask("max_lift_kg", "heaviest when full", "number", "kg", above=0, note="full of water"),
    Ask("mix_ratio", "mix ratio", "number", above=0, text="70", note="water per 100 of plaster"),
    Ask("taper_mm", "each side leans out", "number", "mm", low=0, note="nothing for upright sides"),
    Ask("corner_radius_mm", "corner radius", "number", "mm", low=0),
    Ask("count", "slabs", "whole", low=1, text="1"),
    Ask("waste_pct", "waste", "number", "%", low=0, text="5 %"),
)


def slip_asks(bodies: tuple[str, ...], body: str, settings: Settings) -> tuple[Ask, ...]:
    """What a batch of slip is sized from."""
    return (
        Ask("body", "body", "code", required=True, text=body, suggestions=bodies, note=", ".join(bodies[-4:])),
        Ask("count", "bars a firing", "whole", low=1, text="5", note="or a mass below"),
        Ask("length_mm", "length", "number", "mm", above=0, text="130 mm"),
        Ask("width_mm", "width", "number", "mm", above=0, text="30 mm"),
        Ask("thickness_mm", "thickness", "number", "mm", above=0, text="10 mm"),
        Ask("firings", "firings", "whole", low=1, text="2"),
        Ask("spares", "spares a firing", "whole", low=0, text="1"),
        Ask("plastic_g", "or workable clay", "number", "g", above=0),
        Ask("dry_g", "or dry batch", "number", "g", above=0),
        Ask("slip_sg", "slip weighs", "number", above=1, note="specific gravity; 1.4 is thin cream"),
        Ask("water_per_dry", "or water per dry", "number", above=0, note="0.8 for 80 %"),
        Ask("layer_mm", "depth of slip", "number", "mm", above=0, note="empty: all at once"),
        Ask("rim_mm", "rim or frame", "number", "mm", low=0, text="25 mm", note="0 for a bare slab"),
        Ask("loss_pct", "usual loss", "number", "%", low=0, text=f"{settings.number('usual_loss_pct'):g} %"),
    )


def slab_request(values: dict[str, Any], settings: Settings) -> SlabRequest:
    """The request for a slab."""
    given = {name: value for name, value in values.items() if value is not None}
    return SlabRequest(
        **given,
        bag_g=settings.number("bag_g"),
        weighing_bucket_ml=settings.number("weighing_bucket_ml"),
        mixing_bucket_ml=settings.number("mixing_bucket_ml"),
        scale_largest_g=settings.number("scale_largest_g"),
        scale_step_g=settings.number("scale_step_g"),
    )


def slip_request(values: dict[str, Any], recipe: Any) -> SlipRequest:
    """The request for a batch: of pieces, workable clay and dry batch the one that is filled last in the form."""
    settings: Settings = recipe.settings
    by_mass = {name: values[name] for name in ("plastic_g", "dry_g") if values.get(name) is not None}
    pieces = () if by_mass else (
        PieceWanted(
            shape="bar",
            count=values["count"] or 1,
            length_mm=values["length_mm"],
            width_mm=values["width_mm"],
            thickness_mm=values["thickness_mm"],
            spares=values["spares"] or 0,
        ),
    )  # fmt: skip
    slip_sg = values["slip_sg"]
    if slip_sg is None and values["water_per_dry"] is None:
        slip_sg = recipe.body.slip_sg
    return SlipRequest(
        body=recipe.parts,
        pieces=pieces,
        firings=values["firings"] or 1,
        **by_mass,
        workable_water_pct=recipe.body.workable_water_pct,
        loss_pct=values["loss_pct"] if values["loss_pct"] is not None else settings.number("usual_loss_pct"),
        slip_sg=slip_sg,
        water_per_dry=values["water_per_dry"],
        scale_step_g=settings.number("scale_step_g"),
        scale_largest_g=settings.number("scale_largest_g"),
        weighing_bucket_ml=settings.number("weighing_bucket_ml"),
        mixing_bucket_ml=settings.number("mixing_bucket_ml"),
        family=recipe.body.family,
        slabs=tuple(replace(slab, rim_mm=values["rim_mm"] or 0.0) for slab in recipe.slabs),
        layer_mm=values["layer_mm"],
    )
