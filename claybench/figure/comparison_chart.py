"""Bodies compared, one property at a time."""

from __future__ import annotations

from collections.abc import Sequence

from claybench.errors import BadInput
from claybench.figure.chart import Chart, Series
from claybench.insight.bodies.comparison.body_means import BodyResult
from claybench.insight.bodies.comparison.results import single_batch_notes
from claybench.measure.properties.built_in import BUILT_IN


def compare_chart(results: Sequence[BodyResult], name: str = BUILT_IN.leading) -> Chart:
    """One property of several bodies: a mean with its 95 % interval for each firing, single pieces behind."""
    declared = (results[0].held.properties if results else BUILT_IN).get_compared(name)
    having = [result for result in results if name in result.properties and declared.is_shown_with(result.firing)]
    if not having:
        having = [result for result in results if name in result.properties]
    if not having:
        raise BadInput(
            f"None of these bodies has a {declared.title} yet.",
            "Measure their pieces, or choose another.",
        )
    bodies = list(dict.fromkeys(result.body for result in having))
    groups: dict[str, list[BodyResult]] = {}
    for result in sorted(having, key=lambda one: one.firing or ""):
        groups.setdefault(_group(result, name), []).append(result)
    width = 0.6 / max(len(groups), 1)
    series: list[Series] = []
    for number, (label, own) in enumerate(groups.items()):
        at = [bodies.index(result.body) + (number - (len(groups) - 1) / 2) * width for result in own]
        pieces = [
            (x, value)
            for x, result in zip(at, own, strict=True)
            for values in result.values[name].values()
            for value in values
        ]
        series.append(Series(label, tuple(x for x, _ in pieces), tuple(value for _, value in pieces), faint=True))
        measured = [result.properties[name] for result in own]
        series.append(
            Series(
                label,
                tuple(at),
                tuple(summary.mean for summary in measured),
                tuple(summary.low for summary in measured),
                tuple(summary.high for summary in measured),
            )
        )
    notes = single_batch_notes((result.measured[name] for result in having), marked=False)
    return Chart(
        title=declared.title[:1].upper() + declared.title[1:],
        x_label="body",
        y_label=declared.label,
        series=tuple(series),
        ticks=tuple((float(index), body) for index, body in enumerate(bodies)),
        notes=(
            "Mean with 95 % interval; faint: single pieces.",
            *(f"{note[:1].upper()}{note[1:]}." for note in notes),
        ),
    )


def _group(result: BodyResult, name: str) -> str:
    """Firing, and the way it was taken where that is not the lab's usual one."""
    label, measured = result.firing or "before firing", result.measured[name]
    return label if measured.kind == result.held.usual[name] else f"{label}, {measured.way(short=True)}"
