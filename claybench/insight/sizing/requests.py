"""From what was typed to the request of a sizing: the same for the screen's fields and for a command's options.

What an input is called, its unit, its default and its range stand in `terms.sizing`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median
from typing import Any

from claybench.errors import BadInput
from claybench.facts.clay import PLAIN_SLIP_SG, SOLIDS_SG
from claybench.insight.air import AirConditions
from claybench.insight.settings import Settings
from claybench.insight.sizing.shelf import MaterialShelf, resolve_parts
from claybench.mix.batch_weights import recorded_mass
from claybench.mix.blends import BlendRequest
from claybench.mix.doses import Dose, named_number, plaster_in_hand, read_doses
from claybench.mix.sized_for import SizedFor
from claybench.mix.slab_request import SlabRequest
from claybench.mix.slip_correction import CorrectionRequest
from claybench.mix.slip_formulas import water_for_specific_gravity
from claybench.mix.slip_request import BodyPart, PieceWanted, SlabState, SlipRequest
from claybench.mix.slip_sizing import SlipSizing
from claybench.quantity.grammar import parse_quantity
from claybench.quantity.inputs import parse_input
from claybench.quantity.setting import read_lifts
from claybench.quantity.shown import plain, short_number
from claybench.quantity.units import canonical_unit
from claybench.terms import SETTINGS, TEXT_UNITS, Batch, Body
from claybench.terms.sizing import BLEND, CORRECTION, SLAB, SLIP, SizingInput
from claybench.water.slab_drying import evaporation


@dataclass(frozen=True, slots=True)
class SizingBasis:
    """What the request for a batch has to know of a body and of the lab."""

    body: Body
    parts: tuple[BodyPart, ...]
    slabs: tuple[SlabState, ...]
    """Slabs of the body's family, driest first; all where it has none."""
    settings: Settings
    poured_well: tuple[tuple[str, float], ...]
    """The body's own batches that became workable as poured: water over dry clay of each, newest first."""
    shelf: MaterialShelf
    """Materials and lots of the lab, for additions."""

    @property
    def water_per_dry(self) -> float | None:
        """The middle of its batches that poured well; None where there are none."""
        return median(share for _, share in self.poured_well) if self.poured_well else None


@dataclass(frozen=True, slots=True)
class BodySlip:
    """A body as a blend or a correction has to know it."""

    body: Body
    lines: tuple[tuple[str, float], ...]
    solids_sg: float
    slip_sg: float | None
    """Specific gravity of its newest batch, as mixed or corrected; else the body's own."""


Typed = Mapping[str, str]
"""Texts by the names of the inputs. A name that is missing has its default; an empty text was left out on purpose."""
_SCALE = ("scale_step_g", "scale_largest_g", "mixing_bucket_ml", "mixing_fill")
_MASSES = ("plastic_g", "dry_g")
_BETWEEN = ";"
"""What stands between several of a kind in one line."""


def default_text(declared: SizingInput, settings: Settings) -> str:
    """What stands in an input until something is typed: the lab's setting, or its own default.

    >>> default_text(SLIP["loss_pct"], Settings()), default_text(SLIP["length_mm"], Settings())
    ('5 %', '130 mm')
    """
    if not declared.setting:
        return declared.default
    if SETTINGS[declared.setting].unit in TEXT_UNITS:
        return settings.text_of(declared.setting)
    sign = canonical_unit(SETTINGS[declared.setting].unit)
    return f"{short_number(settings.number_of(declared.setting), 10)} {sign}"


def understand_inputs(
    inputs: Mapping[str, SizingInput], typed: Typed, settings: Settings, *, by_option: bool = False
) -> dict[str, Any]:
    """Every input understood, None where it is left out; an option is named in what is wrong where that is wanted."""
    values: dict[str, Any] = {}
    for name, asked in inputs.items():
        text = typed.get(name, "" if asked.said else default_text(asked, settings)).strip()
        if not text and asked.setting:
            text = default_text(asked, settings)
        if not text:
            if asked.required and name in typed:
                raise BadInput(f"The {asked.label} is needed.", "Name it.", field=name)
            values[name] = None
            continue
        try:
            values[name] = parse_input(asked, text)
        except BadInput as error:
            if not by_option:
                raise
            raise BadInput(f"{asked.spelled}: {error.reason}", error.remedy, field=asked.spelled) from error
    return values


