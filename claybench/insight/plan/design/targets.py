"""What a set of bodies can be asked to meet, and what each target is called."""

from __future__ import annotations

from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.declaration import PropertySet
from claybench.quantity.shown import show


def target_label(name: str, properties: PropertySet = BUILT_IN) -> str:
    """What a target is called, with its unit.

    >>> target_label("total_shrinkage_pct"), target_label("cost_per_kg")
    ('total shrinkage, %', 'cost per kg')
    """
    return properties[name].label if name in properties else name


def target_title(name: str, properties: PropertySet = BUILT_IN) -> str:
    """What a target is called in a sentence.

    >>> target_title("total_shrinkage_pct"), target_title("cost_per_kg")
    ('total shrinkage', 'cost per kg')
    """
    return properties[name].title if name in properties else name


def target_heading(name: str, properties: PropertySet = BUILT_IN) -> str:
    """What a target is called in a narrow column.

    >>> target_heading("total_shrinkage_pct"), target_heading("cost_per_kg")
    ('total', 'cost')
    """
    return properties[name].heading if name in properties else name


def target_value(name: str, value: float, properties: PropertySet = BUILT_IN) -> str:
    """A target with a value, as sentences say it.

    >>> target_value("total_shrinkage_pct", 10.62), target_value("cost_per_kg", 0.604)
    ('total shrinkage 10.6 %', 'cost per kg 0.604')
    """
    sign = properties[name].sign if name in properties else ""
    return f"{target_title(name, properties)} {show(value, sign, figures=3)}"


def target_digits(name: str, properties: PropertySet = BUILT_IN) -> int:
    """Digits after the point with which a target is shown.

    >>> target_digits("total_shrinkage_pct"), target_digits("cost_per_kg")
    (1, 2)
    """
    return properties[name].digits if name in properties else 2


def target_size(name: str, value: float, properties: PropertySet = BUILT_IN) -> str:
    """A spread or an error in a target's unit, to two figures.

    >>> target_size("total_shrinkage_pct", 0.1934), target_size("cost_per_kg", 0.0312)
    ('0.19 %', '0.031')
    """
    return show(value, properties[name].sign if name in properties else "", figures=2)
