"""Sizing a slab in any direction: form and depth to plaster, or plaster, capacity or lift to depth or size.

Numbers are worked out here, each noted with what went into it; `slab_figures` makes their reasons, on demand.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from claybench.errors import OutOfRange, Question
from claybench.facts.fact import Origin
from claybench.facts.plaster import MIX_RATIO
from claybench.facts.reason import Worksheet
from claybench.facts.safety import PEOPLE_AT_MOST, SELDOM
from claybench.mix import slab_masses as masses
from claybench.mix.cautions import cautions_for
from claybench.mix.input_checks import unusual_inputs
from claybench.mix.lifting import hands_distance, lifting_index, people_to_lift, recommended_weight
from claybench.mix.manual_lifts import SlabLift, hardest_lift, lifts_of_slab
from claybench.mix.material_cautions import Caution
from claybench.mix.plaster_mix import (
    peak_temperature,
    plaster_for_volume,
    set_volume,
    temperature_rise,
    water_for_plaster,
)
from claybench.mix.portions import (
    Portion,
    bucket_load,
    largest_filling,
    mixes_needed,
    room_to_stir,
    rounded_to_scale,
    split_into_portions,
    water_dried_off,
)
from claybench.mix.slab_form import SlabForm, note_solved, solve_form
from claybench.mix.slab_request import SlabRequest, check_slab
from claybench.mix.slip_formulas import day_load
from claybench.quantity.shown import plain, show
from claybench.terms.sizing import SLAB

MOST_MIXES = 100


@dataclass(frozen=True, slots=True)
class PlasterMix:
    """One filling of the mixing bucket, rounded to the scale and portioned for the weighing bucket."""

    slabs: int
    """Slabs poured from it; 0 where one slab takes several mixes."""
    plaster_g: float
    water_g: float
    slurry_ml: float
    plaster_portions: tuple[Portion, ...]
    water_portions: tuple[Portion, ...]


@dataclass(frozen=True, slots=True)
class SlabSizing:
    """A slab as sized. Masses of the slab are of one slab; plaster, water and slurry of all."""

    request: SlabRequest
    """With a day's batches turned into the capacity they ask for."""
    asked: SlabRequest
    """As it was asked."""
    day_load_g: float | None
    """Water of a day's batches, for all slabs together; None where not asked."""
    length_mm: float
    width_mm: float | None
    """None for a round slab."""
    depth_mm: float
    area_cm2: float
    """The face that lies on the floor of the form."""
    volume_ml: float
    plaster_each_g: float
    plaster_g: float
    water_g: float
    slurry_ml: float
    as_cast_g: float
    dry_g: float
    dry_off_g: float
    """Water to dry off before it is dry."""
    pore_water_g: float
    capacity_g: float
    full_g: float
    lifts: tuple[SlabLift, ...]
    """The lifts that are made with it."""
    hands_cm: float
    """In its hardest lift."""
    recommended_kg: float | None
    """What one person should lift in its hardest lift; None where it is out of reach of one."""
    people: int
    """People a full slab takes; 3 stands for a lifting aid."""
    temperature_rise_k: float
    peak_temp_c: float
    dried_again_g: float | None
    mixes: tuple[PlasterMix, ...]
    cautions: tuple[Caution, ...]
    worked: Worksheet = field(repr=False, compare=False)
    """The formulas of its figures, each with what went into it."""

    @property
    def hardest(self) -> SlabLift:
        """The lift for which one person should take least."""
        return hardest_lift(self.lifts)

    @property
    def lift_case(self) -> str:
        """How a full slab stands to what one person should lift, in its hardest lift."""
        index = self.hardest.index(self.full_g / 1000)
        if index is None:
            return f"out of one person's reach {self.hardest.words}"
        times = f"{plain(index, 1)} times" if not 1 < index < 1.05 else "a little more than"
        return f"{times} what one person should lift {self.hardest.words}"

    @property
    def lift(self) -> str:
        """The lift of a full slab in words."""
        if self.people > PEOPLE_AT_MOST.value:
            return "lifting aid"
        return "one person" if self.people == 1 else "two people"

    @property
    def portions(self) -> tuple[Portion, ...]:
        """Plaster weighings of all mixes, one after the other."""
        return tuple(portion for mix in self.mixes for portion in mix.plaster_portions)

    @property
    def plaster_weighed_g(self) -> float:
        """Plaster as rounded to the scale, all mixes together."""
        return sum(mix.plaster_g for mix in self.mixes)

    @property
    def water_weighed_g(self) -> float:
        """Water as rounded to the scale, all mixes together."""
        return sum(mix.water_g for mix in self.mixes)

    @property
    def questions(self) -> tuple[Question, ...]:
        """What of it is possible and not usual: shown beside the answer, asked about when it is recorded."""
        return tuple(unusual_inputs(SLAB.values(), self.request))


