"""Sheets of labels for bags, buckets, trays and slabs: each with facts in short and a code that opens its record."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Any

from claybench.ask.labels import LabelContent
from claybench.ask.search import scan_text
from claybench.errors import BadInput, CannotOpen, OutOfRange
from claybench.paper.page import BOLD, FONT, MM, paper_size, use_fonts
from claybench.paper.scannable import Scannable, room_needed, scannable
from claybench.paper.text_fit import clip_lines, draw_line, text_width, wrap_text
from claybench.paper.wording import day_text
from claybench.quantity.shown import plain, show
from claybench.terms import Batch, Body, Firing, Lot, Run, Slab

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


@dataclass(frozen=True, slots=True)
class LabelText:
    """The words of one label, apart from its code."""

    name: str
    dated: str
    facts: tuple[str, ...]


def label_text(what: LabelContent) -> LabelText:
    """The words of one label."""
    zone = what.at.tzinfo
    row: Any = what.row
    name, dated, facts = "", "", list[str]()
    if what.kind is Body:
        name = _joined(row.title, row.family and f"{row.family} family")
        facts = [recipe_line(what.recipe), _each("slip {}", row.slip_sg, 2)]
    elif what.kind is Batch:
        name, dated = _body(what), f"mixed {day_text(row.mixed_at, zone)}"
        facts = [_slip(row), recipe_line(what.recipe)]
    elif what.kind is Run:
        name, dated = _body(what), f"poured {day_text(row.started_at, zone)}"
        facts = [f"batch {row.batch} on slab {row.slab}", _pieces(what)]
    elif what.kind is Slab:
        name, dated = _joined(row.family and f"{row.family} family"), _dated("cast", row.cast_at, zone)
        facts = [slab_size(row), _each("dry {} g", what.dry_g, 0), _each("mix ratio {}", row.mix_ratio, 0)]
        facts += [_dated("out of use since", row.retired_on, zone)]
    elif what.kind is Lot:
        name, dated = row.material, _dated("received", row.received_on, zone)
        facts = [_each("{} kg", row.received_kg), _each("{} % moist (wet basis)", row.moisture_pct)]
    elif what.kind is Firing:
        name, dated = _joined(row.cone and f"cone {row.cone}", _each("{} °C", row.peak_temp_c, 0)), ""
        dated = _dated("fired", row.fired_on, zone)
        facts = [_joined(row.kiln, row.atmosphere), _pieces(what)]
    else:
        name = row.kind or ""
        facts = [_each("specific gravity {}", row.specific_gravity), _each("loss on ignition {} %", row.loi_pct)]
    if not dated:
        facts.append(f"printed {day_text(what.at, zone)}")
    return LabelText(name, dated, tuple(fact for fact in facts if fact))


def recipe_line(recipe: tuple[tuple[str, float], ...]) -> str:
    """A recipe in one line, largest share first.

    >>> recipe_line((("feldspar", 20.0), ("ball clay", 47.5), ("soda", 0.21)))
    'ball clay 47.5, feldspar 20, soda 0.21'
    """
    falling = sorted(recipe, key=lambda line: -line[1])
    return ", ".join(f"{material} {plain(round(parts, 1 if parts >= 1 else 2))}" for material, parts in falling)


def slab_size(slab: Slab) -> str:
    """Length, width and thickness; a round slab has a diameter."""
    across = f"{plain(slab.length_mm)} × {plain(slab.width_mm)}" if slab.width_mm else f"⌀ {plain(slab.length_mm)}"
    return f"{across} × {plain(slab.thickness_mm)} mm"


def _dated(word: str, value: date | None, zone: tzinfo | None) -> str:
    return "" if value is None else f"{word} {day_text(value, zone)}"


def _each(form: str, value: float | None, digits: int | None = None) -> str:
    return "" if value is None else form.format(plain(value, digits))


def _joined(*parts: str | None) -> str:
    return ", ".join(part for part in parts if part)


def _body(what: LabelContent) -> str:
    return _joined(*(f"{what.body.body} {what.body.title or ''}".strip(), what.body.family)) if what.body else ""


def _slip(row: Batch) -> str:
    return _joined(
        _each("dry {} g", row.dry_mass_g), _each("water {} g", row.water_g), _each("slip {}", row.slip_sg, 3)
    )


def _pieces(what: LabelContent) -> str:
    return f"pieces {' '.join(what.pieces)}" if what.pieces else ""


_SMALLEST = (36.0, 19.0)
_GRID = re.compile(r"\s*(\d{1,2})\s*[x×*]\s*(\d{1,2})\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class LabelSheets:
    """What came out of the printing of labels."""

    count: int
    not_scannable: tuple[str, ...]
    """Codes too long for a scannable code on labels so small; they stand there in letters alone."""


@dataclass(frozen=True, slots=True)
class LabelGrid:
    """How labels lie on a sheet; lengths in mm."""

    across: int = 3
    down: int = 8
    top: float = 8.0
    """Above the first row and below the last."""
    side: float = 8.0
    """Left of the first column and right of the last."""
    gap_across: float = 0.0
    gap_down: float = 0.0

    @classmethod
    def read(cls, text: str, **lengths: float) -> LabelGrid:
        """A grid as people write it.

        >>> LabelGrid.read("2 x 5")
        LabelGrid(across=2, down=5, top=8.0, side=8.0, gap_across=0.0, gap_down=0.0)
        """
        match = _GRID.fullmatch(text)
        if match is None or not all(int(count) for count in match.groups()):
            raise BadInput(
                f"'{text}' is no grid of labels.", "Write labels across x labels down, as in 3x8.", field="grid"
            )
        return cls(int(match[1]), int(match[2]), **lengths)

    @property
    def count(self) -> int:
        """Labels on one sheet."""
        return self.across * self.down

    def label_size(self, paper: str) -> tuple[float, float]:
        """Width and height of one label in mm."""
        width, height = (points / MM for points in paper_size(paper))
        return (
            (width - 2 * self.side - (self.across - 1) * self.gap_across) / self.across,
            (height - 2 * self.top - (self.down - 1) * self.gap_down) / self.down,
        )


def write_labels(
    things: Sequence[LabelContent],
    path: str | Path,
    *,
    paper: str | None = None,
    grid: LabelGrid | None = None,
    start: int = 1,
    copies: int = 1,
    outline: bool = True,
) -> LabelSheets:
    """Write sheets of labels as a PDF, and tell how many sheets; `start` is the first label not used up yet,
    counted along the rows."""
    from reportlab.pdfgen.canvas import Canvas

    grid = grid or LabelGrid()
    paper = paper or things[0].paper
    width, height = grid.label_size(paper)
    _check_grid(grid, width, height, start, copies)
    use_fonts()
    page = paper_size(paper)
    canvas = Canvas(str(path), pagesize=page, invariant=1)
    canvas.setTitle("Labels")
    canvas.setAuthor("claybench")
    place, left_out = start - 1, dict[str, None]()
    for thing in (thing for thing in things for _ in range(copies)):
        if place == grid.count:
            canvas.showPage()
            place = 0
        row, column = divmod(place, grid.across)
        left = grid.side + column * (width + grid.gap_across)
        bottom = page[1] / MM - grid.top - row * (height + grid.gap_down) - height
        box = _Box(canvas, left * MM, bottom * MM, width * MM, height * MM)
        if outline:
            box.outline()
        if not _draw_label(box, thing, label_text(thing)):
            left_out[thing.code] = None
        place += 1
    try:
        canvas.save()
    except OSError as error:
        raise CannotOpen(f"{path} cannot be written: {error.strerror}.", "Choose another place.") from error
    return LabelSheets(int(canvas.getPageNumber()) - 1, tuple(left_out))


def _check_grid(grid: LabelGrid, width: float, height: float, start: int, copies: int) -> None:
    if width < _SMALLEST[0] or height < _SMALLEST[1]:
        raise OutOfRange(
            f"A label would be {plain(max(width, 0), 0)} × {show(max(height, 0), 'mm', digits=0)}.",
            f"Text and code need {plain(_SMALLEST[0], 0)} × {show(_SMALLEST[1], 'mm', digits=0)}: "
            "fewer labels on a sheet, smaller margins.",
            field="grid",
        )
    if min(grid.top, grid.side, grid.gap_across, grid.gap_down) < 0:
        raise OutOfRange("A margin or gap is below 0.", "Measure the sheet from its edge.", field="grid")
    if not 1 <= start <= grid.count:
        raise OutOfRange(
            f"The sheet has labels 1 to {grid.count}.", "Count along the rows to the first one left.", field="start"
        )
    if not 1 <= copies <= 500:
        raise OutOfRange("Copies go from 1 to 500.", "Print again for more.", field="copies")


@dataclass(frozen=True, slots=True)
class _Box:
    """One label on the page, in points."""

    canvas: Canvas
    left: float
    bottom: float
    width: float
    height: float

    @property
    def scale(self) -> float:
        """How large its type is: that of a label of 63 × 34 mm is 1."""
        return max(0.8, min(self.height / (34 * MM), self.width / (63 * MM), 2.2))

    @property
    def pad(self) -> float:
        """Room left free along the edge, for a printer that is a little off."""
        return 2.6 * MM * math.sqrt(max(self.scale, 1.0))

    def outline(self) -> None:
        """A thin line to cut along."""
        self.canvas.saveState()
        self.canvas.setLineWidth(0.3)
        self.canvas.setStrokeGray(0.7)
        self.canvas.rect(self.left, self.bottom, self.width, self.height)
        self.canvas.restoreState()


def _draw_label(box: _Box, thing: LabelContent, said: LabelText) -> bool:
    """Draw one label, and tell whether it can be scanned."""
    inner = box.width - 2 * box.pad
    small = 6.3 * box.scale
    care = _care_lines(thing, small, inner, box)
    care_high = len(care) * small * 1.2
    free = box.height - 2 * box.pad - care_high - (0.8 * MM if care else 0)
    code = _code_to_scan(thing, inner / MM, free / MM)
    side = code.side * MM if code is not None else 0.0
    top = box.bottom + box.height - box.pad
    if code is not None:
        code.draw(box.canvas, box.left + box.width - box.pad - side, top)
    pen = _Pen(box, top, top - free, inner, side + (1.5 * MM if side else 0.0), top - side)
    pen.write(" · ".join(part for part in (thing.noun, said.dated) if part), FONT, small, most=1, gray=0.3)
    size = pen.code(thing.code)
    pen.write(said.name, BOLD, min(small * 1.1, size), most=2)
    for fact in said.facts:
        pen.write(fact, FONT, small, most=4)
    for number, line in enumerate(care):
        above = (len(care) - 1 - number) * small * 1.2 + 0.2 * small
        draw_line(box.canvas, box.left + box.pad, box.bottom + box.pad + above, line, BOLD, small)
    return code is not None


def _code_to_scan(thing: LabelContent, inner: float, free: float) -> Scannable | None:
    """The scannable code; a long one may take more of the width, and one that finds no room is left out."""
    words = scan_text(thing.kind, thing.code)
    usual = min(0.42 * inner, free, 40.0)
    return scannable(words, max(usual, min(room_needed(words), 0.55 * inner, free)))


def _care_lines(thing: LabelContent, size: float, room: float, box: _Box) -> list[str]:
    """Cautions at the foot of the label: at most a third of its height, and room for the scannable code above them.

    Where they have no room, all hazards are named rather than some told.
    """
    if not thing.cautions:
        return []
    measure = text_width(BOLD, size)
    high = box.height - 2 * box.pad
    above = (room_needed(scan_text(thing.kind, thing.code)) + 0.8) * MM
    most = max(1, int(min(high / 3, high - above) / (size * 1.2)))
    whole = wrap_text(f"! {'; '.join(thing.cautions)}", measure, room)
    do = "air the kiln's room" if thing.kind is Firing else "no dust"
    short = wrap_text(f"! {', '.join(thing.hazards)}: {do}; read the safety data sheets", measure, room)
    return clip_lines(whole if len(whole) <= most else short, most, measure, room)


@dataclass(slots=True)
class _Pen:
    """Writes lines from the top down: beside the scannable code first, over the whole width beneath it."""

    box: _Box
    y: float
    floor: float
    inner: float
    taken: float
    """Width the code takes, with the space before it."""
    code_foot: float

    def room(self, y: float) -> float:
        """Width of a line whose top is at y."""
        return self.inner - (self.taken if y > self.code_foot - 0.5 * MM else 0.0)

    def write(self, said: str, font: str, size: float, *, most: int, gray: float = 0.0) -> None:
        """Text on at most so many lines; what finds no room ends in …"""
        lead = size * 1.2
        start = self.y
        measure = text_width(font, size)
        most = min(most, int((self.y - self.floor + 0.01) / lead))
        lines = wrap_text(said, measure, lambda number: self.room(start - number * lead))
        if lines and most > 0:
            last = self.room(start - (most - 1) * lead)
            self._put(clip_lines(lines, most, measure, last), font, size, lead, gray)

    def code(self, code: str) -> float:
        """The code itself, never cut: as large as it goes, which is told."""
        room = self.room(self.y)
        free = self.y - self.floor
        for step in (25.0, 19.0, 15.0, 13.0, 11.0, 9.5, 8.0, 7.0, 6.0, 5.0, 4.0):
            size = step * self.box.scale
            lines = wrap_text(code, text_width(BOLD, size), room)
            most = 1 if step > 9 else 2 if step > 6 else 4
            if size < 0.23 * free and len(lines) <= most and len(lines) * size * 1.12 <= free:
                break
        self._put(lines, BOLD, size, size * 1.12, 0.0)
        self.y -= 0.08 * size
        return size

    def _put(self, lines: Sequence[str], font: str, size: float, lead: float, gray: float) -> None:
        canvas = self.box.canvas
        canvas.setFillGray(gray)
        for line in lines:
            draw_line(canvas, self.box.left + self.box.pad, self.y - size * 0.93, line, font, size)
            self.y -= lead
        canvas.setFillGray(0)