def _default_value(declared: SizingInput) -> Any:
    """What an input counts as where somebody emptied it: its default in the dictionary of sizings."""
    return parse_input(declared, declared.default)


def _bucket(text: str | None) -> dict[str, float]:
    """A bucket by its volume, or by the powder it holds."""
    if text is None:
        return {}
    try:
        return {"weighing_bucket_ml": parse_quantity(text, "mL").value}
    except BadInput as error:
        try:
            return {"weighing_bucket_g": parse_quantity(text, "g").value}
        except BadInput:
            raise BadInput(error.reason, error.remedy, field="weighing_bucket") from error


# -- slip ------------------------------------------------------------------------------------------


def slip_request(
    typed: Typed,
    recipe: SizingBasis | None,
    settings: Settings | None = None,
    shelf: MaterialShelf | None = None,
    *,
    by_option: bool = False,
) -> SlipRequest:
    """The request for a batch, of a body of the lab, or of materials given with their parts."""
    settings = recipe.settings if recipe is not None else settings or Settings()
    shelf = recipe.shelf if recipe is not None else shelf or MaterialShelf()
    if typed.get("count", "").strip() == SLIP["count"].default and any(typed.get(name, "").strip() for name in _MASSES):
        typed = {**typed, "count": ""}  # the pieces that stand in the form give way to a mass that was typed
    values = understand_inputs(SLIP, typed, settings, by_option=by_option)
    slip_sg, share = values["slip_sg"], values["water_per_dry"]
    if recipe is not None and slip_sg is None and share is None:
        # The body's own figure, else what has poured well before; thin cream where neither is known.
        slip_sg = recipe.body.slip_sg
        share = recipe.water_per_dry if slip_sg is None else None
    water, family = values["workable_water_pct"], values["family"]
    if recipe is not None:
        lines = [(part.material, part.parts) for part in recipe.parts]
        water, family = water if water is not None else recipe.body.workable_water_pct, recipe.body.family
    else:
        lines = [named_number(text, SLIP["parts"].spelled) for text in _several(values["parts"])]
    parts, additions = resolve_parts(lines, doses_typed(values), shelf)
    return SlipRequest(
        body=parts,
        pieces=() if values["count"] is None else (_pieces(values),),
        firings=values["firings"] or _default_value(SLIP["firings"]),
        additions=additions,
        workable_water_pct=water,
        slip_sg=slip_sg,
        water_per_dry=share,
        family=family,
        slabs=_slabs(values, recipe.slabs if recipe is not None else ()),
        **{name: values[name] for name in (*_MASSES, "plastic_density", "loss_pct", "parts_sum", "layer_mm")},
        **{name: values[name] for name in (*_SCALE, "max_rounding_pct") if values[name] is not None},
        **_bucket(values["weighing_bucket"]),
    )


def doses_typed(values: Mapping[str, Any]) -> list[Dose]:
    """Additions as they were typed."""
    return [
        *read_doses(values["additions"] or "", SLIP["additions"].name),
        *read_doses(values["deflocculants"] or "", SLIP["deflocculants"].name, deflocculant=True),
    ]


def doses_of_request(request: SlipRequest) -> list[Dose]:
    """The additions of a request as doses, which is how the record keeps them."""
    return [
        Dose(
            each.material,
            each.pct_of_dry if each.supplied_pct is None else each.supplied_pct,
            as_supplied=each.supplied_pct is not None,
            deflocculant=each.deflocculant,
        )
        for each in request.additions
        if each.pct_of_dry > 0
    ]


