"""The calendar of a plan: what to make on the first page, then one look a day with a strip and boxes to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Any

from claybench.insight.date_words import date_and_hour
from claybench.insight.plan.design.plan_request import target_title
from claybench.insight.plan.next_set.next_set import NextSet, PlannedBody
from claybench.insight.plan.next_set.set_progress import TO_MIX, TO_POUR
from claybench.insight.plan.schedule.calendar_words import DRY_ENOUGH, CalendarRow, rows_by_day
from claybench.insight.plan.surfaces.fitted_targets import chance_text
from claybench.measure.properties.property_set import PropertySet
from claybench.mix.cautions import cautions_for
from claybench.paper.page import BOLD, FONT, MM, content_width, paper_size, text_paragraph, use_fonts, write_pages
from claybench.paper.report_parts import (
    ReportColumn,
    keep_together,
    report_table,
    section_heading,
    table_of,
    title_block,
    vertical_gap,
)
from claybench.paper.text_fit import fit_one_line, text_width
from claybench.paper.wording import moment_text
from claybench.quantity.shown import format_bounds, natural_key, plain, show, with_sign

_ROW = 9.0
"""Height of a slab's row, mm."""
_LABEL = 20.0
"""Room for the slab's code, mm."""
_HEAD = 5.0


@dataclass(frozen=True, slots=True)
class Bar:
    """One layer on one slab."""

    slab: str
    layer: str
    start: datetime
    low: datetime
    median: datetime
    high: datetime
    """When it will first feel workable: touched from `low` to `high`, most likely at `median`."""


def day_strip(bars: Sequence[Bar], span: tuple[datetime, datetime], paper: str) -> Any:
    """The strip as a flowable over the whole width."""
    from reportlab.platypus import Flowable

    slabs = list(dict.fromkeys(bar.slab for bar in bars))
    width, height = content_width(paper) * MM, (_HEAD + _ROW * len(slabs) + 5) * MM

    class Strip(Flowable):  # type: ignore[misc]
        """Hours across, slabs down."""

        def wrap(self, _width: float, _height: float) -> tuple[float, float]:
            """Its size."""
            return width, height

        def draw(self) -> None:
            """Draw it."""
            _draw_strip(self.canv, bars, slabs, span, width, height)

    return Strip()


def _draw_strip(
    canvas: Any, bars: Sequence[Bar], slabs: Sequence[str], span: tuple[datetime, datetime], width: float, height: float
) -> None:
    begin, end = (each.timestamp() for each in span)
    left, foot, top = _LABEL * MM, 5 * MM, height - _HEAD * MM

    def across(at: datetime) -> float:
        share = (at.timestamp() - begin) / max(end - begin, 1.0)
        return left + min(max(share, 0.0), 1.0) * (width - left)

    _draw_hours(canvas, span, across, foot, top)
    for place, slab in enumerate(slabs):
        floor = top - (place + 1) * _ROW * MM
        canvas.setFillGray(0)
        canvas.setFont(BOLD, 9)
        canvas.drawString(0, floor + 2.6 * MM, fit_one_line(slab, text_width(BOLD, 9), left - 2 * MM))
        canvas.setStrokeGray(0.75)
        canvas.setLineWidth(0.4)
        canvas.line(0, floor, width, floor)
        for bar in bars:
            if bar.slab == slab:
                _draw_bar(canvas, bar, across, floor)
    canvas.setFillGray(0.35)
    canvas.setFont(FONT, 7)
    canvas.drawString(left, 0.5 * MM, "light: leave it alone   dark: touch it   mark: most likely workable")


def _draw_hours(canvas: Any, span: tuple[datetime, datetime], across: Any, foot: float, top: float) -> None:
    from datetime import timedelta

    count = max(round((span[1].timestamp() - span[0].timestamp()) / 3600), 1)
    every = 1 if count <= 14 else 2
    canvas.setLineWidth(0.3)
    for hour in range(0, count + 1, every):
        at = span[0] + timedelta(hours=hour)
        canvas.setStrokeGray(0.85)
        canvas.line(across(at), foot, across(at), top)
        canvas.setFillGray(0.35)
        canvas.setFont(FONT, 7)
        words = f"{at:%H}"
        draw = canvas.drawRightString if hour + every > count and hour else canvas.drawString
        draw(across(at), top + 1.2 * MM, words)


