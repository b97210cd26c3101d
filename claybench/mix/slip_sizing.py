"""Sizing a batch as slip: from pieces wanted back to what to weigh, the water, the layer on each slab.

Numbers are worked out here, each noted with what went into it; `slip_figures` makes their reasons, on demand. Layers
are in `slab_fit`.
"""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass, field, fields, replace

from claybench.errors import OutOfRange, Question
from claybench.facts.clay import CASTING_SLIP_SG
from claybench.facts.fact import Origin
from claybench.facts.reason import Worksheet
from claybench.mix import clay_masses
from claybench.mix.batch_weights import BucketLine, recorded_mass, recorded_masses, water_to_add, weigh_material
from claybench.mix.cautions import cautions_for
from claybench.mix.doses import unusual_dose
from claybench.mix.input_checks import unusual_inputs
from claybench.mix.material_cautions import Caution, MaterialCare
from claybench.mix.portions import (
    Portion,
    bucket_load,
    largest_filling,
    mixes_needed,
    room_to_stir,
    rounding_error,
    split_into_portions,
)
from claybench.mix.slab_fit import SlabFit, fit_slab
from claybench.mix.slip_balance import SlipBalance, balance_slip, body_solids_sg
from claybench.mix.slip_formulas import (
    slip_specific_gravity,
)
from claybench.mix.slip_request import Addition, BodyPart, PieceWanted, SlipRequest, check_slip
from claybench.quantity.shown import plain, short_number, show
from claybench.terms.sizing import SLIP


@dataclass(frozen=True, slots=True)
class MaterialLine:
    """One material to weigh."""

    material: str
    lot: str | None
    share_pct: float
    """Share of the body's dry mass; additions count on top of 100."""
    dry_g: float
    moist_g: float
    """What to weigh, moisture included (moisture is of moist mass)."""
    rounded_g: float
    """What to weigh, as the scale can show it."""
    error_pct: float
    """What rounding leaves wrong."""
    cost: float | None
    """None where it has no price."""
    addition: bool
    moisture_pct: float
    basis: str = ""
    """What the dose of an addition speaks of, in words."""

    @property
    def put_in(self) -> BucketLine:
        """The material as it goes into the bucket, rounded to the scale."""
        return BucketLine(self.rounded_g, self.moisture_pct, self.addition)


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipSizing(SlipBalance):
    """A batch of slip as sized; nothing is rounded but where it says so."""

    request: SlipRequest
    lines: tuple[MaterialLine, ...]
    lot_water_g: float
    """The part of it that moist lots and solutions bring."""
    water_to_add_g: float
    """For the masses as they are wanted, nothing rounded."""
    water_weighed_g: float
    """Water to weigh, for the masses as the scale shows them and in its steps."""
    water_per_dry: float
    give_up_g: float
    """Water that the layer gives up before it is workable."""
    mixes: int
    weighings: tuple[Portion, ...]
    slabs: tuple[SlabFit, ...]
    cost: float | None
    """None where a material has no price."""
    unpriced: tuple[str, ...]
    cautions: tuple[Caution, ...]
    worked: Worksheet = field(repr=False, compare=False)
    """The formulas of its figures, each with what went into it."""

    @property
    def worst_error_pct(self) -> float:
        """The largest error that rounding leaves in one material, without its sign."""
        return max(abs(line.error_pct) for line in self.lines)

    @property
    def planned(self) -> tuple[float, float]:
        """Dry mass and all water of the batch as it is recorded before anything is weighed."""
        return recorded_mass(self.dry_g), recorded_mass(self.water_g)

    @property
    def as_weighed(self) -> tuple[float, float]:
        """Dry mass and all water of the batch once everything is weighed as the scale is to show it."""
        return recorded_masses([line.put_in for line in self.lines], self.water_weighed_g)

    @property
    def questions(self) -> tuple[Question, ...]:
        """What of it is possible and not usual: shown beside the answer, asked about when it is recorded."""
        questions = unusual_inputs(SLIP.values(), self.request)
        for piece in self.request.pieces:
            questions += unusual_inputs(_OF_PIECES, piece)
        doses = [unusual_dose(each.material, each.pct_of_dry, each.deflocculant) for each in self.request.additions]
        return (*questions, *(dose for dose in doses if dose is not None))


_OF_PIECES = tuple(
    replace(asked, name="plastic_g") if asked.name == "piece_g" else asked
    for asked in SLIP.values()
    if asked.name in {"piece_g", *(field.name for field in fields(PieceWanted))} - {"plastic_g"}
)
"""The inputs that a kind of piece is made of, by their names there."""


def size_slip(request: SlipRequest) -> SlipSizing:
    """Size a batch of slip from whatever the request fills in."""
    check_slip(request)
    worked = Worksheet()
    batch = balance_slip(request, body_solids_sg(request.body), request.workable, worked)
    dry, water = batch.dry_g, batch.water_g
    lines = _lines(request, recorded_mass(dry))
    lot_water = math.fsum(line.moist_g - line.dry_g for line in lines)
    to_add = _water_to_add(request, dry, batch.solids_sg, water, lot_water)
    give_up = worked.work("give_up_g", clay_masses.water_to_give_up, dry, water, request.workable)
    slabs = tuple(fit_slab(slab, request.family, request.layer_mm, batch.slip_ml, give_up) for slab in request.slabs)
    costs = [line.cost for line in lines if line.cost is not None]
    unpriced = tuple(line.material for line in lines if line.cost is None)
    return SlipSizing(
        **asdict(batch),
        request=request,
        lines=lines,
        lot_water_g=lot_water,
        water_to_add_g=to_add,
        water_weighed_g=water_to_add(
            [line.put_in for line in lines], recorded_mass(water) / recorded_mass(dry), request.scale_step_g
        ),
        water_per_dry=water / dry,
        give_up_g=give_up,
        mixes=_mixes(request, batch.slip_ml, worked),
        weighings=_weighings(request, lines),
        slabs=slabs,
        cost=None if unpriced else math.fsum(costs),
        unpriced=unpriced,
        cautions=_cautions(request, slabs),
        worked=worked,
    )


