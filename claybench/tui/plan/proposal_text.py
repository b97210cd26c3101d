"""A plan's proposals and its calendar in words and shapes: ranges against targets, why, strips. Knows no widget."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Callable, Sequence
from datetime import date, datetime
from functools import partial

from claybench.insight.date_words import date_and_hour
from claybench.insight.plan.design.plan_request import target_digits, target_heading, target_label, target_title
from claybench.insight.plan.next_set.next_set import NextSet, PlannedBody
from claybench.insight.plan.next_set.set_progress import SetBody
from claybench.insight.plan.schedule.calendar_words import CalendarRow, rows_by_day
from claybench.insight.plan.surfaces.fitted_targets import JUDGED_BY_BATCHES, chance_text
from claybench.insight.plan.surfaces.model_choice import model_reason
from claybench.insight.plan.surfaces.proposals import UNMEASURED_CHANCE, PredictionInterval
from claybench.later import np
from claybench.mix.material_cautions import handling_cautions
from claybench.quantity.shown import capitalize_first, format_bounds, plain
from claybench.tui.plain_table import PlainTable
from claybench.tui.table_view import TableColumn, TableRow

Span = tuple[float, float]
_LONGEST_LABEL = 26


def plan_heading(next_set: NextSet, title: str) -> str:
    """What was asked, in one line."""
    asked = next_set.request
    fired = f"cone {asked.cone}" if asked.cone else f"{plain(asked.peak_temp_c)} °C" if asked.peak_temp_c else ""
    count = f"{len(next_set.bodies)} bod{'y' if len(next_set.bodies) == 1 else 'ies'}"
    return "  ·  ".join(filter(None, (title, f"{count} of {next_set.family or '–'}", fired)))


def chance_bar(chance: float, width: int = 10) -> str:
    """A chance as a bar.

    >>> chance_bar(0.43), chance_bar(1.0, 4)
    ('████······', '████')
    """
    full = round(width * chance)
    return "█" * full + "·" * (width - full)


def median_cells(body: PlannedBody, next_set: NextSet) -> list[str]:
    """Medians for a narrow table."""
    return [
        plain(body.predicted[name].median, target_digits(name, next_set.properties)) if name in body.predicted else "–"
        for name in next_set.request.targets
    ]


def range_lines(body: PlannedBody, next_set: NextSet, width: int) -> list[str]:
    """Each target: what is predicted with its 90 % range, against the window that is wanted, as words and as a shape."""
    lines = []
    labels = {name: target_label(name, next_set.properties) for name in next_set.request.targets}
    longest = min(max(map(len, labels.values()), default=0), _LONGEST_LABEL)
    for name, span in next_set.request.targets.items():
        label = f"{labels[name]:<{longest}.{longest}} "
        wanted = f"want {format_bounds(span, low=0)}"
        one = body.predicted.get(name)
        if one is None:
            lines.append(f"{label}{'not measured yet':<19}{wanted}")
            continue
        digits = target_digits(name, next_set.properties)
        text = one.text(digits, tight=True)
        lines.append(
            f"{label}{text:<19}{wanted:<16} {range_scale(one, span, next_set, name, max(width - 37 - len(label), 9))}".rstrip()
        )
    return lines


def range_scale(one: PredictionInterval, span: Span, next_set: NextSet, name: str, width: int) -> str:
    """`├──●──┤` on a line on which the wanted window stands in double rule; the same scale for all bodies."""
    every = [body.predicted[name] for body in next_set.bodies if name in body.predicted]
    ends = [end for each in every for end in (each.low, each.high)] + [end for end in span if math.isfinite(end)]
    low, high = min(ends), max(ends)
    room = (high - low) or 1.0

    def at(value: float) -> int:
        return round((min(max(value, low), high) - low) / room * (width - 1))

    wanted = range(at(span[0]), at(span[1]) + 1)
    marks = ["═" if place in wanted else "·" for place in range(width)]
    begin, middle, end = at(one.low), at(one.median), at(one.high)
    for place in range(begin, end + 1):
        marks[place] = "─" if place not in wanted else "━"
    marks[begin], marks[end], marks[middle] = "├", "┤", "●"
    return "".join(marks)


def body_lines(number: int, body: PlannedBody, next_set: NextSet, width: int, height: int = 40) -> list[str]:
    """All of one proposal; closer together where there is little room."""
    parts = sorted(body.parts.items(), key=lambda pair: -pair[1])
    close = height < 12
    longest = min(max(len(name) for name in (*body.parts, *body.fixed)), 18)
    bars = 12 if close else max(min(width - longest - 14, 40), 10)
    lines = [f"{name:<{longest}.{longest}}{plain(part):>6} {'▇' * round(bars * part / 100)}" for name, part in parts]
    lines += [f"{name:<{longest}.{longest}}{plain(part):>6} on top" for name, part in body.fixed.items()]
    beside = max(width // (longest + 21), 1) if close else 1
    if beside > 1:
        rows = -(-len(lines) // beside)
        lines = ["  ".join(f"{line:<{longest + 19}}" for line in lines[row::rows]).rstrip() for row in range(rows)]
    gap = [] if close else [""]
    head = f"Body {number}   chance {chance_text(body.chance)} {chance_bar(body.chance)}   {slab_and_hour(body)}"
    ranges = range_lines(body, next_set, width)
    return [
        head,
        *gap,
        *lines,
        *gap,
        *ranges,
        *(gap if ranges else []),
        *wrap_sentence(body.reason, width),
    ]


def wrap_sentence(text: str, width: int, hang: str = "") -> list[str]:
    return textwrap.wrap(text, max(width, 20), subsequent_indent=hang) or [""]


def slab_and_hour(body: PlannedBody) -> str:
    """Slab and hour."""
    if body.slab is None or body.start is None:
        return "no slab yet: see the notes"
    return f"on {body.slab}, {date_and_hour(body.start)}"


def proposal_why_lines(number: int, body: PlannedBody, next_set: NextSet) -> list[str]:
    """Where the chance and each number of a proposal come from."""
    lines = [body.reason, ""]
    sight = next_set.fitted
    named = list(next_set.request.targets)
    title = partial(target_title, properties=next_set.properties)
    if sight is None or not named:
        lines.append("Nothing was measured that the targets speak of, so nothing is predicted.")
    else:
        each = target_chances(body, next_set)
        chances = [f"{title(name)} {chance_text(chance)}" for name, chance in each.items()]
        chances += [
            f"{title(name)} {plain(UNMEASURED_CHANCE)} (a guess: nothing measured)" for name in sight.unmeasured
        ]
        lines += [
            f"Chance {chance_text(body.chance)}: that the mean of {JUDGED_BY_BATCHES} batches meets every target at once. "
            "It is the product of the chances of each target, by Student's t around what its surface predicts (here for "
            "the parts as rounded):",
            *(f"  {text}" for text in chances),
            "",
            "Ranges hold the mean of one new batch with 90 %.",
        ]
        for name, model in sight.models.items():
            data = "" if model.exact else f" from {model.data.recipe_count} bodies in {model.data.count} batches."
            lines += ["", f"{title(name)}:{data}", f"  {model_reason(name, model, next_set.properties)}"]
    if body.slab is None:
        lines += ["", "Slab and hour: none could be given; the notes say why."]
    else:
        lines += [
            "",
            f"Slab {body.slab}: of the slabs of {next_set.family}, the order that takes the fewest bench days, then the "
            "driest slabs, then the earliest hours.",
        ]
    return lines


def target_chances(body: PlannedBody, next_set: NextSet) -> dict[str, float]:
    """The chance of each target with data, for the parts as rounded."""
    assert next_set.fitted is not None
    shares = np.array([[part / 100 for part in body.parts.values()]])
    return {name: float(chance[0]) for name, chance in next_set.fitted.chances(shares).items()}


def _progress_text(each: SetBody) -> str:
    return ", ".join(filter(None, (each.progress, each.place_and_hour))) + "."


def note_lines(next_set: NextSet, width: int) -> list[str]:
    """What should be known about the set."""
    texts = [f"▸ {next_set.tonight}"] if next_set.tonight else []
    texts += [f"▪ {each.body} of this set is in the record: {_progress_text(each)}" for each in next_set.under_way]
    texts += [f"↺ {repeat.body} once more: {repeat.reason}" for repeat in next_set.repeats]
    texts += [f"• {note}" for note in next_set.notes if note != next_set.tonight]
    texts += [f"! {caution.line()}" for caution in handling_cautions(next_set.care)]
    known = ", ".join(next_set.measured_bodies)
    texts.append(
        f"• Made of these materials: {known}." if known else "• No body of the lab is made of these materials."
    )
    return [line for text in texts for line in (*wrap_sentence(text, width, "  "), "")]


def proposal_table(
    next_set: NextSet, width: int, made: dict[int, str], marked: set[int]
) -> tuple[list[TableColumn], list[TableRow[int]]]:
    """Proposals and repeats as a table: parts, then what is predicted, then slab and hour, as far as there is room."""
    names, targets = list(next_set.bodies[0].parts), list(next_set.request.targets)
    columns = [TableColumn("", 3, right=True), TableColumn("chance", 6, right=True)]
    makers: list[Callable[[PlannedBody], list[str]]] = [lambda body: [chance_text(body.chance)]]
    room = width - 13
    if made:
        columns.append(TableColumn("made as", 8))
        room -= 10
    for wanted, maker in (
        (
            [TableColumn(name, 6, right=True) for name in names],
            lambda body: [plain(body.parts[name]) for name in names],
        ),
        (
            [TableColumn(target_heading(name, next_set.properties), 8, right=True) for name in targets],
            lambda body: median_cells(body, next_set),
        ),
        ([TableColumn("slab", 5)], lambda body: [body.slab or "–"]),
        (
            [TableColumn("start", 16)],
            lambda body: [date_and_hour(body.start) if body.start else "–"],
        ),
    ):
        need = sum(col.width + 2 for col in wanted)
        if need <= room:
            columns += wanted
            makers.append(maker)
            room -= need
    rows = []
    for number, body in enumerate(next_set.bodies, 1):
        cells = [cell for maker in makers for cell in maker(body)]
        if made:
            cells.insert(1, made.get(number, "–"))
        mark = "+" if number in marked else ""
        rows.append(TableRow((f"{mark}{number}", *cells), number, strong=number in marked))
    for number, repeat in enumerate(next_set.repeats, 1):
        rows.append(TableRow(("↺", "again", repeat.body), -number))
    return columns, rows


def proposal_listings(next_set: NextSet, made: dict[int, str], zone: str) -> list[PlainTable]:
    """The bodies with what is predicted of them, and when what is poured."""
    parts, fixed = list(next_set.bodies[0].parts), list(next_set.bodies[0].fixed)
    targets = list(next_set.request.targets)
    headings = ["number", "chance (%)", "made as", *(f"{name} (parts)" for name in parts)]
    headings += [f"{name} (on top)" for name in fixed]
    labels = [target_label(name, next_set.properties) for name in targets]
    headings += [f"{label}, {word}" for label in labels for word in ("median", "90 % low", "90 % high")]
    headings += ["slab", f"start ({zone})", "why"]
    rows = []
    for number, body in enumerate(next_set.bodies, 1):
        row: list[object] = [number, 100 * body.chance, made.get(number)]
        row += [body.parts.get(name) for name in parts] + [body.fixed.get(name) for name in fixed]
        for name in targets:
            one = body.predicted.get(name)
            row += [None, None, None] if one is None else [one.median, one.low, one.high]
        rows.append((*row, body.slab, body.start, body.reason))
    calendar = tuple((row.at, row.text) for row in next_set.calendar)
    return [
        PlainTable("proposal", tuple(headings), tuple(rows)),
        PlainTable("calendar", (f"when ({zone})", "what"), calendar),
    ]


_MARKS = {"dry": "~", "touch": "═", "lift": "▲", "pour": "▼", "turn": "↻"}
LEGEND = "▼ pour   ═ touch   ▲ lift   ~ dries back   ↻ turn"


def calendar_lines(next_set: NextSet, width: int) -> list[str]:
    """The calendar as text: day by day, a strip for each slab, then what to do at what hour."""
    lines = [f"▸ {next_set.tonight}", ""] if next_set.tonight else []
    if not next_set.calendar:
        return [*lines, "No layer could be put on a slab; the notes say why."]
    lines += [LEGEND, ""]
    every = next_set.calendar
    first, last = _hours_shown(every)
    for name, rows in rows_by_day(every).items():
        strips = slab_strips(rows[0].at.date(), every, first, last, max(width - 8, 24))
        texts = [f"{row.at:%H:%M}  {capitalize_first(row.text)}" for row in rows]
        acts = [line for text in texts for line in wrap_sentence(text, width - 2, " " * 7)]
        lines += [name, *(f"  {line}" for line in (*strips, *acts)), ""]
    return lines


def _hours_shown(rows: Sequence[CalendarRow]) -> tuple[int, int]:
    """The hours of a day that strips run over, four or more; slabs dry and soak by themselves at any hour."""
    hours = [row.at.hour + row.at.minute / 60 for row in rows if row.what not in ("dry", "soak")]
    return int(min(hours)), max(int(max(hours)) + 2, int(min(hours)) + 4)


def slab_strips(day: date, rows: Sequence[CalendarRow], first: int, last: int, width: int) -> list[str]:
    """A day's hours across, slabs down: ▼ pour, ═ touch, ▲ lift, ~ drying back, ↻ turn."""
    per_hour = max(width // (last - first), 2)
    scale = "".join(f"{hour:<{per_hour}}" for hour in range(first, last))
    lines = [f"{'':<6}{scale}"]
    for slab in dict.fromkeys(row.slab for row in rows if row.slab):
        strip = _slab_strip(day, [row for row in rows if row.slab == slab], first, per_hour, len(scale))
        if strip:
            lines.append(f"{slab:<6.5}{strip}")
    return lines


def _slab_strip(day: date, rows: Sequence[CalendarRow], first: int, per_hour: int, cells: int) -> str:
    """One slab's day; empty where nothing happens to it. What comes later in `_MARKS` is drawn over what comes before."""

    def cell_of(moment: datetime) -> int:
        hours = (moment.date() - day).days * 24 + moment.hour + moment.minute / 60
        return round(min(max((hours - first) * per_hour, 0), cells))

    strip = ["·"] * cells
    for what, mark in _MARKS.items():
        for row in (each for each in rows if each.what == what and _is_on_day(each, day)):
            begin, end = cell_of(row.at), cell_of(_end_of(row))
            for place in range(begin, min(max(end, begin + 1), cells)):
                strip[place] = mark
    return "".join(strip) if any(_is_on_day(row, day) for row in rows if row.what in _MARKS) else ""


def _end_of(row: CalendarRow) -> datetime:
    return row.until if row.until is not None and row.what != "lift" else row.at


def _is_on_day(row: CalendarRow, day: date) -> bool:
    """Whether a row is drawn on a day: what is done, on the day it is done; drying back, on each day that it takes."""
    return row.at.date() <= day <= _end_of(row).date() if row.what == "dry" else row.at.date() == day
