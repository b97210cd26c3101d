"""Acts on families, materials, lots, bodies and batches."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from claybench.acts.declare import Act, Offer, Offers, Values
from claybench.acts.field import Ask
from claybench.errors import BadInput, Question
from claybench.quantity.shown import natural
from claybench.terms import Batch, BatchEvent, Body, Family, Lot, Material

if TYPE_CHECKING:
    from claybench.record.lab import Lab


def recipe_ask(required: bool = False) -> Ask:
    """The field of a recipe."""
    return Ask(
        name="recipe", label="recipe", kind="recipe", required=required, note="kaolin 30, ball clay 30, feldspar 22",
        refers="materials", makes=True, long=True,
    )  # fmt: skip


# -- families, materials, lots ---------------------------------------------------------------------


def _add_family(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.work.recipes import add_family

    add_family(lab, Family(**values))
    return str(values["family"])


FAMILY = Act(
    name="family",
    title="A new family",
    given=("family",),
    fields=(
        Ask.of(Family, "family", note="bodies that may share a slab"),
        Ask.of(Family, "stain_rank", option="stain-rank"),
        Ask.of(Family, "note"),
    ),
    do=_add_family,
)


def _add_material(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.work.recipes import add_material

    add_material(lab, Material(**values))
    return str(values["material"])


MATERIAL = Act(
    name="material",
    title="A new material",
    given=("material",),
    fields=(
        Ask.of(Material, "material"),
        Ask.of(Material, "kind"),
        Ask.of(Material, "specific_gravity", note="2.6 where empty", option="gravity"),
        Ask.of(Material, "loi_pct", option="loss"),
        Ask.of(Material, "price_per_kg", option="price"),
        Ask.of(Material, "caution"),
        Ask.of(Material, "note"),
    ),
    do=_add_material,
)


def _add_lot(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.work.recipes import add_lot

    add_lot(lab, Lot(**values))
    return str(values["lot"])


LOT = Act(
    name="lot",
    title="A new lot",
    given=("lot", "material"),
    fields=(
        Ask.of(Lot, "lot"),
        Ask.of(Lot, "material"),
        Ask.of(Lot, "received_on", text="today", option="received"),
        Ask.of(Lot, "received_kg", typed_in="kg", option="mass"),
        Ask.of(Lot, "moisture_pct", option="moisture"),
        Ask.of(Lot, "note"),
    ),
    do=_add_lot,
)


# -- bodies ----------------------------------------------------------------------------------------


def _body_offers(lab: Lab, given: Values) -> Offers:
    """A new code, and what a body that it is changed from has."""
    from claybench.acts.field import written
    from claybench.ask.bodies import body_codes, body_page, shelf
    from claybench.ask.runs import next_code

    codes, _ = body_codes(lab)
    families = tuple(row.family for row in shelf(lab).families)
    offers = {
        "body": Offer(next_code(list(codes), "B1") if codes else ""),
        "family": Offer(suggestions=families, note=", ".join(families) or "bodies that may share a slab"),
        "parent": Offer(suggestions=tuple(sorted(codes, key=natural))),
        "recipe": _recipe_offer(lab, ()),
    }
    if given.get("parent"):
        parent = body_page(lab, str(given["parent"]))
        about = parent.body
        offers |= {
            "body": Offer(next_code([about.body], "B1")),
            "family": Offer(about.family or "", families),
            "recipe": _recipe_offer(lab, parent.recipe),
            "test_set": Offer(about.test_set or ""),
            "slip_sg": Offer(written(about.slip_sg)),
            "workable_water_pct": Offer(written(about.workable_water_pct, "%")),
        }
    return offers


def _recipe_offer(lab: Lab, recipe: Iterable[Any]) -> Offer:
    """The text of a recipe as it is read again, with the lab's names to read it by."""
    from claybench.ask.names import names_held
    from claybench.mix.recipe_line import write_recipe

    names = names_held(lab, "materials")["materials"]
    return Offer(write_recipe(((line.material, line.parts) for line in recipe), names), names=names)