def _lines(request: SlipRequest, dry: float) -> tuple[MaterialLine, ...]:
    total = math.fsum(part.parts for part in request.body)
    body = [_line(request, part, 100 * part.parts / total, dry) for part in request.body if part.parts > 0]
    extra = [_line(request, each, each.pct_of_dry, dry) for each in request.additions if each.pct_of_dry > 0]
    return (*body, *extra)


def _line(request: SlipRequest, part: BodyPart | Addition, share: float, body_dry: float) -> MaterialLine:
    weight = weigh_material(body_dry, share, part.moisture_pct, request.scale_step_g)
    moist = weight.moist_g
    error = rounding_error(moist, weight.rounded_g)
    if abs(error) > request.max_rounding_pct:
        step, most = request.scale_step_g, request.max_rounding_pct
        # Half a step is the worst that rounding does, so this much always passes.
        batch = body_dry * step / 2 / (moist * most / 100)
        raise OutOfRange(
            f"{part.material}: {show(moist, 'g', figures=3)} in steps of {show(step, 'g')} "
            f"is wrong by {show(abs(error), '%', figures=2)}, "
            f"more than {show(most, '%')}.",
            f"Weigh it in steps of {show(2 * moist * most / 100, 'g', figures=2)}, "
            f"or make {show(batch, 'g', digits=0)} of dry body.",
            field="scale_step_g",
        )
    price = part.price_per_kg
    cost = None if price is None else clay_masses.cost_of_material(moist, price)
    return MaterialLine(
        material=part.material,
        lot=part.lot,
        share_pct=share,
        dry_g=weight.dry_g,
        moist_g=moist,
        rounded_g=weight.rounded_g,
        error_pct=error,
        cost=cost,
        addition=isinstance(part, Addition),
        moisture_pct=part.moisture_pct or 0.0,
        basis=part.basis if isinstance(part, Addition) else "",
    )


def _water_to_add(request: SlipRequest, dry: float, solids_sg: float, water: float, lot_water: float) -> float:
    if lot_water > water:
        thickest = slip_specific_gravity(dry, lot_water, solids_sg)
        raise OutOfRange(
            f"The lots bring {show(lot_water, 'g', digits=0)} of water, and "
            f"this slip wants only {show(water, 'g', digits=0)}.",
            f"The thickest they make is specific gravity {plain(thickest, 3)}, "
            f"water {short_number(lot_water / dry, 3)} of dry mass; or dry a lot first.",
            field="slip_sg" if request.water_per_dry is None else "water_per_dry",
        )
    return water - lot_water


def _mixes(request: SlipRequest, volume: float, worked: Worksheet) -> int:
    if request.mixing_bucket_ml is None:
        return 1
    room = room_to_stir(request.mixing_bucket_ml, request.mixing_fill)
    mixes = int(worked.work("mixes", mixes_needed, volume, room))
    if mixes > 100:
        raise OutOfRange(
            f"{show(volume / 1000, 'L', digits=1)} of slip would fill this mixing bucket {mixes} times.",
            "Take a larger bucket, or make less.",
            field="mixing_bucket_ml",
        )
    return mixes


def _weighings(request: SlipRequest, lines: tuple[MaterialLine, ...]) -> tuple[Portion, ...]:
    bucket = request.weighing_bucket_g
    if bucket is None and request.weighing_bucket_ml is not None:
        bucket = bucket_load(request.weighing_bucket_ml)
    most = largest_filling(request.scale_step_g, bucket, request.scale_largest_g)
    return split_into_portions([(line.material, line.moist_g) for line in lines], request.scale_step_g, most)


def _cautions(request: SlipRequest, slabs: tuple[SlabFit, ...]) -> tuple[Caution, ...]:
    parts: tuple[BodyPart | Addition, ...] = (*request.body, *request.additions)
    materials = {part.material: MaterialCare(part.kind, part.caution) for part in parts}
    cautions: list[Caution] = []
    target, thick = request.target_sg, CASTING_SLIP_SG.low or 0.0
    undispersed = not any(each.deflocculant for each in request.additions)
    if target is not None and target >= thick and undispersed:
        text = f"Slip of {plain(target)} is casting slip: without a deflocculant it will hardly pour."
        cautions.append(Caution(text, "", CASTING_SLIP_SG.origin, "casting_slip", of_case=True))
    if slabs and not any(slab.takes == "yes" for slab in slabs):
        best = max(slabs, key=lambda slab: (slab.takes == "unknown", slab.share_taken or 0.0))
        nearest = best.because if best.because.startswith(f"{best.slab} ") else f"{best.slab}: {best.because}"
        cautions.append(
            Caution(f"No slab is sure to take it. Nearest: {nearest}", "", Origin.DERIVED, "no_slab", of_case=True)
        )
    return (*cautions, *cautions_for("weigh_dry", materials))
