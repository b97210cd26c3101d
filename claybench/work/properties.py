"""Acts on the properties a lab declares for itself, and on readings of their own names."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from claybench.errors import BadInput
from claybench.measure.properties.readings import Reading
from claybench.record.lab import Lab
from claybench.terms import TABLE_OF, DeclaredProperty, Measurement, PropertyInput, PropertyWords


def declare_property(
    lab: Lab, declared: DeclaredProperty, inputs: Sequence[PropertyInput], words: Sequence[PropertyWords] = ()
) -> None:
    """A property with what it is worked out from, and the words of its scores."""
    with lab.acting(f"Declared property {declared.property}") as act:
        act.add(declared)
        act.add_many(list(inputs))
        act.add_many(list(words))


def measure_own(
    lab: Lab, piece: str, reading: Reading, value: float | None, *, at: datetime, firing: str | None, by: str | None
) -> None:
    """A reading that is no column; one that stands there with the same readings is corrected, None clears it."""
    if reading.after_firing and firing is None:
        raise BadInput(f"Which firing does the {reading.column.label} belong to?", "Choose one.", field="firing")
    of_firing = firing if reading.after_firing else None
    together = reading.together or None
    alike = {"piece": piece, "firing": of_firing, "what": reading.name, "together": together}
    with lab.acting(f"Measured {reading.column.label} of {piece}") as act:
        there = act.rows(Measurement, **alike)
        if value is None:
            for row in there:
                act.remove(Measurement, _key(row))
        elif there:
            act.change(Measurement, _key(there[-1]), {"value": value})
        else:
            act.add(
                Measurement(
                    piece=piece, firing=of_firing, what=reading.name, together=together, at=at, value=value, by=by
                )
            )


def _key(row: Measurement) -> tuple[object, ...]:
    return tuple(getattr(row, name) for name in TABLE_OF[Measurement].key)