def size_slab(request: SlabRequest) -> SlabSizing:
    """Size a slab from whatever the request fills in."""
    asked, worked = request, Worksheet()
    check_slab(request)
    load = None
    if request.batches_a_day is not None and request.batch_dry_g is not None:
        load = worked.work(
            "day_load_g",
            day_load,
            request.batches_a_day,
            request.batch_dry_g,
            request.batch_water_per_dry,
            request.workable_water_pct,
        )
        request = replace(request, batches_a_day=None, batch_dry_g=None, capacity_g=load / request.count)
    form = solve_form(request)
    area, volume = form.area(worked), form.volume(worked)
    note_solved(request, form, volume, worked)
    ratio, plaster_each = request.mix_ratio, plaster_for_volume(volume, request.mix_ratio)
    total = request.plaster_g
    if total is None:
        total = worked.work("plaster_g", masses.plaster_to_weigh, volume, request.count, request.waste_pct, ratio)
    dry = worked.work("dry_g", masses.dry_mass, plaster_each)
    pores = worked.work("pore_water_g", masses.pore_water, dry, ratio)
    full = worked.work("full_g", masses.full_mass, dry, pores)
    lifts = lifts_of_slab(form.length, form.width, form.depth, request.lifts)
    hands, recommended, people = _lift(form, hardest_lift(lifts), full / 1000, worked)
    rise = worked.work("temperature_rise_k", temperature_rise, ratio)
    dried_again = None
    if request.evaporation_g_m2_h is not None and request.dry_again_h is not None:
        dried_again = worked.work(
            "dried_again_g", water_dried_off, area, request.evaporation_g_m2_h, request.dry_again_h
        )
    sized = SlabSizing(
        request=request,
        day_load_g=load,
        asked=asked,
        length_mm=form.length,
        width_mm=form.width,
        depth_mm=form.depth,
        area_cm2=area,
        volume_ml=volume,
        plaster_each_g=plaster_each,
        plaster_g=total,
        water_g=worked.work("water_g", water_for_plaster, total, ratio),
        slurry_ml=worked.work("slurry_ml", set_volume, total, ratio),
        as_cast_g=worked.work("as_cast_g", masses.as_cast_mass, plaster_each, ratio),
        dry_g=dry,
        dry_off_g=worked.work("dry_off_g", masses.water_to_dry_off, plaster_each, ratio),
        pore_water_g=pores,
        capacity_g=worked.work("capacity_g", masses.soaking_capacity, pores),
        full_g=full,
        lifts=lifts,
        hands_cm=hands,
        recommended_kg=recommended,
        people=people,
        temperature_rise_k=rise,
        peak_temp_c=worked.work("peak_temp_c", peak_temperature, request.water_temp_c, rise),
        dried_again_g=dried_again,
        mixes=mixes_of(request, total),
        cautions=(),
        worked=worked,
    )
    return replace(sized, cautions=(*_own_cautions(sized), *cautions_for("pour_plaster")))


def _lift(form: SlabForm, lift: SlabLift, full_kg: float, worked: Worksheet) -> tuple[float, float | None, int]:
    """How far the hands are in a lift, what one person should lift, and how many people it takes."""
    short, long = sorted((form.length, form.width or form.length))
    hands = worked.work("hands_cm", hands_distance, (long if lift.end_on else short) / 10, lift.height_cm)
    recommended = None
    if lift.within_reach:
        way = (hands, lift.height_cm, lift.travel_cm, 0.0, SELDOM.value, lift.coupling)
        recommended = worked.work("recommended_kg", recommended_weight, *way)
        worked.work("lifting_index", lifting_index, full_kg, recommended)
    people = worked.work("people", people_to_lift, full_kg, recommended or 0.0, lift.shared_kg)
    return hands, recommended, int(people)


