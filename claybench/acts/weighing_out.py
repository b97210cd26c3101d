"""Acts of weighing a batch out: one material, the water, or everything that was weighed at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from claybench import ask, insight, work
from claybench.acts.act import Act, FieldOffer, Offers, Values
from claybench.acts.field import ActField
from claybench.errors import BadInput, Question
from claybench.mix.slip_formulas import slip_specific_gravity
from claybench.terms import Batch, BatchLine

if TYPE_CHECKING:
    from claybench.ask.weighing_out import WeighingOut
    from claybench.record.lab import Lab

Named = tuple[str, str | None, float | None]
"""A material with its lot, and its mass where it was weighed."""


# -- one material ----------------------------------------------------------------------------------


def _place_of(page: WeighingOut, material: str) -> int:
    """Where a material stands among what is weighed; after the last where the batch does not name it."""
    names = [line.material.casefold() for line in page.lines]
    return names.index(material.casefold()) if material.casefold() in names else len(names)


def _lot_offers(lab: Lab, given: Values) -> Offers:
    if not given.get("batch") or not given.get("material"):
        return {}
    page = ask.weighing_out.weighing_out(lab, str(given["batch"]))
    at = _place_of(page, str(given["material"]))
    return {"lot": FieldOffer((page.lines[at].lot or "") if at < len(page.lines) else "")}


def _weighed_questions(lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
    page = ask.weighing_out.weighing_out(lab, str(values["batch"]))
    at = _place_of(page, values["material"])
    if at < len(page.lines) and not values.get("follow"):
        return insight.contradictions.weighed_in_question(
            page.lines[at].material, values["mass_g"], page.lines[at].weigh_g
        )
    return ()


def _weigh_in(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
    page = ask.weighing_out.weighing_out(lab, str(values["batch"]))
    at = _place_of(page, values["material"])
    grows_to = None
    if values.get("follow"):
        over = page.overshot(at, values["mass_g"]) if at < len(page.lines) else None
        if over is None:
            raise BadInput("That is not more than its target.", "Record it without the rest following.", field="follow")
        grows_to = (over.dry_g, over.water_g)
    named = page.lines[at].material if at < len(page.lines) else str(values["material"])
    work.recipes.weigh_in(
        lab,
        page.batch.batch,
        at + 1,
        named,
        values.get("lot"),
        values["mass_g"],
        grows_to=grows_to,
        answered=answered,
    )
    return page.batch.batch


WEIGH_IN = Act(
    name="weigh-in",
    title="What was weighed into {batch}",
    given=("batch", "material", "mass_g"),
    fields=(
        ActField.of_column(BatchLine, "batch"),
        ActField.of_column(BatchLine, "material"),
        ActField.of_column(BatchLine, "mass_g"),
        ActField.of_column(BatchLine, "lot", note="the newest, or the one weighed before"),
        ActField(
            name="follow", label="the rest follows", kind="yesno", words=("yes", "no"), text="no",
            note="too much went in: the targets of everything else grow with it",
        ),
    ),
    offers=_lot_offers,
    questions=_weighed_questions,
    do=_weigh_in,
    care="weigh_dry",
)  # fmt: skip


# -- the water -------------------------------------------------------------------------------------


def _water_questions(lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
    page = ask.weighing_out.weighing_out(lab, str(values["batch"]))
    return insight.contradictions.weighed_in_question("water", values["water_g"], page.water_to_add_g, "water_g")


_SG_APART = 0.004
"""Specific gravity by masses apart from the one sized by more than this is another slip; a pycnometer reads 0.01."""


def _water_in(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    page = ask.weighing_out.weighing_out(lab, str(values["batch"]))
    if not page.begun:
        raise BadInput("Nothing was weighed into it yet.", "Weigh its materials first.", field="batch")
    dry, water = page.masses_with(values["water_g"])
    weighs = slip_specific_gravity(dry, water, ask.sizing_start.body_slip(lab, page.batch.body).solids_sg)
    sized = page.batch.slip_sg
    # By its masses where they turned out otherwise than sized; a few grams on the scale leave it as it was.
    slip_sg = round(weighs, 3) if sized is None or abs(weighs - sized) > _SG_APART else sized
    work.recipes.water_in(lab, page.batch.batch, dry_g=dry, water_g=water, slip_sg=slip_sg)
    return page.batch.batch


WATER_IN = Act(
    name="water-in",
    title="The water put to {batch}",
    given=("batch", "water_g"),
    fields=(
        ActField.of_column(BatchLine, "batch"),
        ActField.of_column(Batch, "water_g", label="water put to it", required=True),
    ),
    questions=_water_questions,
    do=_water_in,
    care="mix_slip",
)


# -- everything at once ----------------------------------------------------------------------------


def weights_act(batch: str, named: Sequence[Named]) -> Act:
    """The act of putting masses in place of what a batch says was weighed: two fields for each material."""
    fields: list[ActField] = []
    for n, (material, lot, mass) in enumerate(named):
        fields.append(ActField.of_column(BatchLine, "mass_g", mass, name=f"mass{n}", label=material, required=False))
        fields.append(ActField.of_column(BatchLine, "lot", lot, name=f"lot{n}", label="  its lot"))

    def questions(lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
        targets = ask.weighing_out.weighing_targets(lab, batch)
        for n, (material, _, before) in enumerate(named):
            mass = values[f"mass{n}"]
            if mass is not None and mass != before:
                yield from insight.contradictions.weighed_in_question(
                    material, mass, targets.get(material.casefold()), f"mass{n}"
                )

    def do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
        masses = [(material, values[f"lot{n}"], values[f"mass{n}"]) for n, (material, _, _) in enumerate(named)]
        work.recipes.weigh_batch(lab, batch, [line for line in masses if line[2] is not None])
        return batch

    return Act(
        name="weights",
        title=f"What was weighed into {batch}",
        fields=tuple(fields),
        questions=questions,
        do=do,
    )
