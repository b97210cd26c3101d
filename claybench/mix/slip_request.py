"""What is asked when a batch is mixed as slip: pieces or mass wanted, the body, its lots, the slip, slabs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from claybench.errors import BadInput, OutOfRange
from claybench.facts.clay import PLAIN_SLIP_SG, ROUNDING_LIMIT, USUAL_LOSS, WORKABLE_WATER
from claybench.facts.plaster import MIXING_FILL
from claybench.facts.ranges import check_positive, check_within
from claybench.mix.doses import check_dose
from claybench.mix.input_checks import check_all_possible, check_possible
from claybench.mix.slip_formulas import moist_mass
from claybench.quantity.shown import plain, show
from claybench.terms.sizing import SLIP, SizingInput

PIECE_SHAPES = SLIP["shape"].words


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceWanted:
    """One kind of test piece, as formed; either its size or its plastic mass."""

    shape: str = "bar"
    """bar, tile or disc; any word where the mass is given."""
    count: int = 1
    """Pieces in each firing."""
    length_mm: float | None = None
    """Plastic length, or a disc's diameter."""
    width_mm: float | None = None
    thickness_mm: float | None = None
    plastic_g: float | None = None
    """Plastic mass of one piece, where it is known."""
    spares: int = 0
    """Pieces more in each firing."""

    @property
    def volume_ml(self) -> float | None:
        """Volume as formed; None where only the mass is known."""
        if self.plastic_g is not None or self.length_mm is None or self.thickness_mm is None:
            return None
        if self.shape == "disc":
            return math.pi / 4 * self.length_mm**2 * self.thickness_mm / 1000
        return self.length_mm * (self.width_mm or 0.0) * self.thickness_mm / 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyPart:
    """One material of the recipe, and the lot it is taken from."""

    material: str
    parts: float
    """Parts of dry mass."""
    specific_gravity: float | None = None
    moisture_pct: float | None = None
    """Moisture of the lot, of its moist mass (wet basis); None counts as dry."""
    price_per_kg: float | None = None
    kind: str | None = None
    """What the material is, in the words of the record."""
    caution: str | None = None
    """The material's own caution."""
    lot: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """A deflocculant, flocculant or the like, on top of the body."""

    material: str
    pct_of_dry: float
    """Its dry active mass in per cent of the body's dry mass."""
    supplied_pct: float | None = None
    """Its dose where that was given for what comes out of the sack or the bottle; `pct_of_dry` is dry all the same."""
    moisture_pct: float | None = None
    """Moisture of the lot, of its moist mass; the water of a solution."""
    price_per_kg: float | None = None
    kind: str | None = None
    caution: str | None = None
    deflocculant: bool = False
    lot: str | None = None

    @property
    def basis(self) -> str:
        """What its dose speaks of, in words.

        >>> Addition(material="sodium silicate", pct_of_dry=0.3).basis
        '0.3 % dry'
        """
        return f"{plain(self.pct_of_dry)} % dry" + (
            "" if self.supplied_pct is None else f", given as {plain(self.supplied_pct)} % as supplied"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SlabState:
    """A slab as it is now, as far as the layer has to know it."""

    slab: str
    usable_area_cm2: float
    capacity_left_g: float | None = None
    """Water it can still take; None where nothing is known."""
    capacity_left_low_g: float | None = None
    capacity_left_high_g: float | None = None
    not_now: str = ""
    """Why nothing can be poured on it now, such as a layer that lies there; empty where it can."""
    mind: str = ""
    """What else speaks against it, for a person to decide; empty where nothing does."""
    rim_mm: float = 0.0
    """Height of its rim or frame; 0 for a bare slab."""
    family: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipRequest:
    """One of `pieces`, `plastic_g` and `dry_g` says how much; at most one of `slip_sg` and
    `water_per_dry` how wet: thin cream where neither does."""

    body: tuple[BodyPart, ...]
    pieces: tuple[PieceWanted, ...] = ()
    firings: int = 1
    plastic_g: float | None = None
    """Plastic mass wanted, loss not yet added."""
    dry_g: float | None = None
    """Dry mass to make, loss already in it."""
    additions: tuple[Addition, ...] = ()
    workable_water_pct: float | None = None
    """Water when workable, of dry mass (dry basis); None where the body has none of its own."""
    plastic_density: float | None = None
    """Density of workable clay, g/mL; worked out from its water where empty."""
    loss_pct: float = USUAL_LOSS.value
    parts_sum: float | None = None
    """What the parts have to add up to, where that is to be checked."""
    slip_sg: float | None = None
    water_per_dry: float | None = None
    """Water over dry mass, 0.8 for 80 %."""
    scale_step_g: float = 1.0
    scale_largest_g: float | None = None
    weighing_bucket_g: float | None = None
    weighing_bucket_ml: float | None = None
    max_rounding_pct: float = ROUNDING_LIMIT.value
    """Largest error that rounding may leave in one material."""
    mixing_bucket_ml: float | None = None
    mixing_fill: float = MIXING_FILL.value
    family: str | None = None
    slabs: tuple[SlabState, ...] = ()
    layer_mm: float | None = None
    """Depth of slip wanted; None pours all at once."""

    @property
    def workable(self) -> float:
        """Water when workable, the usual value where the body has none."""
        return WORKABLE_WATER.value if self.workable_water_pct is None else self.workable_water_pct

    @property
    def target_sg(self) -> float | None:
        """Specific gravity aimed at; None where water per dry says it."""
        if self.water_per_dry is not None:
            return None
        return PLAIN_SLIP_SG.value if self.slip_sg is None else self.slip_sg


def check_slip(request: SlipRequest) -> None:
    """Refuse what cannot be mixed, naming the field and what would work."""
    _check_body(request)
    _check_amount(request)
    if request.slip_sg is not None and request.water_per_dry is not None:
        raise BadInput(
            "The slip is given by specific gravity and by water per dry mass.",
            "Give one of them; the other is shown.",
            field="water_per_dry",
        )
    if request.water_per_dry is not None:
        value = check_positive(request.water_per_dry, "water_per_dry")
        remedy = "It is water over dry mass; plain slip lies near 1."
        if value > 10:
            remedy = f"As a ratio, not in per cent: {show(value, '%')} is {plain(value / 100)}."
        check_within(value, *_limits(SLIP["water_per_dry"]), "water_per_dry", "", remedy)
    check_all_possible((asked for asked in SLIP.values() if asked.name not in _BY_THEIR_FORMULAS), request)
    for name, unit in (("weighing_bucket_g", "g"), ("weighing_bucket_ml", "mL")):
        value = getattr(request, name)
        if value is not None:
            check_positive(value, name, unit, 1e6)
    for slab in request.slabs:
        check_positive(slab.usable_area_cm2, "usable_area_cm2", "cm²", 1e6)
        check_possible(SLIP["rim_mm"], slab.rim_mm)


_BY_THEIR_FORMULAS = frozenset({"water_per_dry", "workable_water_pct"})
"""Inputs whose own formula says best what is wrong with them."""


def _limits(declared: SizingInput) -> tuple[float, float]:
    low, high = declared.possible
    return low or 0.0, high or 1e9


def _check_body(request: SlipRequest) -> None:
    if not request.body:
        raise BadInput("The recipe has no materials.", "Give at least one with its parts.", field="body")
    for part in request.body:
        if not part.material.strip():
            raise BadInput("A line of the recipe has no material.", "Name it, or leave the line out.", field="material")
        check_within(part.parts, 0, 1e6, "parts", "", "Parts cannot be less than nothing; 0 leaves a material out.")
        if part.specific_gravity is not None:
            remedy = "Clays and rocks lie between 2 and 3, some oxides up to 7."
            check_within(part.specific_gravity, 1.2, 8, "specific_gravity", "", remedy)
        moist_mass(1.0, part.moisture_pct or 0.0)
    for addition in request.additions:
        if not addition.material.strip():
            raise BadInput("An addition has no material.", "Name it, or leave it out.", field="material")
        check_dose(addition.material, addition.pct_of_dry, addition.deflocculant)
        moist_mass(1.0, addition.moisture_pct or 0.0)
    total = math.fsum(part.parts for part in request.body)
    if total <= 0:
        raise BadInput("The parts add up to nothing.", "Give each material its parts.", field="parts")
    wanted = request.parts_sum
    if wanted is not None and abs(total - wanted) > 0.005 * wanted:
        gap = wanted - total
        raise BadInput(
            f"The parts add up to {plain(total)}, not {plain(wanted)}.",
            f"{plain(abs(gap))} {'are missing' if gap > 0 else 'are too many'}; or take shares of {plain(total)}.",
            field="parts",
        )


def _check_amount(request: SlipRequest) -> None:
    filled = [
        name
        for name, there in (
            ("pieces", bool(request.pieces)),
            ("plastic_g", request.plastic_g is not None),
            ("dry_g", request.dry_g is not None),
        )
        if there
    ]
    if len(filled) != 1:
        raise BadInput(
            "How much to make is not given." if not filled else "How much to make is given twice.",
            "Give the pieces wanted, or a plastic mass, or a dry mass: one of them.",
            field=filled[1] if filled else "pieces",
        )
    for piece in request.pieces:
        _check_piece(piece)


def _check_piece(piece: PieceWanted) -> None:
    check_possible(SLIP["count"], piece.count)
    check_possible(SLIP["spares"], piece.spares)
    if piece.count + piece.spares == 0:
        raise BadInput("No pieces are wanted.", "Give a count of 1 or more.", field="count")
    if piece.plastic_g is not None:
        check_possible(SLIP["piece_g"], piece.plastic_g)
        return
    if piece.shape not in PIECE_SHAPES:
        raise BadInput(
            f"The volume of a {piece.shape!r} is not known.",
            "Give its plastic mass, or one of bar, tile, disc with its size.",
            field="shape",
        )
    sizes = ("length_mm", "thickness_mm") if piece.shape == "disc" else ("length_mm", "width_mm", "thickness_mm")
    for name in sizes:
        value = getattr(piece, name)
        if value is None:
            raise BadInput(
                f"A {piece.shape} needs its {name.removesuffix('_mm')}.",
                "Give its size as formed, or its plastic mass.",
                field=name,
            )
        check_possible(SLIP[name], value)
    if piece.shape == "disc" and piece.width_mm is not None and piece.width_mm != piece.length_mm:
        raise OutOfRange("A disc has a diameter and no width.", "Leave the width empty.", field="width_mm")