def _draw_bar(canvas: Any, bar: Bar, across: Any, floor: float) -> None:
    begin, low, high = across(bar.start), across(bar.low), across(bar.high)
    bottom, tall = floor + 1 * MM, 3.2 * MM
    canvas.setStrokeGray(0)
    canvas.setLineWidth(0.5)
    canvas.setFillGray(0.88)
    canvas.rect(begin, bottom, max(low - begin, 0.1), tall, stroke=1, fill=1)
    canvas.setFillGray(0.45)
    canvas.rect(low, bottom, max(high - low, 0.1), tall, stroke=1, fill=1)
    canvas.setLineWidth(1.4)
    canvas.line(across(bar.median), bottom - 0.6 * MM, across(bar.median), bottom + tall + 0.6 * MM)
    canvas.setFillGray(0)
    canvas.setFont(FONT, 7.5)
    canvas.drawString(begin, bottom + tall + 1 * MM, bar.layer)


_TICKED = ("weigh_out", "mix", "pour", "touch", "lift", "turn")
"""What is done by hand; the rest is only to be known."""


def write_plan_calendar(next_set: NextSet, path: str | Path, *, paper: str | None = None) -> None:
    """Write the calendar of a plan as a PDF, on the lab's paper where none is named."""
    paper = paper or next_set.paper
    paper_size(paper)
    use_fonts()
    name = next_set.request.title or f"Next set of {next_set.family or 'the lab'}"
    story: list[Any] = [
        *title_block(name, _aim_lines(next_set), None, paper),
        *_bodies_section(next_set, paper),
        *_beside_section(next_set, paper),
        *_notes_section(next_set),
        *_days_section(next_set, paper),
        *_care_section(next_set),
    ]
    write_pages(Path(path), f"Plan: {name}", f"{next_set.lab}  ·  {name}", paper, story)


def _aim_lines(next_set: NextSet) -> list[str]:
    asked = next_set.request
    targets = [_target_text(name, ends, next_set.properties) for name, ends in asked.targets.items()]
    fired = f"cone {asked.cone}" if asked.cone else show(asked.peak_temp_c, "°C") if asked.peak_temp_c else ""
    aim = "; ".join(targets) or "no targets"
    return [
        f"{next_set.family or 'no'} family, {len(next_set.bodies)} bodies, one "
        f"batch of {show(next_set.batch_g, 'g', digits=0)} dry each",
        f"wanted: {aim}{f' at {fired}' if fired and targets else ''}",
        f"as of {moment_text(next_set.as_of, next_set.as_of.tzinfo)}",
    ]


def _target_text(name: str, ends: tuple[float, float], properties: PropertySet) -> str:
    sign = properties[name].sign if name in properties else ""
    return f"{target_title(name, properties)} {with_sign(format_bounds(ends, low=0), sign)}"


def _bodies_section(next_set: NextSet, paper: str) -> list[Any]:
    """Weights rather than parts: this goes to the scale."""
    made = table_of(
        list(enumerate(next_set.bodies, 1)),
        paper,
        ("", 4, "", lambda _: "☐"),
        ("new body", 12, "", lambda each: str(each[0])),
        ("weigh out, g dry", 40, "", lambda each: (_weights_text(each[1], next_set.batch_g), _parts(each[1]))),
        ("code", 13, "", lambda _: ""),
        ("chance", 11, "r", lambda each: chance_text(each[1].chance)),
        ("slab and hour", 22, "", lambda each: _where(each[1])),
        size=8.5,
    )
    return [*section_heading("What to make"), made]


def _weights_text(body: PlannedBody, batch_g: float) -> str:
    every = {**body.parts, **body.fixed}
    whole = sum(every.values()) or 1.0
    digits = 0 if batch_g >= 500 else 1
    return ", ".join(f"{name}\u00a0{plain(batch_g * part / whole, digits)}" for name, part in every.items() if part)


def _parts(body: PlannedBody) -> str:
    added = "".join(f" + {plain(part)} {name}" for name, part in body.fixed.items())
    return "parts " + " / ".join(plain(part) for part in body.parts.values()) + added


def _where(body: PlannedBody) -> str:
    if not body.layers:
        return "slab left open"
    return "; ".join(f"{each.slab}, {date_and_hour(each.start)}" for each in body.layers)


def _beside_section(next_set: NextSet, paper: str) -> list[Any]:
    """What waits of the set, and what is worth making again."""
    story: list[Any] = []
    if next_set.under_way:
        under_way = table_of(
            next_set.under_way,
            paper,
            ("", 4, "", lambda each: "☐" if each.state in (TO_MIX, TO_POUR) else "☑"),
            ("of this set", 20, "", lambda each: each.body),
            ("is", 22, "", lambda each: each.progress),
            ("batch", 22, "", lambda each: each.batch or ""),
            ("slab and hour", 32, "", lambda each: each.place_and_hour),
            size=8.5,
        )
        story += [*section_heading("Under way"), under_way]
    if next_set.repeats:
        again = table_of(
            next_set.repeats,
            paper,
            ("", 4, "", lambda _: "☐"),
            ("again", 16, "", lambda each: each.body),
            ("why", 58, "", lambda each: each.reason),
            ("slab and hour", 22, "", lambda each: each.place_and_hour or "open"),
            size=8.5,
        )
        story += [*section_heading("Worth making again"), again]
    return story