def _add_body(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.work.recipes import add_body

    lines = values.pop("recipe") or []
    add_body(lab, Body(**values), lines)
    return str(values["body"])


BODY = Act(
    name="body",
    title="Design a body",
    given=("body", "recipe"),
    fields=(
        Ask.of(Body, "body", note="its code, such as W-01"),
        Ask.of(Body, "title"),
        Ask.of(Body, "family"),
        recipe_ask(),
        Ask.of(Body, "parent"),
        Ask.of(Body, "test_set", option="set"),
        Ask.of(Body, "control", note="its family's yardstick, dried again and again"),
        Ask.of(Body, "slip_sg", note="as it pours well", option="slip-sg"),
        Ask.of(Body, "workable_water_pct", note="of dry mass; about 25 %", option="workable-water"),
        Ask.of(Body, "note"),
    ),
    offers=_body_offers,
    do=_add_body,
)


def _change_offers(lab: Lab, given: Values) -> Offers:
    from claybench.ask.bodies import body_page

    return {"recipe": _recipe_offer(lab, body_page(lab, str(given["body"])).recipe)}


def _change_recipe(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.work.recipes import change_recipe

    change_recipe(lab, str(values["body"]), values["recipe"])
    return str(values["body"])


RECIPE = Act(
    name="recipe",
    title="The recipe of {body}",
    given=("body", "recipe"),
    fields=(Ask.of(Body, "body"), recipe_ask(required=True)),
    offers=_change_offers,
    do=_change_recipe,
)


# -- batches ---------------------------------------------------------------------------------------


def _batch_offers(lab: Lab, given: Values) -> Offers:
    from claybench.ask.mixing import next_batch_code

    return {"batch": Offer(next_batch_code(lab, str(given.get("body") or "")))}


def _batch_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    from claybench.insight.contradictions import batch_questions

    return batch_questions(Batch(**{**values, "mixed_at": values.get("mixed_at") or now}))


def _mix_batch(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.work.recipes import mix_batch

    if not values.get("mixed_at"):
        raise BadInput("When it was mixed is not said.", "Leave the field as it is for now.", field="mixed_at")
    mix_batch(lab, Batch(**values))
    return str(values["batch"])


BATCH = Act(
    name="batch",
    title="A batch of {body}",
    given=("body",),
    fields=(
        Ask.of(Batch, "body", makes=True),
        Ask.of(Batch, "batch", note="write it on the bucket", option="code"),
        Ask.of(Batch, "made", "slip"),
        Ask.of(Batch, "mixed_at", text="now", option="at"),
        Ask.of(Batch, "dry_mass_g", option="dry"),
        Ask.of(Batch, "water_g", note="all water in it", option="water"),
        Ask.of(Batch, "slip_sg", option="slip-sg"),
        Ask.of(Batch, "slip_temp_c", typed_in="°C", option="slip-temp"),
        Ask.of(Batch, "note"),
    ),
    offers=_batch_offers,
    questions=_batch_questions,
    do=_mix_batch,
    care="weigh_dry",
)


def _event_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    from claybench.insight.contradictions import batch_event_questions
    from claybench.terms import BatchLine

    with lab.reading() as record:
        batch = record.one(Batch, values["batch"])
        weighed = sum(line.mass_g for line in record.rows(BatchLine, batch=batch.batch))
    return batch_event_questions(BatchEvent(**{**values, "at": values.get("at") or now}), batch, weighed)


def _log_batch(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    from claybench.work.recipes import log_batch

    log_batch(lab, BatchEvent(**values))
    return str(values["batch"])


BATCH_EVENT = Act(
    name="batch-event",
    title="What happened to batch {batch}",
    given=("batch", "event"),
    fields=(
        Ask.of(BatchEvent, "batch"),
        Ask.of(BatchEvent, "event", "water_added", required=True),
        Ask.of(BatchEvent, "mass_g", note="of what was added or taken", option="mass"),
        Ask.of(BatchEvent, "material"),
        Ask.of(BatchEvent, "lot"),
        Ask.of(BatchEvent, "slip_sg", note="after it", option="slip-sg"),
        Ask.of(BatchEvent, "slip_temp_c", typed_in="°C", option="slip-temp"),
        Ask.of(BatchEvent, "mesh"),
        Ask.of(BatchEvent, "at", text="now"),
        Ask.of(BatchEvent, "note"),
    ),
    questions=_event_questions,
    do=_log_batch,
)
