"""Figures of slabs: wetness and slowness through a life, drying out, and forecasts held against what came."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from claybench.ask.backtest import Backtest
from claybench.ask.slabs import SlabPage
from claybench.errors import BadInput
from claybench.figure.chart import Band, Chart, Series
from claybench.insight.date_words import date_and_hour
from claybench.insight.slab_condition.slowness import SLOW_CHANCE
from claybench.measure.control_charts import ewma, ewma_limit
from claybench.quantity.shown import capitalize_first, plain

_LIFE_EVENTS = frozenset(
    {"chipped", "broken", "resurfaced", "other_clay", "cleaned", "salts", "stained", "wetted", "soaked"}
)
_DAY = 86_400.0
_NEWEST_WEIGHS = 0.3
"""Weight of the newest layer in the mean of the scores; 0.2 to 0.3 is usual (NIST/SEMATECH e-Handbook 6.3.2.4)."""


def slab_chart(page: SlabPage) -> Chart:
    """How wet a slab was through its life, with what happened to it."""
    wetness = page.verdict.wetness
    if not wetness.points:
        raise BadInput(
            f"Slab {page.verdict.slab.slab} was never weighed.",
            "Weigh it, and again when it stops losing weight.",
        )
    days = tuple(_days(point.at) for point in wetness.points)
    share = tuple(min(100 * point.water_g / wetness.capacity_g, 130) for point in wetness.points)
    weighed = [
        (_days(point.at), min(100 * point.measured_g / wetness.capacity_g, 130))
        for point in wetness.points
        if point.measured_g is not None
    ]
    series = [Series("by the water balance", days, share, kind="line")]
    if weighed:
        series.append(Series("weighed", tuple(day for day, _ in weighed), tuple(value for _, value in weighed)))
    return Chart(
        title=f"Slab {page.verdict.slab.slab}: how wet",
        x_label="date",
        y_label="wetness, % of what it can hold",
        series=tuple(series),
        bands=(Band("damp", 35, 70), Band("saturated", 70, 100)),
        marks=_event_marks(page),
        dates=True,
        y_from_zero=True,
    )


def slowness_chart(page: SlabPage) -> Chart:
    """How long each layer took over its forecast, wetness allowed for, and the chance that it has become slower."""
    layers = page.slowness_scores
    if not layers:
        raise BadInput(
            f"No layer on slab {page.verdict.slab.slab} was touched until it was workable yet.",
            "Touch layers while they dry.",
        )
    days = tuple(_days(each.at) for each in layers)
    scores = [each.score for each in layers]
    chances = tuple(each.slow_chance for each in layers)
    return Chart(
        title=f"Slab {page.verdict.slab.slab}: how slow, wetness allowed for",
        x_label="date",
        y_label="time over forecast",
        series=(
            Series("time of a layer over its forecast", days, tuple(each.ratio for each in layers)),
            Series(f"chance that it is slow; so called from {plain(SLOW_CHANCE, 2)}", days, chances, kind="line"),
        ),
        marks=_event_marks(page),
        levels=((1.0, "as forecast"),),
        dates=True,
        y_from_zero=True,
        notes=(_lately_text(scores),),
    )


def _lately_text(scores: list[float]) -> str:
    """What the weighted mean of the scores says, the newest counting most."""
    mean, reach = ewma(scores, 0.0, _NEWEST_WEIGHS)[-1], ewma_limit(1.0, _NEWEST_WEIGHS)
    said = "slower than chance explains" if mean > reach else "quicker" if mean < -reach else "within chance"
    return (
        f"Weighted mean of the scores (EWMA, weight {plain(_NEWEST_WEIGHS)}): "
        f"{plain(mean, 2, signed=True)} standard deviations, "
        f"by chance within ±{plain(reach, 2)}: {said}."
    )


def slab_life_chart(page: SlabPage) -> Chart:
    """Wetness and, below it, slowness through a slab's life, with its events across both."""
    above = slab_chart(page)
    if not page.slowness_scores:
        return above
    return replace(above, title=f"Slab {page.verdict.slab.slab}: how wet, and how slow", below=slowness_chart(page))


def backtest_chart(backtest: Backtest) -> Chart:
    """Forecasts at the pour, with their 90 % intervals, over the times that came; on the line both agree."""
    if not backtest.runs:
        raise BadInput(backtest.words, "Touch layers while they dry: once before they are workable, and when they are.")
    longest = max(max(each.best_min, each.forecast.median_min) for each in backtest.runs) * 1.05
    top = 1.6 * longest
    series = [Series("as forecast", (0.0, longest), (0.0, longest), kind="line")]
    for label, held in (("within 90 %", True), ("outside", False)):
        own = [each for each in backtest.runs if each.covered is held]
        if own:
            series.append(
                Series(
                    label,
                    tuple(each.best_min for each in own),
                    tuple(each.forecast.median_min for each in own),
                    tuple(each.forecast.low_min for each in own),
                    tuple(min(each.forecast.high_min, top) for each in own),
                )
            )
    return Chart(
        title=f"Forecast and what came: {backtest.subject}",
        x_label="came, minutes after the pour",
        y_label="forecast at the pour, minutes",
        series=tuple(series),
        y_from_zero=True,
        notes=(f"{capitalize_first(backtest.words)}. Each by what the lab knew when it was poured.",),
    )


def _event_marks(page: SlabPage) -> tuple[tuple[float, str], ...]:
    return tuple(
        (_days(event.at), event.event.replace("_", " ")) for event in page.events if event.event in _LIFE_EVENTS
    )


def _days(at: datetime) -> float:
    return at.timestamp() / _DAY


def dry_out_chart(page: SlabPage) -> Chart:
    """What one slab weighs since it last got wet: by the curve through its own weighings, and as weighed."""
    slab, drying = page.verdict.slab.slab, page.dry_out
    if drying is None:
        raise BadInput(
            f"Slab {slab} has nothing to draw: a layer lies on it, or it was never weighed.",
            "Weigh it bare, and again next day.",
        )
    curve = drying.curve
    series = [
        Series(
            "expected",
            tuple(hours / 24 for hours, _ in curve.course),
            tuple(mass for _, mass in curve.course),
            kind="line",
        ),
        Series(
            "dry, 90 % interval",
            (curve.course[-1][0] / 24,),
            (curve.dry_g,),
            (curve.dry_low_g,),
            (curve.dry_high_g,),
        ),
    ]
    if curve.weighings:
        weighed = curve.weighings
        series.insert(
            1, Series("weighed", tuple(each.hours / 24 for each in weighed), tuple(each.mass_g for each in weighed))
        )
    marks = [(curve.now_h / 24, "now")]
    ready = page.verdict.again.ready_at
    if ready is not None and ready > page.at:
        marks.append(((ready - drying.since).total_seconds() / 86400, "ready again"))
    if drying.dry_at is not None:
        marks.append(((drying.dry_at - drying.since).total_seconds() / 86400, "dry"))
    return Chart(
        title=f"Slab {slab}: drying out since {date_and_hour(drying.since)}",
        x_label="days since it last got wet",
        y_label="mass of the bare slab, g",
        series=tuple(series),
        marks=tuple(marks),
        notes=("Constant, then falling rate, fitted to the slab's own weighings.",),
    )
