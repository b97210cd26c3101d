"""What a set of bodies can be asked to meet, and what each target is called."""

from __future__ import annotations

from claybench.insight.bodies.comparison.results import PROPERTIES
from claybench.measure.piece import MEASURES
from claybench.quantity.shown import show, unit_sign

TARGETS = (*PROPERTIES, "relative_time", "cost_per_kg")


def target_label(name: str) -> str:
    """What a target is called, with its unit.

    >>> target_label("total_shrinkage_pct"), target_label("cost_per_kg")
    ('total shrinkage, %', 'cost per kg')
    """
    words, unit = _named(name)
    return f"{words}, {unit}" if unit else words


def target_value(name: str, value: float) -> str:
    """A target with a value, as sentences say it.

    >>> target_value("total_shrinkage_pct", 10.62), target_value("cost_per_kg", 0.604)
    ('total shrinkage 10.6 %', 'cost per kg 0.604')
    """
    words, unit = _named(name)
    return f"{words} {show(value, unit, figures=3)}"


def target_size(name: str, value: float) -> str:
    """A spread or an error in a target's unit, to two figures.

    >>> target_size("total_shrinkage_pct", 0.1934), target_size("cost_per_kg", 0.0312)
    ('0.19 %', '0.031')
    """
    return show(value, _named(name)[1], figures=2)


def _named(name: str) -> tuple[str, str]:
    if name == "relative_time":
        return "drying time × control's", ""
    if name == "cost_per_kg":
        return "cost per kg", ""
    measure = MEASURES.get(name)
    return (measure.label, unit_sign(measure.unit)) if measure else (name, "")
