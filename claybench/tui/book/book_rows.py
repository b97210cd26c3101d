"""The lines of the book's pages, read from the lab and put into words; a line's record is what its page opens it by."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from claybench import ask
from claybench.terms import SETTINGS
from claybench.tui.display_text import NOTHING, CellText, moment_text, number_text, word_text
from claybench.tui.table_view import TableRow

if TYPE_CHECKING:
    from claybench.insight.unusable_rows import FaultyRow
    from claybench.insight.workable_interval import WorkableTime
    from claybench.record.lab import Lab
    from claybench.terms import Air


def batch_rows(lab: Lab, now: datetime) -> list[TableRow[str]]:
    """Batches, newest first."""
    return [
        TableRow(
            (
                batch.batch,
                batch.body,
                moment_text(batch.mixed_at.astimezone(now.tzinfo)),
                number_text(batch.dry_mass_g, 0, "g"),
                number_text(batch.slip_sg, 2),
                body.title or "" if body else "",
            ),
            batch.batch,
        )
        for batch, body in ask.batches.batch_list(lab)
    ]


def property_rows(lab: Lab, _now: datetime) -> list[TableRow[str]]:
    """The lab's own properties."""
    return [
        TableRow((each.name, each.title, each.of, each.sign, each.formula or "read directly"), each.name)
        for each in ask.properties.lab_properties(lab).values()
        if each.own
    ]


def run_rows(lab: Lab, now: datetime) -> list[TableRow[str]]:
    """Runs with the time until each was workable."""
    return [
        TableRow(
            (
                each.run.run,
                each.body.body if each.body else NOTHING,
                each.run.slab,
                moment_text(each.run.started_at.astimezone(now.tzinfo)),
                _time_cell(each.time) if each.time else NOTHING,
                (each.run.outcome or "drying").replace("_", " "),
            ),
            each.run.run,
            strong=each.run.outcome is None,
        )
        for each in ask.runs.run_list(lab)
    ]


def _time_cell(time: WorkableTime) -> str:
    return CellText(time.describe(), parts=(("from", time.low_min), ("to", time.high_min)), unit="min")


def firing_rows(lab: Lab, now: datetime) -> list[TableRow[str]]:
    """Firings with the pieces in each."""
    return [
        TableRow(
            (
                firing.firing,
                moment_text(firing.fired_on),
                firing.cone or NOTHING,
                number_text(firing.peak_temp_c, 0, "°C"),
                str(count),
                firing.note or firing.kiln or "",
            ),
            firing.firing,
        )
        for firing, count in ask.pieces.list_firings(lab)
    ]


def family_rows(lab: Lab, now: datetime) -> list[TableRow[str]]:
    """Families."""
    return [
        TableRow((row.family, number_text(row.stain_rank), row.note or ""), row.family)
        for row in ask.bodies.stock_lists(lab).families
    ]


def material_rows(lab: Lab, now: datetime) -> list[TableRow[str]]:
    """Materials."""
    return [
        TableRow(
            (
                row.material,
                row.kind or NOTHING,
                number_text(row.specific_gravity, 2),
                number_text(row.loi_pct, 1),
                number_text(row.price_per_kg, 2),
                row.caution or row.note or "",
            ),
            row.material,
        )
        for row in ask.bodies.stock_lists(lab).materials
    ]


def lot_rows(lab: Lab, now: datetime) -> list[TableRow[str]]:
    """Lots."""
    return [
        TableRow(
            (
                row.lot,
                row.material,
                moment_text(row.received_on),
                number_text(row.received_kg, unit="kg"),
                number_text(row.moisture_pct, 1, "%"),
                row.note or "",
            ),
            row.lot,
        )
        for row in ask.bodies.stock_lists(lab).lots
    ]


def air_rows(lab: Lab, now: datetime) -> list[TableRow[Air]]:
    """Readings of the air."""
    return [
        TableRow(
            (
                moment_text(row.at.astimezone(now.tzinfo)),
                word_text(row.place),
                number_text(row.air_temp_c, 1, "°C"),
                number_text(row.air_rh_pct, 0, "%"),
                number_text(row.air_speed_m_s, 1, "m/s"),
                row.note or "",
            ),
            row,
        )
        for row in ask.slabs.air_list(lab)
    ]


def setting_rows(lab: Lab, now: datetime) -> list[TableRow[str]]:
    """Settings with their values, and which are as delivered."""
    settings = ask.bodies.body_codes(lab)[1]
    rows = []
    for name, term in SETTINGS.items():
        if name == "format":
            continue
        unit = "" if term.unit in ("text", "clock", "zone", "paper", "1") else term.unit.replace("degC", "°C")
        value = f"{settings.text(name)} {unit}".strip()
        rows.append(TableRow((term.label, value, "as delivered" if settings.is_default(name) else "", term.help), name))
    return rows


def unusable_rows(lab: Lab, now: datetime) -> list[TableRow[FaultyRow]]:
    """Rows that cannot be used, and why."""
    return [
        TableRow(
            (each.named, each.table[each.column].label, f"{each.reason}: {each.consequence}"),
            each,
            strong=each.left_out,
        )
        for each in ask.snapshot.faulty_rows(lab)
    ]


def history_rows(lab: Lab, now: datetime) -> list[TableRow[int]]:
    """The newest acts."""
    return [
        TableRow(
            (
                moment_text(entry.at.astimezone(now.tzinfo)),
                entry.label,
                "takes back" if entry.undoes else "taken back" if entry.undone else "",
                entry.who or "",
            ),
            entry.id,
        )
        for entry in ask.history.newest_acts(lab)
    ]