def _notes_section(next_set: NextSet) -> list[Any]:
    if not next_set.notes:
        return []
    return [*section_heading("To know", 16.0), *(text_paragraph(f"· {note}", 8) for note in next_set.notes)]


def _days_section(next_set: NextSet, paper: str) -> list[Any]:
    from reportlab.platypus import CondPageBreak

    days = rows_by_day(next_set.calendar)
    if not days:
        return []
    story: list[Any] = [vertical_gap(8)]
    for day, rows in days.items():
        head = [text_paragraph(day, 15, bold=True), text_paragraph(_summary(rows), 9, grey=True), vertical_gap(1.5)]
        bars = _layer_bars(next_set.calendar, rows)
        strip = [day_strip(bars, _hours_of_day(rows, next_set.as_of.tzinfo), paper), vertical_gap(1.5)] if bars else []
        columns = [
            ReportColumn("", 4),
            ReportColumn("from", 8),
            ReportColumn("until", 8),
            ReportColumn("what to do", 62),
            ReportColumn("done at, seen", 18),
        ]
        lines = _calendar_cells(rows)
        listed = report_table(columns, lines, paper, size=9)
        if len(lines) <= _WHOLE_DAY:
            story += [keep_together([*head, *strip, listed]), vertical_gap(6)]
        else:
            story += [CondPageBreak(300), *head, *strip, listed, vertical_gap(6)]
    return story


_WHOLE_DAY = 26
"""Rows of a day that one page can hold with its head."""


def _summary(rows: Sequence[CalendarRow]) -> str:
    names = {"weigh_out": "weigh out", "mix": "mix", "pour": "pour", "lift": "lift", "turn": "turn"}
    count = {name: sum(row.what == what for row in rows) for what, name in names.items()}
    said = [f"{count[what]} to {what}" for what in count if count[what]]
    return ", ".join(said) or "slabs dry by themselves"


def _calendar_cells(rows: Sequence[CalendarRow]) -> list[list[str]]:
    """A line for each thing to do: weighing and pouring are one, and a slab that stays dry enough asks for nothing."""
    weighed = {row.layer: row.text for row in rows if row.what == "weigh"}
    lines = []
    for row in rows:
        if row.what == "weigh" or row.text.endswith(DRY_ENOUGH):
            continue
        words = f"{weighed[row.layer]}, {row.text}" if row.what == "pour" and row.layer in weighed else row.text
        until = "" if row.until is None else f"{row.until:%H:%M}"
        if row.until is not None and row.until.date() != row.at.date():
            until = f"{row.until:%a %H:%M}"
        lines.append(["☐" if row.what in _TICKED else "", f"{row.at:%H:%M}", until, words, ""])
    return lines


def _hours_of_day(rows: Sequence[CalendarRow], zone: tzinfo | None) -> tuple[datetime, datetime]:
    """Whole hours that hold all that is done on the day."""
    on_slabs = [row for row in rows if row.slab]
    first, last = min(row.at for row in on_slabs), max(row.at for row in on_slabs)
    ends = [row.until for row in on_slabs if row.until is not None and row.until.date() == first.date()]
    end = max([last, *ends])
    begin = first.replace(minute=0, second=0, microsecond=0)
    hour = end.hour + (1 if end.minute or end.second else 0)
    close = (
        end.replace(minute=59, second=59) if hour > 23 else end.replace(hour=hour, minute=0, second=0, microsecond=0)
    )
    return begin, max(close, begin.replace(minute=59))


def _layer_bars(calendar: Sequence[CalendarRow], rows: Sequence[CalendarRow]) -> list[Bar]:
    """One bar a layer that is poured or lifted on the day."""
    bars = []
    for layer, slab in dict.fromkeys((row.layer, row.slab) for row in rows if row.what in ("pour", "touch", "lift")):
        own = {row.what: row for row in calendar if row.layer == layer and row.slab == slab}
        touch = own["touch"]
        bars.append(Bar(slab, layer, own["pour"].at, touch.at, own["lift"].at, touch.until or touch.at))
    return sorted(bars, key=lambda bar: (natural_key(bar.slab), bar.start))


def _care_section(next_set: NextSet) -> list[Any]:
    cautions = cautions_for("weigh_dry", next_set.care)
    return [vertical_gap(2), *(text_paragraph(f"! {caution.line()}", 7.5, grey=True) for caution in cautions)]
