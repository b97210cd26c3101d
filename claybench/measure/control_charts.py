"""Control charts: the weighted mean of scores, with its limits.

A chart says that something has changed, sooner than any single score could; what changed is for `insight`. Written
out, since none of the libraries the program stands on has control charts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from claybench.facts.fact import published
from claybench.facts.formula import Example, Param, formula

_EWMA = published("NIST/SEMATECH e-Handbook of Statistical Methods", "section 6.3.2.4")
_WEIGHT = Param(
    "weight",
    "1",
    "weight of the newest value",
    above=0,
    most=1,
    remedy="It is more than 0 and 1 at most; 0.2 to 0.3 is usual.",
)


def ewma(values: Sequence[float], start: float, weight: float) -> list[float]:
    """The exponentially weighted moving average after each value.

    `weight` is that of the newest value, more than 0 and 1 at most; `start` is what holds before the first.
    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.

    >>> [round(mean, 2) for mean in ewma([52.0, 47.0], 50.0, 0.3)]
    [50.6, 49.52]
    """
    _WEIGHT.check("weight", weight)
    out: list[float] = []
    mean = start
    for value in values:
        mean = weight * value + (1 - weight) * mean
        out.append(mean)
    return out


@formula(
    "How far the weighted mean strays from its centre while nothing has changed",
    "reach = width · sd · √(weight / (2 − weight))",
    "1",
    sd=Param("sd", "1", "standard deviation of one value", least=0),
    weight=_WEIGHT,
    width=Param("width", "1", "standard deviations of the mean itself, 3 by custom"),
    sources=_EWMA,
    examples=Example(2.0539, 0.3, gives=2.5884, digits=4, source=_EWMA),
)
def ewma_limit(sd: float, weight: float, width: float = 3.0) -> float:
    return width * sd * math.sqrt(weight / (2 - weight))
