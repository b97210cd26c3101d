"""Time to workable of bodies over their family's control, slab and wetness taken out."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence

from claybench.insight.bodies.comparison.results import RelativeTime
from claybench.insight.drying.lab_model import LabModel
from claybench.terms import Body

_T95 = 1.959963984540054


def relative_times(model: LabModel, wanted: Iterable[Body], bodies: Iterable[Body]) -> dict[str, RelativeTime]:
    """Every wanted body's time over its family's control, or over the family's median body."""
    by_family: dict[str, list[Body]] = defaultdict(list)
    for body in bodies:
        by_family[body.family or ""].append(body)
    out = {}
    for body in wanted:
        family = body.family or ""
        runs = model.forecasts.fit.groups.runs_of_body.get(body.body, 0)
        against = _yardstick(model, by_family[family], family)
        if runs == 0 or against is None:
            continue
        if against == body.body:
            out[body.body] = RelativeTime(1.0, 1.0, 1.0, runs)
            continue
        mean, variance = model.forecasts.log_relative_time(body.body, against, family)
        half = _T95 * math.sqrt(variance)
        out[body.body] = RelativeTime(math.exp(mean), math.exp(mean - half), math.exp(mean + half), runs)
    return out


def _yardstick(model: LabModel, family: Sequence[Body], name: str) -> str | None:
    controls = [body.body for body in family if body.control and model.forecasts.fit.groups.runs_of_body.get(body.body)]
    if controls:
        return controls[0]
    dried = [body.body for body in family if model.forecasts.fit.groups.runs_of_body.get(body.body)]
    if not dried:
        return None
    by_pace = sorted(dried, key=lambda body: (model.forecasts.fit.resistances(body, name, None).body, body))
    return by_pace[len(by_pace) // 2]
