"""Acts on families, materials, lots, bodies and batches."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from claybench import ask, insight, work
from claybench.acts.act import Act, FieldOffer, Offers, Values, enters
from claybench.acts.field import ActField, text_as_typed
from claybench.errors import BadInput, Question
from claybench.facts.plaster import MIX_WATER_DENSITY
from claybench.insight.next_code import next_code
from claybench.mix.material_cautions import MaterialCare
from claybench.mix.recipe_line import write_recipe
from claybench.quantity.shown import natural_key
from claybench.terms import Batch, BatchEvent, BatchLine, Body, Family, Lot, Material

if TYPE_CHECKING:
    from claybench.record.lab import Lab


def recipe_field(required: bool = False) -> ActField:
    """The field of a recipe."""
    return ActField(
        name="recipe", label="recipe", kind="recipe", required=required, note="kaolin 30, ball clay 30, feldspar 22",
        refers="materials", makes=True, long=True,
    )  # fmt: skip


def _body_care(lab: Lab, values: Values) -> Mapping[str, MaterialCare]:
    """The materials of the body that is mixed."""
    return ask.material_care.body_care(lab, str(values["body"])) if values.get("body") else {}


# -- families, materials, lots ---------------------------------------------------------------------


FAMILY = Act(
    name="family",
    title="A new family",
    given=("family",),
    fields=(
        ActField.of_column(Family, "family", note="bodies that may share a slab"),
        ActField.of_column(Family, "stain_rank", option="stain-rank"),
        ActField.of_column(Family, "note"),
    ),
    do=enters(Family, lambda: work.recipes.add_family, "family"),
)


def _add_material(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
    work.recipes.add_material(lab, Material(**values), answered=answered)
    return str(values["material"])


MATERIAL = Act(
    name="material",
    title="A new material",
    given=("material",),
    fields=(
        ActField.of_column(Material, "material"),
        ActField.of_column(Material, "kind"),
        ActField.of_column(Material, "specific_gravity", note="2.6 where empty", option="gravity"),
        ActField.of_column(Material, "loi_pct", option="loss"),
        ActField.of_column(Material, "price_per_kg", option="price"),
        ActField.of_column(Material, "caution"),
        ActField.of_column(Material, "note"),
    ),
    do=_add_material,
)


def _add_lot(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
    work.recipes.add_lot(lab, Lot(**values), answered=answered)
    return str(values["lot"])


LOT = Act(
    name="lot",
    title="A new lot",
    given=("lot", "material"),
    fields=(
        ActField.of_column(Lot, "lot"),
        ActField.of_column(Lot, "material"),
        ActField.of_column(Lot, "received_on", text="today", option="received"),
        ActField.of_column(Lot, "received_kg", typed_in="kg", option="mass"),
        ActField.of_column(Lot, "moisture_pct", option="moisture"),
        ActField.of_column(Lot, "note"),
    ),
    do=_add_lot,
)


# -- bodies ----------------------------------------------------------------------------------------


def _body_offers(lab: Lab, given: Values) -> Offers:
    """A new code, and what a body that it is changed from has."""
    codes, _ = ask.bodies.body_codes(lab)
    families = tuple(row.family for row in ask.bodies.stock_lists(lab).families)
    offers = {
        "body": FieldOffer(next_code(list(codes), "B1") if codes else ""),
        "family": FieldOffer(suggestions=families, note=", ".join(families) or "bodies that may share a slab"),
        "parent": FieldOffer(suggestions=tuple(sorted(codes, key=natural_key))),
        "recipe": _recipe_offer(lab, ()),
    }
    if given.get("parent"):
        parent = ask.bodies.body_page(lab, str(given["parent"]))
        about = parent.body
        offers |= {
            "body": FieldOffer(next_code([about.body], "B1")),
            "family": FieldOffer(about.family or "", families),
            "recipe": _recipe_offer(lab, parent.recipe),
            "test_set": FieldOffer(about.test_set or ""),
            "slip_sg": FieldOffer(text_as_typed(about.slip_sg)),
            "workable_water_pct": FieldOffer(text_as_typed(about.workable_water_pct, "%")),
        }
    return offers


def _recipe_offer(lab: Lab, recipe: Iterable[Any]) -> FieldOffer:
    """The text of a recipe as it is read again, with the lab's names to read it by."""
    names = ask.held_names.names_held(lab, "materials")["materials"]
    return FieldOffer(write_recipe(((line.material, line.parts) for line in recipe), names), names=names)


