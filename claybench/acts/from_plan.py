"""Acts that make a plan's proposals real: bodies with their batches at once, or one more batch beside a set."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from claybench import ask, clock, work
from claybench.acts.act import Act, FieldOffer, Offers, Values
from claybench.acts.field import ActField
from claybench.acts.material_naming import unsaid_questions_of
from claybench.errors import Question
from claybench.facts.clay import PLAIN_SLIP_SG
from claybench.insight import sizing
from claybench.mix.sized_for import SizedFor
from claybench.mix.slip_balance import body_solids_sg
from claybench.quantity.shown import show
from claybench.terms import Batch, Body
from claybench.terms.naming import name_questions, parse_as_many_codes

if TYPE_CHECKING:
    from claybench.ask.sizing_start import BodyRecipe
    from claybench.insight.plan.next_set.making import BodyOffer as Proposal
    from claybench.insight.plan.next_set.next_set import NextSet
    from claybench.insight.plan.next_set.set_progress import BodyRepeat
    from claybench.record.lab import Lab

Made = list[tuple[Body, Sequence[tuple[str, float]]]]

_MASS = ActField.of_column(Batch, "dry_mass_g", name="mass", label="dry clay in each batch", required=True)
_WHEN = ActField(name="mixed_at", label="to be mixed", kind="time", ahead=True)


def make_act(next_set: NextSet, chosen: Sequence[Proposal], name: str, batch_g: float) -> Act:
    """The act of designing some proposals of a plan, each with a batch still to be weighed out."""
    several = len(chosen) > 1
    parents = dict.fromkeys(offer.parent for offer in chosen if offer.parent)

    def rows(lab: Lab, values: Values) -> tuple[Made, list[Batch]]:
        codes = parse_as_many_codes(values["bodies"], len(chosen), "proposal", "bodies")
        batches = (
            parse_as_many_codes(values["batches"], len(chosen), "proposal", "batches")
            if values["batches"]
            else [f"{code}-1" for code in codes]
        )
        made: Made = [
            (
                Body(
                    body=code, title=f"{name}, {offer.number}"[:200], family=next_set.family, parent=offer.parent,
                    test_set=values["test_set"], slip_sg=offer.slip_sg,
                ),
                offer.lines,
            )
            for code, offer in zip(codes, chosen, strict=True)
        ]  # fmt: skip
        mixed = [
            Batch(
                batch=batch, body=code, made="slip", mixed_at=values["mixed_at"] or offer.start or _now(lab),
                **sizing.requests.planned_masses(values["mass"], offer.slip_sg, offer.solids_sg),
            )
            for batch, code, offer in zip(batches, codes, chosen, strict=True)
        ]  # fmt: skip
        return made, mixed

    def questions(lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
        made, _ = rows(lab, values)
        return _names(lab, made)

    def do(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
        made, mixed = rows(lab, values)
        sized = {batch.batch: SizedFor(layer_mm=next_set.layer_mm) for batch in mixed}
        work.recipes.design_set(lab, made, values["test_set"], batches=mixed, sized=sized, answered=answered)
        return str(values["test_set"])

    def offers(_lab: Lab, _given: Values) -> Offers:
        return {
            "bodies": FieldOffer(", ".join(offer.body for offer in chosen)),
            "batches": FieldOffer(note=f"empty: {chosen[0].body}-1" + (" and so on" if several else "")),
            "mass": FieldOffer(show(batch_g, "g", figures=4)),
            "test_set": FieldOffer(name, note=f"changed from {', '.join(parents)}" if parents else ""),
            "mixed_at": FieldOffer(note="empty: as planned, each before its pour"),
        }

    return Act(
        name="make",
        title=f"Make {len(chosen)} bodies of {name}" if several else f"Make 1 body of {name}",
        fields=(
            ActField(
                name="bodies",
                label="codes of the bodies" if several else "code of the body",
                required=True,
                note="commas between",
            ),
            ActField(name="batches", label="codes of the batches"),
            _MASS,
            ActField(name="test_set", label="set", required=True),
            _WHEN,
        ),
        offers=offers,
        questions=questions,
        do=do,
    )


def repeat_act(next_set: NextSet, held: BodyRecipe, again: BodyRepeat, name: str, batch_g: float) -> Act:
    """The act of planning one more batch of a body of the lab, beside the set."""
    from dataclasses import replace

    slip = held.body.slip_sg or PLAIN_SLIP_SG.value

    def do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
        solids = body_solids_sg(held.parts, held.settings.number_of("solids_sg"))
        batch = Batch(
            batch=values["batch"],
            body=held.body.body,
            made="slip",
            mixed_at=values["mixed_at"] or again.start or _now(lab),
            note=f"beside {name}"[:200],
            **sizing.requests.planned_masses(values["mass"], slip, solids),
        )
        work.recipes.design_set(
            lab, [], name, batches=[batch], sized={batch.batch: SizedFor(layer_mm=next_set.layer_mm)}
        )
        return name

    def offers(_lab: Lab, _given: Values) -> Offers:
        return {
            "batch": FieldOffer(held.next_batch),
            "mass": FieldOffer(show(batch_g, "g", figures=4)),
            "mixed_at": FieldOffer(note="empty: as planned, before its pour"),
        }

    return Act(
        name="again",
        title=f"Make {held.body.body} once more",
        fields=(
            ActField.of_column(Batch, "batch", label="code of the batch"),
            replace(_MASS, label="dry clay in it"),
            _WHEN,
        ),
        offers=offers,
        do=do,
    )


def _now(lab: Lab) -> datetime:
    return clock.in_zone(lab.now(), lab.zone)


def _names(lab: Lab, made: Made) -> Iterable[Question]:
    """Codes and materials that would make a second thing beside one that is near, and what a material is that nobody
    said; each asked about once."""
    held = ask.held_names.names_held(lab, "bodies", "materials")
    for body, _ in made:
        yield from name_questions(body.body, held["bodies"], "bodies")
    materials = list(dict.fromkeys(material for _, lines in made for material, _ in lines))
    for material in materials:
        yield from name_questions(material, held["materials"], "bodies")
    yield from unsaid_questions_of(lab, materials, "bodies")