def batch_planned(sized: SlipSizing, **about: Any) -> Batch:
    """The batch of a sizing before anything is weighed."""
    return _batch(sized, sized.planned, about)


def planned_masses(dry_g: float, slip_sg: float, solids_sg: float) -> dict[str, Any]:
    """Dry mass, water and density of a batch that is planned without a full sizing, by the names of its columns."""
    water = water_for_specific_gravity(dry_g, slip_sg, solids_sg)
    return {"dry_mass_g": recorded_mass(dry_g), "water_g": recorded_mass(water), "slip_sg": slip_sg}


def batch_mixed(sized: SlipSizing, **about: Any) -> Batch:
    """The batch of a sizing with everything weighed as the scale is to show it, as weighing it out would record it."""
    return _batch(sized, sized.as_weighed, about)


def _batch(sized: SlipSizing, masses: tuple[float, float], about: dict[str, Any]) -> Batch:
    dry, water = masses
    values: dict[str, Any] = {"made": "slip", "dry_mass_g": dry, "water_g": water, "slip_sg": round(sized.slip_sg, 3)}
    return Batch(**(values | about))


def weighed_lines(sized: SlipSizing) -> list[tuple[str, str | None, float]]:
    """Each material with its lot and its mass as the scale is to show it."""
    return [(line.material, line.lot, line.rounded_g) for line in sized.lines]


def sized_for_note(sized: SlipSizing) -> SizedFor:
    """What a batch was sized for, to be kept with it: its pieces, and the depth it gives where one was wanted."""
    request = sized.request
    layer = request.layer_mm
    if layer is None and (fit := next((each for each in sized.slabs if each.takes == "yes"), None)) is not None:
        layer = fit.layer_mm
    if len(request.pieces) != 1:
        return SizedFor(layer_mm=layer)
    piece = request.pieces[0]
    return SizedFor(
        shape=piece.shape,
        count=piece.count,
        length_mm=piece.length_mm if piece.plastic_g is None else None,
        width_mm=piece.width_mm if piece.plastic_g is None else None,
        thickness_mm=piece.thickness_mm if piece.plastic_g is None else None,
        piece_g=piece.plastic_g,
        firings=request.firings,
        spares=piece.spares,
        dry_g=sized.planned[0],
        layer_mm=layer,
    )


def _several(text: str | None) -> list[str]:
    return [part for part in (text or "").split(_BETWEEN) if part.strip()]


def _pieces(values: Mapping[str, Any]) -> PieceWanted:
    by_mass, disc = values["piece_g"] is not None, values["shape"] == "disc"
    return PieceWanted(
        shape=values["shape"] or _default_value(SLIP["shape"]),
        count=values["count"],
        length_mm=None if by_mass else values["length_mm"],
        width_mm=None if by_mass or disc else values["width_mm"],
        thickness_mm=None if by_mass else values["thickness_mm"],
        plastic_g=values["piece_g"],
        spares=values["spares"] or 0,
    )


def _slabs(values: Mapping[str, Any], held: Sequence[SlabState]) -> tuple[SlabState, ...]:
    """The slabs to look at: the lab's, one of them, or one given by its area."""
    area, takes, code = values["slab_area_cm2"], values["slab_takes_g"], values["slab"]
    if area is not None:
        held = (SlabState(slab="slab", usable_area_cm2=area, capacity_left_g=takes),)
    elif takes is not None:
        raise BadInput("--slab-takes belongs to a slab given with --slab-area.", "Give its area too.")
    elif code is not None:
        held = [each for each in held if each.slab.casefold() == code.casefold()]
        if not held:
            raise BadInput(f"No slab '{code}' suits this body.", "Leave it out to see those that do.", field="slab")
    return tuple(replace(each, rim_mm=values["rim_mm"] or 0.0) for each in held)


# -- slab ------------------------------------------------------------------------------------------


