"""Figures that were entered rather than computed, and figures with a range around them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from claybench.facts.reason import Figure, Reason, figure


def given(value: float, unit: str, title: str = "As entered") -> Figure:
    """A number that was entered, or that follows from an entry without a formula."""
    return Figure(value, unit, Reason(title, "taken as it is", (), (), (), value, unit))


def ranged(shown: Figure, low: float, high: float) -> Figure:
    """The figure with what the inputs leave open, bounds in order; as it is where that is nothing."""
    if abs(high - low) <= 1e-9 * abs(shown.value):
        return shown
    return replace(shown, low=min(low, high, shown.value), high=max(low, high, shown.value))


def spread(shown: Figure, share: float) -> Figure:
    """The figure give or take a share of itself."""
    return ranged(shown, shown.value * (1 - share), shown.value * (1 + share))


def why(function: Callable[..., float], *args: float) -> Figure:
    """The figure of one formula; every input read as a plain number."""
    values: list[Any] = [float(each) for each in args]
    return figure(function, *values)