def _add_body(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
    lines = values.pop("recipe") or []
    work.recipes.add_body(lab, Body(**values), lines, answered=answered)
    return str(values["body"])


BODY = Act(
    name="body",
    title="Design a body",
    given=("body", "recipe"),
    fields=(
        ActField.of_column(Body, "body", note="its code, such as W-01"),
        ActField.of_column(Body, "title"),
        ActField.of_column(Body, "family"),
        recipe_field(),
        ActField.of_column(Body, "parent"),
        ActField.of_column(Body, "test_set", option="set"),
        ActField.of_column(Body, "control", note="its family's yardstick, dried again and again"),
        ActField.of_column(Body, "slip_sg", note="as it pours well", option="slip-sg"),
        ActField.of_column(Body, "workable_water_pct", note="of dry mass; about 25 %", option="workable-water"),
        ActField.of_column(Body, "note"),
    ),
    offers=_body_offers,
    do=_add_body,
)


def _change_offers(lab: Lab, given: Values) -> Offers:
    return {"recipe": _recipe_offer(lab, ask.bodies.body_page(lab, str(given["body"])).recipe)}


def _change_recipe(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
    work.recipes.change_recipe(lab, str(values["body"]), values["recipe"], answered=answered)
    return str(values["body"])


RECIPE = Act(
    name="recipe",
    title="The recipe of {body}",
    given=("body", "recipe"),
    fields=(ActField.of_column(Body, "body"), recipe_field(required=True)),
    offers=_change_offers,
    do=_change_recipe,
)


# -- batches ---------------------------------------------------------------------------------------


def _batch_offers(lab: Lab, given: Values) -> Offers:
    return {"batch": FieldOffer(ask.sizing_start.next_batch_of(lab, str(given.get("body") or "")))}


def _batch_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    return insight.contradictions.batch_questions(Batch(**{**values, "mixed_at": values.get("mixed_at") or now}))


def _mix_batch(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    if not values.get("mixed_at"):
        raise BadInput("When it was mixed is not said.", "Leave the field as it is for now.", field="mixed_at")
    work.recipes.mix_batch(lab, Batch(**values))
    return str(values["batch"])


BATCH = Act(
    name="batch",
    title="A batch of {body}",
    given=("body",),
    fields=(
        ActField.of_column(Batch, "body", makes=True),
        ActField.of_column(Batch, "batch", note="write it on the bucket", option="code"),
        ActField.of_column(Batch, "made", "slip"),
        ActField.of_column(Batch, "mixed_at", text="now", option="at"),
        ActField.of_column(Batch, "dry_mass_g", option="dry"),
        ActField.of_column(Batch, "water_g", note="all water in it", option="water"),
        ActField.of_column(Batch, "slip_sg", option="slip-sg"),
        ActField.of_column(Batch, "slip_temp_c", typed_in="°C", option="slip-temp"),
        ActField.of_column(Batch, "note"),
    ),
    offers=_batch_offers,
    questions=_batch_questions,
    do=_mix_batch,
    care="weigh_dry",
    concerns=_body_care,
    concerned_by=("body",),
)


def _event_questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
    with lab.reading() as record:
        batch = record.one(Batch, values["batch"])
        weighed = sum(line.mass_g for line in record.rows(BatchLine, batch=batch.batch))
    return insight.contradictions.batch_event_questions(
        BatchEvent(**{**values, "at": values.get("at") or now}), batch, weighed
    )


def _log_batch(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
    work.recipes.log_batch(lab, BatchEvent(**values), answered=answered)
    return str(values["batch"])


def event_g_per_ml(event: str | None) -> float | None:
    """What a millilitre of what an event adds or takes weighs: water may be typed as a volume, all else as a mass."""
    return MIX_WATER_DENSITY.value if event in ("water_added", "water_off") else None


def _event_offers(_lab: Lab, given: Values) -> Offers:
    return {"mass_g": FieldOffer(g_per_ml=event_g_per_ml(given.get("event")))}


BATCH_EVENT = Act(
    name="batch-event",
    title="What happened to batch {batch}",
    given=("batch", "event"),
    fields=(
        ActField.of_column(BatchEvent, "batch"),
        ActField.of_column(BatchEvent, "event", "water_added", required=True),
        ActField.of_column(BatchEvent, "mass_g", note="added or taken; water as 0.5 L, too", option="mass"),
        ActField.of_column(BatchEvent, "material"),
        ActField.of_column(BatchEvent, "lot"),
        ActField.of_column(BatchEvent, "slip_sg", note="after it", option="slip-sg"),
        ActField.of_column(BatchEvent, "slip_temp_c", typed_in="°C", option="slip-temp"),
        ActField.of_column(BatchEvent, "mesh"),
        ActField.of_column(BatchEvent, "at", text="now"),
        ActField.of_column(BatchEvent, "note"),
    ),
    offers=_event_offers,
    questions=_event_questions,
    do=_log_batch,
)
