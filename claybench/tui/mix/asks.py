"""What each sizing asks, and the requests that come of it. Knows no widget."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from claybench.errors import BadInput
from claybench.facts.clay import SOLIDS_SG
from claybench.insight.settings import Settings
from claybench.mix import Addition, PieceWanted, SlabRequest, SlipRequest
from claybench.mix.blends import BlendRequest
from claybench.mix.correction import CorrectionRequest
from claybench.mix.slip_request import PIECE_SHAPES
from claybench.mix.typed import additions, plaster_in_hand
from claybench.quantity.shown import plain
from claybench.tui.forms import Ask
from claybench.water.dryout import evaporation

if TYPE_CHECKING:
    from claybench.ask.mixing import BodySlip, MixStart, Recipe


def slab_asks(start: MixStart) -> tuple[Ask, ...]:
    """What a slab is sized from."""
    bag = start.settings.number("bag_g")
    return (
        Ask("shape", "form", "word", words=("rectangle", "round"), required=True, text="rectangle"),
        Ask("length_mm", "inside length", "number", "mm", above=0, note="or diameter: 50 cm, 20 in"),
        Ask("width_mm", "inside width", "number", "mm", above=0),
        Ask("depth_mm", "depth to pour", "number", "mm", above=0, note="or one of those below"),
        Ask("plaster", "plaster in hand", note="25 lb, 12.5 kg, half a bag", echoes=lambda text: _bags(text, bag)),
        Ask("capacity_g", "water it should take", "number", "g", above=0),
        Ask("batches_a_day", "batches to dry a day", "number", above=0, note="with the next line"),
        Ask("batch_dry_g", "dry clay in each", "number", "g", above=0, note="1.5 kg"),
        Ask("dry_again_h", "dry again within", "number", "hour", above=0, note="14 h: by the next morning"),
        Ask("max_lift_kg", "heaviest when full", "number", "kg", above=0, note="full of water"),
        Ask("one_person", "one person lifts it", "yesno", required=True, text="no", words=("no", "yes")),
        Ask("mix_ratio", "mix ratio", "number", above=0, text="70", note="water per 100 of plaster"),
        Ask("taper_mm", "each side leans out", "number", "mm", low=0, note="nothing for upright sides"),
        Ask("corner_radius_mm", "corner radius", "number", "mm", low=0),
        Ask("count", "slabs", "whole", low=1, text="1"),
        Ask("waste_pct", "waste", "number", "%", low=0, text="5 %"),
        Ask("place", "dries", "word", words=("room", "fan"), required=True, text="fan", note="for: dry again within"),
    )


def slip_asks(start: MixStart, body: str) -> tuple[Ask, ...]:
    """What a batch of slip is sized from."""
    return (
        Ask(
            "body",
            "body",
            "code",
            required=True,
            text=body,
            suggestions=start.bodies,
            note=", ".join(start.bodies[-4:]),
        ),
        Ask("shape", "pieces", "word", words=PIECE_SHAPES, required=True, text="bar"),
        Ask("count", "of them a firing", "whole", low=1, text="5", note="or a mass below"),
        Ask("length_mm", "length", "number", "mm", above=0, text="130 mm", note="or diameter"),
        Ask("width_mm", "width", "number", "mm", above=0, text="30 mm", note="empty for a disc"),
        Ask("thickness_mm", "thickness", "number", "mm", above=0, text="10 mm"),
        Ask("piece_g", "or each weighs", "number", "g", above=0),
        Ask("firings", "firings", "whole", low=1, text="2"),
        Ask("spares", "spares a firing", "whole", low=0, text="1"),
        Ask("plastic_g", "or workable clay", "number", "g", above=0),
        Ask("dry_g", "or dry batch", "number", "g", above=0),
        Ask("additions", "additions", note="silicate 0.3 %; bentonite 1 %", echoes=_added),
        Ask("slip_sg", "slip weighs", "number", above=1, note="specific gravity; 1.4 is thin cream"),
        Ask("water_per_dry", "or water per dry", "number", above=0, note="0.8 for 80 %"),
        Ask("layer_mm", "depth of slip", "number", "mm", above=0, note="empty: all at once"),
        Ask("rim_mm", "rim or frame", "number", "mm", low=0, text="25 mm", note="0 for a bare slab"),
        Ask("loss_pct", "usual loss", "number", "%", low=0, text=f"{start.settings.number('usual_loss_pct'):g} %"),
        Ask("rounding_pct", "rounding at most", "number", "%", above=0, text="5 %", note="in any one material"),
    )


def correction_asks(start: MixStart, batch: str) -> tuple[Ask, ...]:
    """What a correction is reckoned from."""
    return (
        Ask("batch", "batch", "code", text=batch, suggestions=start.batches, note="for its dry body and its log"),
        Ask("mass_g", "weighed slip", "number", "g", above=0, note="vessel taken off"),
        Ask("volume_ml", "its volume", "number", "mL", above=0, note="500 mL"),
        Ask("slip_sg", "or specific gravity", "number", above=1),
        Ask("slip_g", "slip in the bucket", "number", "g", above=0),
        Ask("slip_ml", "or its volume", "number", "mL", above=0),
        Ask("target_sg", "should weigh", "number", above=1, note="empty: as the batch was sized"),
    )


def blend_asks(start: MixStart, body: str) -> tuple[Ask, ...]:
    """What a line or a triangle is made of."""
    about: dict[str, Any] = {"kind": "code", "suggestions": start.bodies}
    return (
        Ask("first", "first body", required=True, text=body, **about),
        Ask("second", "second body", required=True, note=", ".join(start.bodies[-4:]), **about),
        Ask("third", "third body", note="empty for a line", **about),
        Ask("steps", "steps", "whole", low=1, high=50, text="4", note="a line of 4 has 5 mixtures"),
        Ask("dry_g", "dry clay in each", "number", "g", above=0, text="1000 g"),
        Ask("by", "blended", "word", words=("slip", "dry"), required=True, text="slip", note="by volume, or by mass"),
        Ask("sg_first", "first slip weighs", "number", above=1, note="empty: as its newest batch"),
        Ask("sg_second", "second slip weighs", "number", above=1),
        Ask("sg_third", "third slip weighs", "number", above=1),
    )


def _bags(text: str, bag_g: float) -> str:
    return f"= {plain(plaster_in_hand(text, bag_g), 0)} g"


def _added(text: str) -> str:
    return "= " + ", ".join(f"{name} {pct:g} %" for name, pct in additions(text))


def slab_request(values: dict[str, Any], start: MixStart) -> SlabRequest:
    """The request for a slab."""
    settings, bag = start.settings, start.settings.number("bag_g")
    given = {name: value for name, value in values.items() if value is not None}
    place, plaster, again = given.pop("place", "fan"), given.pop("plaster", None), given.get("dry_again_h")
    air = start.fan if place == "fan" else start.room
    return SlabRequest(
        **given,
        plaster_g=None if plaster is None else plaster_in_hand(plaster, bag),
        evaporation_g_m2_h=None if again is None else evaporation(1e4, air.temp_c, air.rh_pct, air.speed_m_s),
        bag_g=bag,
        weighing_bucket_ml=settings.number("weighing_bucket_ml"),
        mixing_bucket_ml=settings.number("mixing_bucket_ml"),
        scale_largest_g=settings.number("scale_largest_g"),
        scale_step_g=settings.number("scale_step_g"),
    )


def slip_request(values: dict[str, Any], recipe: Recipe) -> SlipRequest:
    """The request for a batch; a mass goes before pieces."""
    settings: Settings = recipe.settings
    by_mass = {name: values[name] for name in ("plastic_g", "dry_g") if values.get(name) is not None}
    slip_sg, share = values["slip_sg"], values["water_per_dry"]
    if slip_sg is None and share is None:
        # The body's own figure, else what has poured well before; thin cream where neither is known.
        slip_sg = recipe.body.slip_sg
        share = recipe.water_per_dry if slip_sg is None else None
    return SlipRequest(
        body=recipe.parts,
        pieces=() if by_mass else (_pieces(values),),
        firings=values["firings"] or 1,
        **by_mass,
        additions=tuple(_addition(name, pct, recipe) for name, pct in additions(values["additions"] or "")),
        workable_water_pct=recipe.body.workable_water_pct,
        loss_pct=values["loss_pct"] if values["loss_pct"] is not None else settings.number("usual_loss_pct"),
        slip_sg=slip_sg,
        water_per_dry=share,
        scale_step_g=settings.number("scale_step_g"),
        scale_largest_g=settings.number("scale_largest_g"),
        weighing_bucket_ml=settings.number("weighing_bucket_ml"),
        mixing_bucket_ml=settings.number("mixing_bucket_ml"),
        max_rounding_pct=values["rounding_pct"] or 5.0,
        family=recipe.body.family,
        slabs=tuple(replace(slab, rim_mm=values["rim_mm"] or 0.0) for slab in recipe.slabs),
        layer_mm=values["layer_mm"],
    )


def _pieces(values: dict[str, Any]) -> PieceWanted:
    disc = values["shape"] == "disc"
    return PieceWanted(
        shape=values["shape"],
        count=values["count"] or 1,
        length_mm=values["length_mm"],
        width_mm=None if disc else values["width_mm"],
        thickness_mm=values["thickness_mm"],
        plastic_g=values["piece_g"],
        spares=values["spares"] or 0,
    )


def _addition(name: str, pct: float, recipe: Recipe) -> Addition:
    """An addition with what the lab knows of the material."""
    held = recipe.materials.get(name.casefold())
    return Addition(
        material=held.material if held else name,
        pct_of_dry=pct,
        price_per_kg=held.price_per_kg if held else None,
        caution=held.caution if held else None,
        deflocculant=held is not None and held.kind == "deflocculant",
    )


def correction_request(
    values: dict[str, Any], slip: BodySlip | None, sized_sg: float | None, step: float
) -> CorrectionRequest:
    """The request for a correction; the batch says what it should weigh where nobody does."""
    target = values["target_sg"] or sized_sg or (slip.body.slip_sg if slip else None)
    if target is None:
        raise BadInput("What the slip should weigh is not given.", "Thin cream is 1.4.", field="target_sg")
    return CorrectionRequest(
        target_sg=target,
        slip_sg=values["slip_sg"],
        mass_g=values["mass_g"],
        volume_ml=values["volume_ml"],
        slip_g=values["slip_g"],
        slip_ml=values["slip_ml"],
        scale_step_g=step,
        solids_sg=slip.solids_sg if slip is not None else SOLIDS_SG.value,
        solids_known=slip is not None,
    )


def blend_request(values: dict[str, Any], slips: list[BodySlip], step: float) -> BlendRequest:
    """The request for a blend."""
    typed = [values[name] for name in ("sg_first", "sg_second", "sg_third")][: len(slips)]
    gravities = (
        [None] * len(slips) if values["by"] == "dry" else [a or b.slip_sg for a, b in zip(typed, slips, strict=True)]
    )
    if values["by"] == "slip" and all(each is None for each in gravities):
        raise BadInput("The slips' weights are not known.", "Give each, or blend by dry mass.", field="sg_first")
    return BlendRequest(
        bodies=tuple(each.body.body for each in slips),
        steps=values["steps"] or 4,
        dry_g=values["dry_g"] or 1000.0,
        solids_sg=tuple(each.solids_sg for each in slips),
        slip_sg=tuple(gravities),
        scale_step_g=step,
    )
