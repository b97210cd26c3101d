"""Charts of bodies: differences, shrinkage and absorption against heat, one property side by side."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean

from claybench.ask.comparison import SideBySide
from claybench.errors import BadInput
from claybench.figure.chart import Band, Chart, Series
from claybench.insight.bodies.comparison.body_means import BodyResult
from claybench.insight.bodies.comparison.differences import BodyDifference
from claybench.insight.bodies.comparison.results import notes_on_intervals
from claybench.insight.bodies.comparison.vitrification import Point, Vitrification, Vitrified, words
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.sample_statistics import SampleSummary
from claybench.quantity.shown import capitalize_first, show


def difference_chart(compared: SideBySide, name: str = BUILT_IN.leading) -> Chart:
    """One property of several bodies less that of one of them, both intervals, a series for each firing and way."""
    declared = compared.held.properties.get_compared(name)
    pairs = [(each, one) for each in compared.results for one in compared.differences_of(each) if one.name == name]
    fired = [pair for pair in pairs if declared.is_shown_with(pair[0].firing)] or pairs
    if not fired:
        raise BadInput(
            f"No {declared.title} stands beside that of {compared.against or 'another body'} in the same firing.",
            "Fire pieces of both together, or choose another property.",
        )
    bodies = list(dict.fromkeys(result.body for result, _ in fired))
    groups: dict[str, list[tuple[BodyResult, BodyDifference]]] = {}
    for result, one in sorted(fired, key=lambda pair: (pair[0].order, pair[1].kind or "")):
        groups.setdefault(_group_label(result, one, compared, name), []).append((result, one))
    width = 0.6 / len(groups)
    series: list[Series] = []
    for number, (label, own) in enumerate(groups.items()):
        shift = (number - (len(groups) - 1) / 2) * width
        x = tuple(bodies.index(result.body) + shift for result, _ in own)
        y = tuple(one.mean for _, one in own)
        lab_low, lab_high = tuple(one.lab_low for _, one in own), tuple(one.lab_high for _, one in own)
        series.append(Series(label, x, y, lab_low, lab_high, kind="bars"))
        low = tuple(None if one.basis == "lab" else one.low for _, one in own)
        high = tuple(None if one.basis == "lab" else one.high for _, one in own)
        series.append(Series(label, x, y, low, high))
    return Chart(
        title=f"{capitalize_first(declared.title)}: how far from {compared.against}",
        x_label="body",
        y_label=", ".join(filter(None, (f"{declared.title} less that of {compared.against}", declared.sign))),
        series=tuple(series),
        ticks=tuple((float(at), body) for at, body in enumerate(bodies)),
        levels=((0.0, f"as {compared.against}"),),
        notes=(
            "95 % for all together (Šidák). Thin: by their own batches (Welch). Thick: by the scatter of the lab's.",
        ),
    )


def _group_label(result: BodyResult, one: BodyDifference, compared: SideBySide, name: str) -> str:
    label = result.title
    return label if one.kind == compared.held.usual[name] else f"{label}, {one.way(short=True)}"


def vitrification_chart(vitrified: Vitrification) -> Chart:
    """Absorption and total shrinkage of bodies against heat, with the limit, and where they bloat."""
    if not any(each.points for each in vitrified.bodies):
        raise BadInput(
            "None of these bodies has an absorption in a firing whose temperature or cone is known.",
            "Soak fired pieces, and give their firings a peak temperature or a cone.",
        )
    series: list[Series] = []
    for each in vitrified.bodies:
        absorbed = [(point, point.absorption) for point in each.points if point.absorption is not None]
        shrunk = [(point, point.shrinkage) for point in each.points if point.shrinkage is not None]
        tight = [(level.x, level.absorption) for level in each.levels if level.absorption is not None]
        series += _course_series(f"{each.body} absorption", each.body, absorbed, tight, dashed=False)
        series += _course_series(f"{each.body} total shrinkage", each.body, shrunk, _alike_points(shrunk), dashed=True)
    marks = [(each.bloats.x, f"{each.body} bloats") for each in vitrified.bodies if each.bloats is not None]
    return Chart(
        title="Absorption and shrinkage against heat",
        x_label="cone" if vitrified.cones else "peak temperature, °C",
        y_label="absorption and total shrinkage, %",
        series=tuple(series),
        bands=(Band("", 0.0, vitrified.limit_pct),),
        levels=((vitrified.limit_pct, f"tight below {show(vitrified.limit_pct, '%')}"),),
        ticks=tuple((place, name.removeprefix("cone ")) for place, name in vitrified.cones),
        marks=tuple(marks),
        y_from_zero=True,
        notes=tuple(_said(each, bool(vitrified.cones)) for each in vitrified.bodies[:4] if len(each.levels) > 1),
    )


def _said(each: Vitrified, cones: bool) -> str:
    return f"{each.body}: {words(each, cones)}."


def _alike_points(own: Sequence[tuple[Point, SampleSummary]]) -> list[tuple[float, float]]:
    """One place for all firings to the same heat."""
    by_level: dict[str, list[tuple[Point, SampleSummary]]] = {}
    for point, one in own:
        by_level.setdefault(point.level, []).append((point, one))
    return sorted(
        (fmean(point.x for point, _ in alike), fmean((one.mean for _, one in alike), (one.batches for _, one in alike)))
        for alike in by_level.values()
    )


def _course_series(
    label: str,
    body: str,
    own: Sequence[tuple[Point, SampleSummary]],
    path: Sequence[tuple[float, float]],
    *,
    dashed: bool,
) -> list[Series]:
    if not own:
        return []
    return [
        Series(
            label,
            tuple(point.x for point, _ in own),
            tuple(one.mean for _, one in own),
            tuple(one.low for _, one in own),
            tuple(one.high for _, one in own),
            kind="course",
            path=tuple(path),
            dashed=dashed,
            group=body,
        )
    ]


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
    for result in sorted(having, key=lambda one: one.order):
        groups.setdefault(_group_words(result, name), []).append(result)
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
    notes = notes_on_intervals((result.measured[name] for result in having), marked=False)
    return Chart(
        title=capitalize_first(declared.title),
        x_label="body",
        y_label=declared.label,
        series=tuple(series),
        ticks=tuple((float(index), body) for index, body in enumerate(bodies)),
        notes=(
            "Mean with 95 % interval; faint: single pieces.",
            *(f"{capitalize_first(note)}." for note in notes),
        ),
    )


def _group_words(result: BodyResult, name: str) -> str:
    """Firing, and the way it was taken where that is not the lab's usual one."""
    label, measured = result.title, result.measured[name]
    return label if measured.kind == result.held.usual[name] else f"{label}, {measured.way(short=True)}"