def slab_request(
    typed: Typed, settings: Settings, room: AirConditions, fan: AirConditions, *, by_option: bool = False
) -> SlabRequest:
    """The request for a slab; the air where it dries counts where it is to be dry again in a time."""
    values = understand_inputs(SLAB, typed, settings, by_option=by_option)
    place, plaster, bucket = values.pop("place"), values.pop("plaster"), values.pop("weighing_bucket")
    given: dict[str, Any] = {name: value for name, value in values.items() if value is not None}
    given |= _bucket(bucket)
    if plaster is not None:
        try:
            given["plaster_g"] = plaster_in_hand(plaster, values["bag_g"])
        except BadInput as error:
            said = f"{SLAB['plaster'].spelled}: " if by_option else ""
            raise BadInput(f"{said}{error.reason}", error.remedy, field="plaster") from error
    if values["dry_again_h"] is not None and values["evaporation_g_m2_h"] is None:
        air = room if place == "room" else fan
        given["evaporation_g_m2_h"] = evaporation(1e4, air.temp_c, air.rh_pct, air.speed_m_s)
    return SlabRequest(lifts=_lifts(given.pop("lifts"), by_option=by_option), **given)


def _lifts(text: str, *, by_option: bool) -> tuple[str, ...]:
    try:
        return read_lifts(text)
    except BadInput as error:
        said = f"{SLAB['lifts'].spelled}: " if by_option else ""
        raise BadInput(f"{said}{error.reason}", error.remedy, field="lifts") from error


# -- correcting and blending -----------------------------------------------------------------------


def correction_request(
    typed: Typed, slip: BodySlip | None, sized_sg: float | None, settings: Settings, *, by_option: bool = False
) -> CorrectionRequest:
    """The request for a correction; the batch says what it should weigh where nobody does."""
    values = understand_inputs(CORRECTION, typed, settings, by_option=by_option)
    target = values["target_sg"] or sized_sg or (slip.body.slip_sg if slip else None)
    if target is None:
        raise BadInput(
            "The target specific gravity is not given.",
            f"Say it ({CORRECTION['target_sg'].spelled}); thin cream is {plain(PLAIN_SLIP_SG.value)}.",
            field="target_sg",
        )
    solids = values["solids_sg"]
    return CorrectionRequest(
        target_sg=target,
        **{name: values[name] for name in ("slip_sg", "mass_g", "volume_ml", "slip_g", "slip_ml", "scale_step_g")},
        solids_sg=solids or (slip.solids_sg if slip is not None else SOLIDS_SG.value),
        solids_known=slip is not None or solids is not None,
    )


def blend_request(
    typed: Typed, slips: Sequence[BodySlip], settings: Settings, *, by_option: bool = False
) -> BlendRequest:
    """The request for a blend: by volume of slip where what each weighs is known, or where that is wanted."""
    values = understand_inputs(BLEND, typed, settings, by_option=by_option)
    said = [values[name] for name in ("sg_first", "sg_second", "sg_third")][: len(slips)]
    gravities = [own or slip.slip_sg for own, slip in zip(said, slips, strict=True)]
    by = values["by"] or ("slip" if all(gravities) or any(said) else "dry")
    if by == "dry":
        gravities = [None] * len(slips)
    elif not any(gravities):
        raise BadInput("The slips' weights are not known.", "Give each, or blend by dry mass.", field="sg_first")
    return BlendRequest(
        bodies=tuple(each.body.body for each in slips),
        steps=values["steps"] or _default_value(BLEND["steps"]),
        dry_g=values["dry_g"] or _default_value(BLEND["dry_g"]),
        solids_sg=tuple(each.solids_sg for each in slips),
        slip_sg=tuple(gravities),
        scale_step_g=values["scale_step_g"],
    )


def blend_typed(typed: Typed, gravities: Sequence[str]) -> dict[str, str]:
    """A command's weights of the slips under the names of the screen's fields, in the bodies' order."""
    return {**typed, **dict(zip(("sg_first", "sg_second", "sg_third"), gravities, strict=False))}