def mixes_of(request: SlabRequest, total: float) -> tuple[PlasterMix, ...]:
    """Plaster for all slabs, waste included, by fillings of the mixing bucket.

    Whole slabs to a mix where the bucket allows, equal parts of one slab where it does not.
    """
    ratio, count = request.mix_ratio, request.count
    each = total / count
    if request.mixing_bucket_ml is None:
        shares = [(count, total)]
    else:
        room = room_to_stir(request.mixing_bucket_ml, request.mixing_fill)
        at_once = int(room / set_volume(each, ratio) + 1e-9)
        if at_once:
            left = [min(at_once, count - done) for done in range(0, count, at_once)]
            shares = [(slabs, each * slabs) for slabs in left]
        else:
            parts = int(mixes_needed(set_volume(each, ratio), room))
            if parts * count > MOST_MIXES:
                raise OutOfRange(
                    f"This mixing bucket would have to be filled {parts * count} times.",
                    f"One slab is {show(set_volume(each, ratio) / 1000, 'L', digits=1)} "
                    "of slurry: take a larger bucket.",
                    field="mixing_bucket_ml",
                )
            shares = [(0, each / parts)] * (parts * count)
    most = _most(request)
    return tuple(_mix(slabs, plaster, ratio, request.scale_step_g, most) for slabs, plaster in shares)


def _mix(slabs: int, plaster: float, ratio: float, step: float, most: float | None) -> PlasterMix:
    powder = rounded_to_scale(plaster, step)
    if powder <= 0:
        raise OutOfRange(
            f"{show(plaster, 'g', figures=3)} of plaster cannot be weighed in steps of {show(step, 'g')}.",
            "Use a finer scale.",
            field="scale_step_g",
        )
    water = water_for_plaster(powder, ratio)
    return PlasterMix(
        slabs=slabs,
        plaster_g=powder,
        water_g=rounded_to_scale(water, step),
        slurry_ml=set_volume(powder, ratio),
        plaster_portions=split_into_portions([("plaster", powder)], step, most),
        water_portions=split_into_portions([("water", water)], step, most),
    )


def _most(request: SlabRequest) -> float | None:
    bucket = request.weighing_bucket_g
    if bucket is None and request.weighing_bucket_ml is not None:
        bucket = bucket_load(request.weighing_bucket_ml)
    scale = request.scale_largest_g
    return largest_filling(request.scale_step_g, bucket, None if scale is None else scale - request.bucket_tare_g)


def _own_cautions(sized: SlabSizing) -> list[Caution]:
    """What this slab in particular asks to be careful with."""
    cautions: list[Caution] = []
    request, usual = sized.request, (MIX_RATIO.low or 0.0, MIX_RATIO.high or 0.0)
    if sized.people > 1:
        text = f"Full of water it weighs {show(sized.full_g / 1000, 'kg', digits=1)}, {sized.lift_case}: {sized.lift}."
        cautions.append(
            Caution(text, "NIOSH lifting equation, this slab's numbers", Origin.DERIVED, "slab_weight", of_case=True)
        )
    if any(mix.slabs == 0 for mix in sized.mixes):
        litres = sized.slurry_ml / request.count / request.mixing_fill / 1000
        text = (
            "One slab takes more than one mix, and layers poured apart part later: "
            f"a bucket of {show(litres, 'L', digits=1)} would do it at once."
        )
        cautions.append(Caution(text, "", Origin.COMMON_PRACTICE, "two_mixes", of_case=True))
    if not usual[0] <= request.mix_ratio <= usual[1]:
        worse = "weak and soft" if request.mix_ratio > usual[1] else "strong, but it takes little water"
        text = (
            f"Usual is {plain(usual[0])} to {plain(usual[1])}; at a mix "
            f"ratio of {plain(request.mix_ratio)} it is {worse}."
        )
        cautions.append(Caution(text, "", MIX_RATIO.origin, "mix_ratio", of_case=True))
    needed, lost, hours = request.capacity_g, sized.dried_again_g, request.dry_again_h
    if needed and hours and lost is not None and lost < needed * (1 - 1e-9):
        text = (
            f"In {show(hours, 'h')} its faces lose "
            f"{show(lost, 'g', digits=0)}, not {show(needed, 'g', digits=0)}: "
            "use slabs in turn, or a larger and thinner one."
        )
        cautions.append(Caution(text, "the evaporation given", Origin.DERIVED, "dries_too_slowly", of_case=True))
    return cautions
