"""Figures of water: a slab drying out."""

from __future__ import annotations

from claybench.ask.slabs import SlabPage
from claybench.errors import BadInput
from claybench.figure.chart import Chart, Series


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
        title=f"Slab {slab}: drying out since {drying.since:%a} {drying.since.day} {drying.since:%b %H:%M}",
        x_label="days since it last got wet",
        y_label="mass of the bare slab, g",
        series=tuple(series),
        marks=tuple(marks),
        notes=("Constant, then falling rate, fitted to the slab's own weighings.",),
    )
