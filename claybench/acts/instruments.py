"""The act of entering an instrument: a ruler, a caliper, a scale, with the smallest step it shows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from claybench import ask, work
from claybench.acts.act import Act, FieldOffer, Offers, Values
from claybench.acts.field import ActField
from claybench.errors import BadInput, Question
from claybench.quantity.units import canonical_unit
from claybench.terms import Instrument

if TYPE_CHECKING:
    from claybench.record.lab import Lab

_UNITS = {"scale": "g", "ruler": "mm", "caliper": "mm", "cone": "mm"}
"""Units that are meant where nobody names one."""


def instrument_offers(lab: Lab, what: str | None) -> Offers:
    """Instruments that a reading may be taken with, the one last used for its kind first."""
    known = ask.pieces.instruments_by_use(lab, what or "")
    return {"instrument": FieldOffer(suggestions=tuple(known))}


def _add_instrument(lab: Lab, values: Values, _answered: Sequence[Question]) -> str:
    unit = values.get("unit") or _UNITS.get(values.get("kind") or "")
    if values.get("step") is not None and unit is None:
        raise BadInput("A step of what unit?", "Name it: mm, g, in.", field="unit")
    if unit is not None:
        try:
            canonical_unit(unit)
        except BadInput as error:
            raise BadInput(error.reason, error.remedy, field="unit") from error
    work.pieces.add_instrument(lab, Instrument(**{**values, "unit": unit}))
    return str(values["instrument"])


INSTRUMENT = Act(
    name="instrument",
    title="A new instrument",
    given=("instrument", "kind"),
    fields=(
        ActField.of_column(Instrument, "instrument", note="such as ruler 2"),
        ActField.of_column(Instrument, "kind"),
        ActField.of_column(Instrument, "step", note="0.5 for a ruler in half millimetres"),
        ActField.of_column(Instrument, "unit", note="mm or g where empty"),
        ActField.of_column(Instrument, "since", note="readings before that day were taken with another"),
        ActField.of_column(Instrument, "until"),
        ActField.of_column(Instrument, "note"),
    ),
    do=_add_instrument,
)
