"""Acts that turn a sizing into the record: slabs cast or begun, batches mixed or begun, a correction, a blend.

What is recorded of a sizing follows from it and from a few fields; what the sizing itself finds unusual is asked about
with the rest.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from claybench import ask, insight, work
from claybench.acts.act import Act, FieldOffer, Offers, Values
from claybench.acts.field import ActField, text_as_typed
from claybench.acts.material_naming import unsaid_questions_of
from claybench.acts.recipes import BATCH_EVENT
from claybench.errors import BadInput, Question
from claybench.insight import sizing
from claybench.insight.next_code import next_code
from claybench.mix.blends import blended_recipe
from claybench.mix.pour_list import codes_of_pour, pour_list, slabs_of_pour
from claybench.quantity.shown import show
from claybench.terms import Batch, Body, Slab
from claybench.terms.naming import name_questions

if TYPE_CHECKING:
    from claybench.insight.sizing.requests import BodySlip
    from claybench.mix.blends import Blend, BlendSizing
    from claybench.mix.doses import Dose
    from claybench.mix.slab_sizing import SlabSizing
    from claybench.mix.slip_correction import Correction
    from claybench.mix.slip_sizing import SlipSizing
    from claybench.record.lab import Lab


# -- slabs -----------------------------------------------------------------------------------------

CAST_FIELDS = (
    ActField.of_column(Slab, "slab", kind="text", required=True, note="scratch it into the side", option="record"),
    ActField.of_column(Slab, "family", note="what will dry on it"),
    ActField.of_column(Slab, "cast_at", text="now", required=True, kind="time", option="at"),
    ActField.of_column(Slab, "plaster", note="kind or bag", option="kind"),
    ActField.of_column(Slab, "pour", note="the same for slabs of one mix"),
    ActField.of_column(Slab, "usable_area_cm2", note="empty: 15 mm kept free all round", option="usable-area"),
    ActField.of_column(Slab, "note"),
)
"""What is asked of slabs that were sized; the code is several where there are several, commas between."""


def cast_act(sized: SlabSizing, *, by_steps: bool = False) -> Act:
    """The act of recording slabs as cast; `by_steps` writes them down before the first step of their pour."""
    count = sized.request.count

    def offers(lab: Lab, _given: Values) -> Offers:
        codes = list(ask.slabs.slab_codes(lab))
        wanted: list[str] = []
        for _ in range(count):
            wanted.append(next_code([*codes, *wanted], "P1"))
        return {"slab": FieldOffer(", ".join(wanted), note="codes, commas between" if count > 1 else "")}

    def rows(values: Values) -> list[Slab]:
        named, pour = codes_of_pour(values["slab"], count)
        about = {name: value for name, value in values.items() if name != "slab"}
        return slabs_of_pour(sized, named, **{**about, "pour": about.get("pour") or pour})

    def questions(_lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
        yield from sized.questions
        yield from insight.contradictions.slab_questions(rows(values)[0])

    def do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
        slabs = rows(values)
        if by_steps:
            work.slabs.begin_pour(lab, slabs, pour_list(sized))
        else:
            at = slabs[0].cast_at
            work.slabs.cast_slab(
                lab, *slabs, mixed_at=at if isinstance(at, datetime) else None, weighed=pour_list(sized)
            )
        return ", ".join(slab.slab for slab in slabs)

    return Act(
        name="mix",
        title="Pour it now, step by step" if by_steps else "Record the slab as cast",
        fields=CAST_FIELDS,
        offers=offers,
        questions=questions,
        do=do,
    )


# -- batches ---------------------------------------------------------------------------------------

MIXED_FIELDS = (
    ActField.of_column(Batch, "batch", note="write it on the bucket", option="record"),
    ActField.of_column(Batch, "mixed_at", text="now", required=True, option="at"),
    ActField.of_column(Batch, "water_g", note="all water in the slip", option="water"),
    ActField.of_column(Batch, "slip_sg", note="weigh a known volume", option="slip-sg"),
    ActField.of_column(Batch, "slip_temp_c", typed_in="°C", option="slip-temp"),
    ActField.of_column(Batch, "note"),
)
"""What is asked of a batch that was sized and mixed."""
_PLANNED = ("batch", "mixed_at", "note")
"""The fields that are asked before anything is weighed."""


def mixed_act(sized: SlipSizing, body: str, *, by_weighing: bool = False) -> Act:
    """The act of recording a batch of a body as sized; `by_weighing` writes it down before anything is weighed."""
    doses = sizing.requests.doses_of_request(sized.request)

    def batch_of(values: Values) -> Batch:
        return (sizing.requests.batch_planned if by_weighing else sizing.requests.batch_mixed)(
            sized, body=body, **values
        )

    def offers(lab: Lab, _given: Values) -> Offers:
        made = batch_of({"batch": "", "mixed_at": lab.now()})
        return {
            "batch": FieldOffer(ask.sizing_start.next_batch_of(lab, body)),
            "water_g": FieldOffer(text_as_typed(made.water_g, "g")),
            "slip_sg": FieldOffer(text_as_typed(made.slip_sg)),
        }

    def questions(lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
        yield from sized.questions
        yield from insight.contradictions.batch_questions(batch_of(values), sized.solids_sg)
        yield from _of_doses(lab, doses)
        said = {dose.material for dose in doses if dose.deflocculant}
        yield from unsaid_questions_of(
            lab, (each.material for each in sized.lines if each.material not in said), "batch"
        )

    def do(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
        batch = batch_of(values)
        lines = () if by_weighing else sizing.requests.weighed_lines(sized)
        work.recipes.mix_batch(
            lab,
            batch,
            lines,
            doses=doses,
            sized=sizing.requests.sized_for_note(sized),
            answered=answered,
        )
        return batch.batch

    asked = MIXED_FIELDS if not by_weighing else tuple(field for field in MIXED_FIELDS if field.name in _PLANNED)
    weighed = "Weights are recorded as rounded; correct them on the batch's page if they came out otherwise."
    return Act(
        name="mix",
        title=f"Weigh out a batch of {body}" if by_weighing else f"Record a batch of {body}",
        fields=asked,
        offers=offers,
        questions=questions,
        do=do,
        note="" if by_weighing else weighed,
    )


def _of_doses(lab: Lab, doses: Sequence[Dose]) -> Iterable[Question]:
    """Additions whose names would make a second material beside one that is near."""
    if doses:
        held = ask.held_names.names_held(lab, "materials")["materials"]
        for dose in doses:
            yield from name_questions(dose.material, held, "additions")


# -- slip corrected --------------------------------------------------------------------------------

CORRECTED_FIELDS = (
    BATCH_EVENT.field("batch"),
    BATCH_EVENT.field("event"),
    replace(BATCH_EVENT.field("mass_g"), note="as put in", option="added"),
    replace(BATCH_EVENT.field("slip_sg"), note="weigh it again"),
    BATCH_EVENT.field("slip_temp_c"),
    BATCH_EVENT.field("at"),
    BATCH_EVENT.field("note"),
)
"""What is asked of slip that was brought to its target."""


def corrected_act(sized: Correction) -> Act:
    """The act of logging what was added to a batch, with the sizing's figures to begin with."""

    def offers(_lab: Lab, _given: Values) -> Offers:
        mass = round(sized.add_dry_g or sized.add_water_g or 0.0, 1)
        return {
            "event": FieldOffer("dry_added" if sized.add_dry_g is not None else "water_added"),
            "mass_g": FieldOffer(text_as_typed(mass, "g")),
            "slip_sg": FieldOffer(text_as_typed(round(sized.request.target_sg, 3))),
        }

    def questions(_lab: Lab, _values: Values, _now: datetime) -> Iterable[Question]:
        return sized.questions

    return replace(
        BATCH_EVENT,
        title="Correct the slip of {batch}",
        fields=CORRECTED_FIELDS,
        offers=offers,
        questions=questions,
    )


