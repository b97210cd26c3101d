"""What each sizing asks: one table of inputs, from which the screen's fields, the command's options and docs are made.

An input is named as the request's field that it fills. What is usual is common practice, without a source.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from claybench.terms.column import Column

_ENDINGS = ("_g_m2_h", "_mm", "_pct", "_ml", "_kg", "_cm2", "_c", "_h", "_g")


@dataclass(frozen=True, slots=True)
class SizingInput(Column):
    """One thing a sizing asks for.

    Left out of a command, its default holds, or the lab's setting; a field that was emptied on the screen has none.
    """

    option: str = ""
    """Option of the command, without dashes, where it is not the name less its unit."""
    setting: str = ""
    """The lab's setting that stands in the form and holds for a command."""
    said: bool = False
    """Has to be said in a command: what stands in the form is a proposal that everyone sees."""
    several: bool = False
    """A command's option that may be given several times; on the screen they stand in one line."""
    only: str = ""
    """`screen` or `command`, where the other has another way to say it."""
    flags: str = ""
    """A command's pair of flags in place of an option: the first for the first word, the second for the other."""
    remedy: str = ""
    """What to do where it lies outside what is possible."""

    @property
    def spelled(self) -> str:
        """The option as it is typed.

        >>> SLIP["length_mm"].spelled, SLIP["slip_sg"].spelled
        ('--length', '--sg')
        """
        if self.option:
            return f"--{self.option}"
        ending = next((each for each in _ENDINGS if self.name.endswith(each)), "")
        return "--" + self.name.removesuffix(ending).replace("_", "-")


def _sizing(*inputs: SizingInput) -> dict[str, SizingInput]:
    return {one.name: one for one in inputs}


def _number(name: str, label: str, **about: object) -> SizingInput:
    return SizingInput(name=name, kind="number", label=label, **about)  # type: ignore[arg-type]


def _whole(name: str, label: str, **about: object) -> SizingInput:
    return SizingInput(name=name, kind="whole", label=label, **about)  # type: ignore[arg-type]


def _text(name: str, label: str, **about: object) -> SizingInput:
    return SizingInput(name=name, kind="text", label=label, **about)  # type: ignore[arg-type]


def _weighing() -> tuple[SizingInput, ...]:
    """Scale and buckets, the same for a slab and for slip."""
    return (
        _number("scale_step_g", "step of the scale", setting="scale_step_g",
                possible=(0.0001, 10_000), usual=(0.001, 50)),
        _number("scale_largest_g", "scale carries", setting="scale_largest_g", help="its largest load",
                possible=(0.01, 1e6), usual=(50, 200_000)),
        _text("weighing_bucket", "weighing bucket", setting="weighing_bucket_ml",
              help="brim-full, or the powder it holds"),
        _number("mixing_bucket_ml", "mixing bucket", setting="mixing_bucket_ml", help="brim-full",
                possible=(1, 1e6), usual=(500, 200_000)),
        _number("mixing_fill", "mixing bucket filled to", option="fill", default="2/3", help="the rest is room to stir",
                possible=(0.05, 1), usual=(0.3, 0.95)),
    )  # fmt: skip


DEFLOCCULANT_DOSE = _number(
    "deflocculants", "dose of deflocculant", measured_in="%", possible=(0, 5), usual=(0.05, 1),
    help="of the body's dry mass", remedy="Deflocculants are a few tenths of a per cent of the dry mass.",
)  # fmt: skip
ADDITION_DOSE = _number(
    "additions", "dose", measured_in="%", possible=(0, 20), usual=(0, 5), help="of the body's dry mass",
    remedy="What is more of a body than that belongs into its recipe.",
)  # fmt: skip

