"""A property that a lab has declared, from its rows in the record."""

from __future__ import annotations

from collections.abc import Iterable

from claybench.measure.properties.declaration import Input, Property
from claybench.terms import DeclaredProperty, PropertyInput, PropertyWords


def measured_property(
    row: DeclaredProperty, inputs: Iterable[PropertyInput], words: Iterable[PropertyWords]
) -> Property:
    """One property of a lab as the built-in ones are declared; what is left empty has the usual default."""
    return Property(
        name=row.property,
        title=row.title or row.property.replace("_", " "),
        of=row.of,
        kind=row.kind,
        unit=row.unit or "1",
        formula=row.formula or "",
        inputs=tuple(
            Input(name=each.input, unit=each.unit or "1", low=each.low, high=each.high, label=each.label or "")
            for each in sorted(inputs, key=lambda each: each.position)
        ),
        digits=1 if row.digits is None else row.digits,
        low=row.low,
        high=row.high,
        usual_low=row.usual_low,
        usual_high=row.usual_high,
        better=row.better or "none",
        standard=row.standard or "",
        source=row.source or "",
        note=row.note or "",
        words={float(each.score): each.words for each in words},
        own=True,
    )