# -- blends ----------------------------------------------------------------------------------------

BLEND_FIELDS = (
    ActField.of_column(Body, "test_set", note="name of the set", option="set"),
    ActField(name="prefix", label="codes begin with", required=True, option="record"),
    ActField.of_column(Body, "family", note="what they may share a slab with"),
)
"""What is asked of mixtures that become bodies."""


def blend_act(sized: BlendSizing, slips: Sequence[BodySlip]) -> Act:
    """The act of designing the mixtures between the corners as bodies of one set."""
    between = [blend for blend in sized.blends if max(blend.shares) < 1 - 1e-9]
    if not between:
        raise BadInput("There is nothing between the bodies in one step.", "Take two steps or more.", field="steps")
    name = "-".join(slip.body.body for slip in slips)[:30]
    families = {slip.body.family for slip in slips}

    def offers(lab: Lab, _given: Values) -> Offers:
        taken = {code.casefold() for code in ask.bodies.body_codes(lab)[0]}
        stem = f"{name}-"
        while f"{stem}1".casefold() in taken:
            stem += "b"
        return {
            "test_set": FieldOffer(name),
            "prefix": FieldOffer(stem, note=f"{len(between)} bodies, numbered"),
            "family": FieldOffer((next(iter(families)) or "") if len(families) == 1 else ""),
        }

    recipes = [blended_recipe([slip.lines for slip in slips], blend.shares) for blend in between]

    def questions(lab: Lab, _values: Values, _now: datetime) -> Iterable[Question]:
        yield from sized.questions
        yield from unsaid_questions_of(lab, (material for lines in recipes for material, _ in lines), "prefix")

    def do(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
        test_set = values["test_set"] or name
        bodies = [
            (_blended(f"{values['prefix']}{number}", blend, slips, family=values["family"], test_set=test_set), lines)
            for number, (blend, lines) in enumerate(zip(between, recipes, strict=True), 1)
        ]
        work.recipes.design_set(lab, bodies, test_set, answered=answered)
        return str(test_set)

    return Act(
        name="mix",
        title="Record the mixtures as bodies",
        fields=BLEND_FIELDS,
        offers=offers,
        questions=questions,
        do=do,
    )


def _blended(code: str, blend: Blend, slips: Sequence[BodySlip], *, family: str | None, test_set: str) -> Body:
    shares = [
        f"{show(100 * share, '%', figures=3)} {slip.body.body}"
        for share, slip in zip(blend.shares, slips, strict=True)
        if share
    ]
    most = max(range(len(slips)), key=lambda index: blend.shares[index])
    return Body(
        body=code, title=" + ".join(shares)[:200], family=family, parent=slips[most].body.body, test_set=test_set
    )
