"""Acts that make a plan's proposals real: bodies with their batches at once, or one more batch beside a set."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from claybench.acts.declare import Act, Offer, Offers, Values
from claybench.acts.field import Ask
from claybench.errors import Question
from claybench.facts.clay import PLAIN_SLIP_SG
from claybench.mix.sized_for import SizedFor
from claybench.quantity.shown import show
from claybench.terms import Batch, Body
from claybench.terms.naming import so_many

if TYPE_CHECKING:
    from claybench.ask.mixing import Recipe
    from claybench.ask.plan import Plan
    from claybench.ask.plan_make import Offer as Proposal
    from claybench.ask.plan_set import Repeat
    from claybench.record.lab import Lab

Made = list[tuple[Body, Sequence[tuple[str, float]]]]

_MASS = Ask.of(Batch, "dry_mass_g", name="mass", label="dry clay in each batch", required=True)
_WHEN = Ask(name="mixed_at", label="to be mixed", kind="time", ahead=True)


def make_act(found: Plan, chosen: Sequence[Proposal], name: str, batch_g: float) -> Act:
    """The act of designing some proposals of a plan, each with a batch still to be weighed out."""
    several = len(chosen) > 1
    parents = dict.fromkeys(offer.parent for offer in chosen if offer.parent)

    def rows(lab: Lab, values: Values) -> tuple[Made, list[Batch]]:
        from claybench.insight.sizing.requests import planned_masses

        codes = so_many(values["bodies"], len(chosen), "proposal", "bodies")
        batches = (
            so_many(values["batches"], len(chosen), "proposal", "batches")
            if values["batches"]
            else [f"{code}-1" for code in codes]
        )
        made: Made = [
            (
                Body(
                    body=code, title=f"{name}, {offer.number}"[:200], family=found.family, parent=offer.parent,
                    test_set=values["test_set"], slip_sg=offer.slip_sg,
                ),
                offer.lines,
            )
            for code, offer in zip(codes, chosen, strict=True)
        ]  # fmt: skip
        mixed = [
            Batch(
                batch=batch, body=code, made="slip", mixed_at=values["mixed_at"] or offer.start or _now(lab),
                **planned_masses(values["mass"], offer.slip_sg, offer.solids_sg),
            )
            for batch, code, offer in zip(batches, codes, chosen, strict=True)
        ]  # fmt: skip
        return made, mixed

    def questions(lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
        made, _ = rows(lab, values)
        return _names(lab, made)

    def do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
        from claybench.work.recipes import design_set

        made, mixed = rows(lab, values)
        sized = {batch.batch: SizedFor(layer_mm=found.layer_mm) for batch in mixed}
        design_set(lab, made, values["test_set"], batches=mixed, sized=sized)
        return str(values["test_set"])

    def offers(_lab: Lab, _given: Values) -> Offers:
        return {
            "bodies": Offer(", ".join(offer.body for offer in chosen)),
            "batches": Offer(note=f"empty: {chosen[0].body}-1" + (" and so on" if several else "")),
            "mass": Offer(show(batch_g, "g", figures=4)),
            "test_set": Offer(name, note=f"changed from {', '.join(parents)}" if parents else ""),
            "mixed_at": Offer(note="empty: as planned, each before its pour"),
        }

    return Act(
        name="make",
        title=f"Make {len(chosen)} bodies of {name}" if several else f"Make 1 body of {name}",
        fields=(
            Ask(
                name="bodies",
                label="codes of the bodies" if several else "code of the body",
                required=True,
                note="commas between",
            ),
            Ask(name="batches", label="codes of the batches"),
            _MASS,
            Ask(name="test_set", label="set", required=True),
            _WHEN,
        ),
        offers=offers,
        questions=questions,
        do=do,
    )


def repeat_act(found: Plan, held: Recipe, again: Repeat, name: str, batch_g: float) -> Act:
    """The act of planning one more batch of a body of the lab, beside the set."""
    from dataclasses import replace

    slip = held.body.slip_sg or PLAIN_SLIP_SG.value

    def do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
        from claybench.insight.sizing.requests import planned_masses
        from claybench.mix.slip_batch import solids_of
        from claybench.work.recipes import design_set

        solids = solids_of(held.parts, held.settings.number("solids_sg"))
        batch = Batch(
            batch=values["batch"], body=held.body.body, made="slip",
            mixed_at=values["mixed_at"] or again.start or _now(lab), **planned_masses(values["mass"], slip, solids),
            note=f"beside {name}"[:200],
        )  # fmt: skip
        design_set(lab, [], name, batches=[batch], sized={batch.batch: SizedFor(layer_mm=found.layer_mm)})
        return name

    def offers(_lab: Lab, _given: Values) -> Offers:
        return {
            "batch": Offer(held.next_batch),
            "mass": Offer(show(batch_g, "g", figures=4)),
            "mixed_at": Offer(note="empty: as planned, before its pour"),
        }

    return Act(
        name="again",
        title=f"Make {held.body.body} once more",
        fields=(
            Ask.of(Batch, "batch", label="code of the batch"),
            replace(_MASS, label="dry clay in it"),
            _WHEN,
        ),
        offers=offers,
        do=do,
    )


def _now(lab: Lab) -> datetime:
    from claybench import clock

    return clock.in_zone(lab.now(), lab.zone)


def _names(lab: Lab, made: Made) -> Iterable[Question]:
    """Codes and materials that would make a second thing beside one that is near; each asked about once."""
    from claybench.ask.names import names_held
    from claybench.terms.naming import name_questions

    held = names_held(lab, "bodies", "materials")
    for body, _ in made:
        yield from name_questions(body.body, held["bodies"], "bodies")
    for material in dict.fromkeys(material for _, lines in made for material, _ in lines):
        yield from name_questions(material, held["materials"], "bodies")
