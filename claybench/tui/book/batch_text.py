"""The page of a batch as lines: what was weighed and what is to be, what happened to it, its runs and pieces."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench.tui.display_text import NOTHING, moment_text, number_text, word_text
from claybench.tui.forms.correcting import earlier_value_text
from claybench.tui.row_lines import RowLine

if TYPE_CHECKING:
    from claybench.ask.batches import BatchPage
    from claybench.ask.history import Corrections


def batch_lines(page: BatchPage, corrections: Corrections) -> list[str | RowLine]:
    """Every line of the page; those that stand for a row can be opened and corrected."""
    lines: list[str | RowLine] = [_mixed_text(page), "", "Weighed"]
    lines += _weighed_lines(page, corrections) if page.lines else ["  nothing yet: g"]
    if page.weighing.next is not None and page.weighing.lines:
        lines += ["", "To weigh", *_to_weigh_lines(page)]
    if page.log:
        lines += ["", "What happened to it", *_event_lines(page, corrections)]
    lines += ["", "Poured", *(_run_lines(page) if page.runs else ["  not yet: r"])]
    lines += ["", "Pieces", f"  {', '.join(piece.piece for piece in page.pieces) or 'none yet: n'}"]
    return [*lines, "", page.batch.note] if page.batch.note else lines


def _mixed_text(page: BatchPage) -> str:
    batch = page.batch
    mixed = "to be mixed" if batch.mixed_at > page.at else "mixed"
    parts = [
        f"{mixed} {moment_text(batch.mixed_at.astimezone(page.at.tzinfo))} as {batch.made or NOTHING}",
        f"dry {number_text(batch.dry_mass_g, unit='g')}",
        f"water {number_text(batch.water_g, unit='g')}",
        f"slip {number_text(batch.slip_sg, 3)}",
        number_text(batch.slip_temp_c, 1, "°C"),
    ]
    return ", ".join(parts)


def _weighed_lines(page: BatchPage, corrections: Corrections) -> list[RowLine]:
    return [
        RowLine(
            f"  {line.material:<24.24}{line.lot or NOTHING:<12}{number_text(line.mass_g, unit='g'):>12}"
            f"   so far {number_text(line.total_g, unit='g')}{earlier_value_text(line.row, corrections, page.at.tzinfo)}",
            line.row,
        )
        for line in page.lines
    ]


def _to_weigh_lines(page: BatchPage) -> list[str]:
    lines = [
        f"  {line.material:<24.24}{line.lot or NOTHING:<12}{number_text(line.weigh_g, unit='g'):>12}   {line.basis}".rstrip()
        for line in page.weighing.lines
        if line.weighed_g is None
    ]
    return [*lines, f"  {'water to add':<36}{number_text(page.weighing.water_to_add_g, unit='g'):>12}"]


def _event_lines(page: BatchPage, corrections: Corrections) -> list[RowLine]:
    zone = page.at.tzinfo
    return [
        RowLine(
            f"  {moment_text(row.at.astimezone(zone))}  {word_text(row.event)} {row.material or ''}"
            f" {number_text(row.mass_g, unit='g') if row.mass_g is not None else ''} {row.note or ''}"
            f"{earlier_value_text(row, corrections, zone)}",
            row,
        )
        for row in page.log
    ]


def _run_lines(page: BatchPage) -> list[RowLine]:
    return [
        RowLine(
            f"  {each.run.run} on {each.run.slab}, {moment_text(each.run.started_at.astimezone(page.at.tzinfo))}, "
            f"{each.time.describe() if each.time else 'not touched yet'}, {word_text(each.run.outcome)}",
            each.run,
        )
        for each in page.runs
    ]