SLIP = _sizing(
    SizingInput(name="body", kind="code", label="body", required=True, help="of the lab, with its lots and slabs"),
    _text("parts", "part", option="part", several=True, only="command",
          help="without a body of the lab: a material and its parts, as in 'kaolin 30'"),
    _number("parts_sum", "sum of the parts", only="command", help="what they have to add up to", possible=(0.001, 1e7)),
    SizingInput(name="shape", kind="word", label="shape of pieces", words=("bar", "tile", "disc"), default="bar"),
    _whole("count", "pieces a firing", option="pieces", default="5", said=True, help="or a mass below",
           possible=(0, 10_000), usual=(1, 60)),
    _number("length_mm", "length", default="130 mm", help="as formed, or a disc's diameter",
            possible=(0.5, 2000), usual=(20, 400)),
    _number("width_mm", "width", default="30 mm", help="a disc has none", possible=(0.5, 2000), usual=(5, 400)),
    _number("thickness_mm", "thickness", default="10 mm", possible=(0.5, 2000), usual=(3, 60)),
    _number("piece_g", "or each weighs", option="piece-mass", help="plastic, in place of its size",
            possible=(0.01, 1e6), usual=(5, 5000)),
    _whole("firings", "firings", default="1", possible=(1, 1000), usual=(1, 12)),
    _whole("spares", "spares a firing", default="0", possible=(0, 10_000), usual=(0, 20)),
    _number("plastic_g", "or workable clay", help="loss not yet added", possible=(0.01, 1e6), usual=(100, 50_000),
            remedy="Masses are in grams here."),
    _number("dry_g", "or dry batch", help="loss already in it", possible=(0.01, 1e6), usual=(50, 50_000),
            remedy="Masses are in grams here."),
    _text("additions", "additions", option="addition", several=True,
          help="dry, % of dry mass: 'bentonite 1 %'; or 'frit 2 % as supplied'"),
    _text("deflocculants", "deflocculant", option="deflocculant", several=True,
          help="the same: 'sodium silicate 0.3 %', 'soda ash 0.1 %'"),
    _number("slip_sg", "slip specific gravity", option="sg", help="as it pours; 1.4 is thin cream", usual=(1.15, 1.95)),
    _number("water_per_dry", "or water, of dry mass", help="0.8 or 80 %", possible=(0.2, 10), usual=(0.3, 2.5)),
    _number("layer_mm", "depth of slip", help="empty: all at once", possible=(0.5, 200), usual=(2, 30),
            remedy="Slip is poured about 5 to 20 mm deep."),
    _number("rim_mm", "rim or frame", default="25 mm", help="0 for a bare slab", possible=(0, 500), usual=(0, 100)),
    _number("loss_pct", "usual loss", setting="usual_loss_pct", help="left in buckets and on hands",
            possible=(0, 50), usual=(0, 25)),
    _number("max_rounding_pct", "rounding at most", option="rounding", default="5 %", help="in any one material",
            possible=(0.0001, 50), usual=(0.01, 10)),
    _number("workable_water_pct", "water when workable", help="of dry mass; empty: the body's",
            possible=(5, 100), usual=(12, 60)),
    _number("plastic_density", "workable clay, density", measured_in="g/mL", help="empty: from its water",
            possible=(1.2, 3), usual=(1.6, 2.3), remedy="Workable clay lies near 2."),
    SizingInput(name="slab", kind="code", label="only on slab", help="of the lab; empty: all that suit"),
    _number("slab_area_cm2", "area of a slab", only="command", help="usable, of one without a lab",
            possible=(0.01, 1e6), usual=(100, 20_000)),
    _number("slab_takes_g", "what that slab takes", only="command", help="water it can still take up",
            possible=(0, 1e6), usual=(50, 20_000)),
    SizingInput(name="family", kind="code", label="family", only="command", help="of a recipe given with --part"),
    *_weighing(),
)  # fmt: skip
"""A batch of slip."""

SLAB = _sizing(
    SizingInput(name="shape", kind="word", label="form", words=("rectangle", "round"), default="rectangle"),
    _number("length_mm", "inside length", help="or diameter: 50 cm, 20 in", possible=(20, 3000), usual=(100, 1500),
            remedy="A bare number is in mm: write 14 in for inches. Slabs measure 20 to 3 000 mm."),
    _number("width_mm", "inside width", help="a round form has none", possible=(20, 3000), usual=(100, 1500),
            remedy="A bare number is in mm: write 14 in for inches. Slabs measure 20 to 3 000 mm."),
    _number("depth_mm", "depth to pour", help="or one of those below", possible=(5, 500), usual=(12, 120),
            remedy="Slabs are poured 5 to 500 mm deep; 40 to 60 is usual."),
    _text("plaster", "plaster in hand", help="25 lb, 12.5 kg, half a bag"),
    _number("capacity_g", "water it should take", help="each slab", possible=(0.01, 1e6), usual=(100, 20_000)),
    _number("capacity_share", "of what it can take", default="100 %", help="35 % leaves it ready for more",
            possible=(0.01, 1), usual=(0.1, 1), remedy="A share between 0 and 1; 1 fills the slab."),
    _number("batches_a_day", "batches to dry a day", help="with the next line", possible=(0.01, 1000), usual=(0.2, 20)),
    _number("batch_dry_g", "dry clay in each", help="1.5 kg", possible=(0.01, 1e6), usual=(50, 50_000)),
    _number("batch_water_per_dry", "its water, of dry mass", help="empty: thin cream",
            possible=(0.2, 10), usual=(0.3, 2.5)),
    _number("workable_water_pct", "water when workable", help="of dry mass; empty: usual",
            possible=(5, 100), usual=(12, 60)),
    _number("dry_again_h", "dry again within", measured_in="hour", help="14 h: by the next morning",
            possible=(0.01, 1000), usual=(1, 96)),
    _number("max_lift_kg", "heaviest when full", option="heaviest", help="full of water",
            possible=(0.01, 500), usual=(2, 60)),
    SizingInput(name="one_person", kind="yesno", label="one person lifts it", default="no",
          help="as thick as one should lift"),
    _text("lifts", "how it is lifted", setting="lifts", help="of these; the hardest counts"),
    _number("mix_ratio", "mix ratio", option="ratio", default="70", measured_in="%", help="water per 100 of plaster",
            usual=(50, 100)),
    _number("taper_mm", "taper, each side", help="leans out over the depth; none: upright",
            possible=(0, 500), usual=(0, 40),
            remedy="Sides have to lean out or stand upright, or the slab stays in."),
    _number("taper_over_mm", "taper over a height of", help="empty: the depth", possible=(0.01, 2000), usual=(5, 300)),
    _number("corner_radius_mm", "corner radius", option="corner", possible=(0, 1500), usual=(0, 150)),
    _whole("count", "slabs", default="1", help="of this size", possible=(1, 100), usual=(1, 12)),
    _number("waste_pct", "waste", default="5 %", help="left in the bucket and spilt", possible=(0, 50), usual=(0, 20)),
    _number("water_temp_c", "water temperature", default="20 °C", usual=(5, 30)),
    SizingInput(name="place", kind="word", label="dries", words=("fan", "room"), default="fan", flags="--fan/--room",
          help="before a fan or in the room's air"),
    _number("evaporation_g_m2_h", "evaporation", measured_in="g/(m**2*hour)", help="of a wet face; empty: by that air",
            possible=(0.01, 10_000), usual=(5, 1000)),
    _number("bag_g", "a bag holds", setting="bag_g", possible=(0.01, 1e6), usual=(500, 60_000)),
    _number("bucket_tare_g", "empty bucket weighs", default="0 g", help="the weighing bucket, on the scale too",
            possible=(0, 1e5), usual=(0, 5000)),
    *_weighing(),
)  # fmt: skip
"""A plaster slab."""

