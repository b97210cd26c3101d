"""Acts on points of plasticity: what is read, the sample wet and dry, and the tin it was weighed in."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from claybench import ask, insight, work
from claybench.acts.act import Act, Values
from claybench.acts.field import ActField, text_as_typed
from claybench.errors import BadInput, Question
from claybench.measure.plasticity import FALL_CONES, parse_cone
from claybench.mix.material_cautions import MaterialCare
from claybench.quantity.shown import show
from claybench.terms import TABLE_OF, Column, Measurement

if TYPE_CHECKING:
    from claybench.record.lab import Lab


@dataclass(frozen=True, slots=True)
class PointKind:
    """One kind of point."""

    title: str
    heading: str
    guide: str
    """What to do, with the standard it follows."""
    weighed: bool = True


POINTS = {
    "liquid_cup": PointKind(
        "cup",
        "Liquid limit by the cup",
        "ASTM D4318: count the blows that close the groove, then weigh a sample from there. Three points or more, on "
        "both sides of 25 blows; one alone serves only from 20 to 30. Grog and sand are sieved out first (425 µm).",
    ),
    "liquid_cone": PointKind(
        "cone",
        "Liquid limit by the fall cone",
        "How deep the cone sinks in, then a sample from there. Two points or more, best on both sides of "
        + " or ".join(f"{show(cone.depth.value, 'mm')} ({cone.name})" for cone in FALL_CONES)
        + ". Grog and sand are sieved out first (425 µm).",
    ),
    "plastic_thread": PointKind(
        "thread",
        "Plastic limit",
        "ASTM D4318: threads that crumble when they are 3.2 mm thick, gathered into a tin. Two trials or more.",
    ),
    "coil_bend": PointKind(
        "bend",
        "A coil bent round a finger",
        "1 splits, 5 bends without a crack. A quick look, common practice; no standard.",
        weighed=False,
    ),
}
_TIN = re.compile(r"\btin ([0-9.]+) g taken off\b(?:; )?")
_BLOWS = replace(TABLE_OF[Measurement]["count"], possible=(None, 500), usual=(5, 60))
_DEPTH = Column(name="value", kind="number", label="depth of the cone", above=0.0, possible=(None, 100), usual=(5, 40),
                measured_in="mm")  # fmt: skip
_WET = ActField.of_column(Measurement, "wet_g", label="sample wet", note="with its tin, if named", option="wet")
_DRY = ActField.of_column(Measurement, "dry_g", label="sample dry", note="after 110 °C; or later", option="dry")
_TIN_ASK = ActField(name="tin", label="the tin", kind="number", unit="g", low=0.0, note="taken off both")
_WHAT = ActField(name="what", label="point", kind="word", words=tuple(POINTS), required=True)
_READ = {
    "liquid_cup": replace(
        ActField.of_column(Measurement, "count", label="blows", required=True, above=0.0, option="blows"), column=_BLOWS
    ),
    "liquid_cone": ActField(
        name="value", label="cone sank in", kind="number", unit="mm", above=0.0, required=True, column=_DEPTH
    ),
    "coil_bend": ActField(name="value", label="bend, 1 to 5", kind="number", low=1.0, high=5.0, required=True),
}
"""What is read for a point; of a thread nothing but its masses."""
_CONE = ActField.of_column(
    Measurement, "method", label="which cone", kind="word", words=tuple(cone.name for cone in FALL_CONES),
    note="its mass and angle", option="cone",
)  # fmt: skip


def point_fields(what: str) -> tuple[ActField, ...]:
    """The fields of one kind of point."""
    read = (_READ[what],) if what in _READ else ()
    cone = (_CONE,) if what == "liquid_cone" else ()
    weighed = (_WET, _DRY, _TIN_ASK) if POINTS[what].weighed else ()
    return (
        ActField.of_column(Measurement, "batch", required=True),
        replace(_WHAT, text=what),
        *read,
        *cone,
        *weighed,
        ActField.of_column(Measurement, "at", text="now", required=True),
        ActField.of_column(Measurement, "by", note="whose hand"),
        ActField.of_column(Measurement, "note"),
    )


def _point_care(lab: Lab, values: Values) -> Mapping[str, MaterialCare]:
    """The materials of the batch, which is kneaded and rolled by hand."""
    return ask.material_care.batch_care(lab, str(values.get("batch") or ""))


def point_act(what: str) -> Act:
    """The act of adding a point of one kind."""

    def do(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
        work.pieces.add_reading(lab, point_row(values))
        return str(values["batch"])

    return Act(
        name="point",
        title=f"{POINTS[what].heading} of {{batch}}",
        given=("batch", "what"),
        fields=point_fields(what),
        questions=_questions,
        do=do,
        care="plasticity_point",
        concerns=_point_care,
        concerned_by=("batch",),
        note=POINTS[what].guide,
    )


def correct_point_act(row: Measurement) -> Act:
    """The act of filling in a dry mass that came later, or correcting a point."""
    key = tuple(getattr(row, name) for name in TABLE_OF[Measurement].key)
    kind = POINTS[row.what]

    def changes(values: Values) -> Values:
        new = point_row({**values, "batch": row.batch, "what": row.what})
        named = ("at", "value", "count", "method", "wet_g", "dry_g", "by", "note")
        return {name: getattr(new, name) for name in named if getattr(new, name) != getattr(row, name)}

    def questions(lab: Lab, values: Values, now: datetime) -> Iterable[Question]:
        touched = changes(values).keys() & {"wet_g", "dry_g", "method"}
        return _questions(lab, {**values, "batch": row.batch, "what": row.what}, now) if touched else ()

    def do(lab: Lab, values: Values, answered: Sequence[Question]) -> str:
        if changed := changes(values):
            work.any_row.correct_row(lab, Measurement, key, changed, seen=row, answered=answered)
        return row.what

    tin, note = _tin_of(row.note)
    fields = [field for field in point_fields(row.what) if field.name not in ("batch", "what")]
    return Act(
        name="amend",
        title=f"{kind.heading} of {row.batch}",
        fields=tuple(_held(field, row, tin, note) for field in fields),
        questions=questions,
        do=do,
        note=kind.guide,
        first="dry_g" if kind.weighed and row.dry_g is None else "",
    )


def _held(field: ActField, row: Measurement, tin: float, note: str) -> ActField:
    """A field as the row holds it, its masses with the tin that was taken off."""
    if field.name == "tin":
        return replace(field, text=text_as_typed(tin, "g") if tin else "")
    if field.name == "note":
        return replace(field, text=note)
    value: Any = getattr(row, field.name)
    if field.name == "method":
        cone = parse_cone(value)
        # whatever else it says stays as it is, so that the row can be corrected in something else
        return (
            replace(field, text=cone.name)
            if cone
            else replace(field, kind="text", words=(), text=value or "")
            if value
            else field
        )
    if field.name in ("wet_g", "dry_g") and value is not None:
        value = round(value + tin, 6)
    return replace(field, text=text_as_typed(value, field.unit), stands=value if field.name == "at" else None)


def point_row(values: Values) -> Measurement:
    """The row of a point as typed: the tin taken off both masses and named in the note."""
    values = dict(values)
    tin = values.pop("tin", None) or 0.0
    for name in ("wet_g", "dry_g"):
        if values.get(name) is not None and tin:
            if values[name] <= tin:
                raise BadInput(
                    f"That is not more than the tin's {show(tin, 'g')}.", "Enter sample and tin together.", field=name
                )
            values[name] = round(values[name] - tin, 6)
    wet, dry = values.get("wet_g"), values.get("dry_g")
    if wet is not None and dry is not None and dry > wet:
        raise BadInput(
            f"Dry it cannot weigh more than wet ({show(wet, 'g')}).", "Perhaps the two were swapped.", field="dry_g"
        )
    note = values.get("note")
    if tin:
        values["note"] = f"tin {tin:g} g taken off" + (f"; {note}" if note else "")
    return Measurement(**values)


def _tin_of(note: str | None) -> tuple[float, str]:
    """The tin a note names, and what else it says."""
    match = _TIN.search(note or "")
    if match is None:
        return 0.0, note or ""
    return float(match.group(1)), ((note or "")[: match.start()] + (note or "")[match.end() :]).strip()


def _questions(_lab: Lab, values: Values, _now: datetime) -> Iterable[Question]:
    row = point_row(values)
    yield from insight.contradictions.point_questions(row.wet_g, row.dry_g)
    yield from insight.contradictions.cone_questions(row.what, row.method)


def _all_fields() -> tuple[ActField, ...]:
    fields: dict[str, ActField] = {}
    for what in POINTS:
        for field in point_fields(what):
            fields.setdefault(field.name, replace(field, required=field.name in ("batch", "what")))
    fields["what"] = replace(fields["what"], text="")
    fields["value"] = replace(fields["value"], label="read", note="how deep the cone sank in; or the bend, 1 to 5")
    return tuple(fields.values())


POINT = replace(point_act("liquid_cup"), fields=_all_fields(), chosen_by=lambda given, _: point_act(given["what"]))