CORRECTION = _sizing(
    SizingInput(name="batch", kind="code", label="batch", help="of the lab, for its dry body"),
    _number("mass_g", "weighed slip", help="vessel taken off", possible=(0.01, 1e6), usual=(20, 20_000)),
    _number("volume_ml", "its volume", help="500 mL", possible=(0.01, 1e6), usual=(20, 20_000)),
    _number("slip_sg", "or specific gravity", option="sg", help="of the slip as it is", usual=(1.05, 1.95)),
    _number("slip_g", "slip in the bucket", help="by mass", possible=(0.01, 1e7), usual=(50, 100_000)),
    _number("slip_ml", "or its volume", option="slip-volume", possible=(0.01, 1e7), usual=(50, 100_000)),
    _number("target_sg", "target specific gravity", option="target", help="empty: as the batch was sized",
            usual=(1.15, 1.95)),
    _number("solids_sg", "specific gravity, dry", help="of the dry body; empty: the batch's, else 2.6",
            possible=(1.2, 8), usual=(2.2, 3.5)),
    _number("scale_step_g", "step of the scale", setting="scale_step_g", possible=(0.0001, 10_000), usual=(0.001, 50)),
)  # fmt: skip
"""Slip too thick or too thin."""

BLEND = _sizing(
    SizingInput(name="first", kind="code", label="first body", required=True, only="screen"),
    SizingInput(name="second", kind="code", label="second body", required=True, only="screen"),
    SizingInput(name="third", kind="code", label="third body", help="empty for a line", only="screen"),
    _whole("steps", "steps", default="4", help="a line of 4 has 5 mixtures", possible=(1, 50), usual=(1, 20)),
    _number("dry_g", "dry clay in each", option="dry", default="1 kg", possible=(0.01, 1e6), usual=(20, 50_000)),
    SizingInput(name="by", kind="word", label="blended", words=("slip", "dry"),
          help="by volume of slip, or by dry mass; empty: slip where its specific gravity is known"),
    _number("sg_first", "first specific gravity", help="of its slip; empty: its newest batch",
            usual=(1.15, 1.95), only="screen"),
    _number("sg_second", "second specific gravity", help="of its slip", usual=(1.15, 1.95), only="screen"),
    _number("sg_third", "third specific gravity", help="of its slip", usual=(1.15, 1.95), only="screen"),
    _number("sg", "slip specific gravity", several=True, only="command",
            help="in the bodies' order; its newest batch's where left out", usual=(1.15, 1.95)),
    _number("scale_step_g", "step of the scale", setting="scale_step_g", possible=(0.0001, 10_000), usual=(0.001, 50)),
)  # fmt: skip
"""A line or a triangle between bodies."""


def inputs_on(where: str, inputs: Iterable[SizingInput]) -> tuple[SizingInput, ...]:
    """Those of some inputs that are asked on the `screen`, or by a `command`.

    >>> [one.name for one in inputs_on("command", BLEND.values())]
    ['steps', 'dry_g', 'by', 'sg', 'scale_step_g']
    """
    return tuple(one for one in inputs if one.only in ("", where))
