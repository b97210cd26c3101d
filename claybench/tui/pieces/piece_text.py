"""A piece in words: the lines of its page, and each row of the record about it. Knows no widget."""

from __future__ import annotations

from datetime import date, tzinfo
from typing import TYPE_CHECKING

from claybench.insight.pieces.piece_lines import SoakedOtherwise
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import LENGTHS, READINGS, Reading
from claybench.measure.properties.soaks import Soak
from claybench.terms import FaultSeen, Fired, Measurement, Piece
from claybench.tui.display_text import moment_text, number_text, reading_value_text, word_text
from claybench.tui.forms.correcting import earlier_value_text
from claybench.tui.pieces.typed_reading import reading_with_unit
from claybench.tui.row_lines import RowLine

if TYPE_CHECKING:
    from claybench.ask.history import Corrections
    from claybench.ask.pieces import PiecePage, PieceRow


def piece_heading(page: PiecePage) -> str:
    """Piece, body, batch and run."""
    where = f", dried as {page.run.run} on slab {page.run.slab}" if page.run else ", run not known"
    return f"Piece {page.piece.piece}  {page.lines[0].body}, batch {page.piece.batch}{where}"


def piece_text_lines(page: PiecePage, corrections: Corrections, zone: tzinfo | None) -> list[str | RowLine]:
    """Every line of a piece's page: readings and figures by firing, faults, further readings, photos, its end."""
    piece = page.piece
    lines: list[str | RowLine] = [*unfired_lines(piece)]
    for each in page.lines:
        lines.append("")
        if each.fired is not None:
            text = f"  {each.fired.firing}: fired {fired_text(each.fired)}"
            lines.append(RowLine(text + earlier_value_text(each.fired, corrections, zone), each.fired))
        for name, value in each.measures.values.items():
            declared = page.properties[name]
            lines.append(f"  {declared.title:<22}{number_text(value, declared.digits + 1)} {declared.sign}".rstrip())
        for other in each.soaks:
            lines += soak_lines(other, page.properties)
        lines += [f"  ? {question.text}" for question in each.questions]
    for title, rows in (
        ("Looked at", [(row.seen_on, fault_text(row), row) for row in page.faults]),
        ("Further readings", [(row.at.astimezone(zone), reading_text(row), row) for row in page.readings]),
        ("Photos", [(row.taken_on, f"{row.file}  {row.note or ''}", row) for row in page.photos]),
    ):
        lines += ["", title] if rows else []
        for when, text, row in rows:
            lines.append(
                RowLine(f"  {moment_text(when)}  {text}".rstrip() + earlier_value_text(row, corrections, zone), row)
            )
    if piece.ended:
        lines += ["", f"{piece.ended} {moment_text(piece.ended_at)}"]
    return [*lines, "", piece.note] if piece.note else lines


def soak_lines(other: SoakedOtherwise, properties: PropertySet) -> list[str]:
    """What follows from a soak besides the card's; never averaged with it."""
    said = other.soak.text() or "soaking not noted"
    return [
        f"  {properties[name].title:<22}{number_text(value, properties[name].digits + 1)} {properties[name].sign}, {said}"
        for name, value in other.measures.values.items()
        if (ways := properties[name].ways) is not None and ways.hours
    ]


def unfired_lines(piece: Piece) -> list[str]:
    """What is known of it plastic and dry."""
    plastic, dry = (
        [
            reading_with_unit(value, each)
            for each in READINGS.values()
            if each.dates == dates and (value := each.recorded(piece, None)) is not None
        ]
        for dates in ("formed_at", "dry_at")
    )
    how = f" by {word_text(piece.dry_how)}" if piece.dry_how else ""
    return [
        f"formed {moment_text(piece.formed_at)}: " + (", ".join(plastic) or "not measured plastic"),
        f"dry{how} {moment_text(piece.dry_at)}: {', '.join(dry)}" if dry else "not measured dry yet: m",
    ]


def record_line(row: PieceRow) -> tuple[str, date | None, str]:
    """A row in words: what it is, when, and what it says."""
    if isinstance(row, Piece):
        text = [f"{each.word} {_text(each, row)}" for each in LENGTHS if not each.after_firing] + [row.note or ""]
        return "card", row.formed_at, ", ".join(part for part in text if part)
    if isinstance(row, Fired):
        return f"fired {row.firing}", row.soaked_at, fired_text(row)
    if isinstance(row, Measurement):
        return "reading", row.at, reading_text(row)
    if isinstance(row, FaultSeen):
        return "looked", row.seen_on, fault_text(row)
    return "photo", row.taken_on, f"{row.file}  {row.note or ''}".strip()


def fired_text(row: Fired) -> str:
    """What one firing did to a piece."""
    read = [each for each in READINGS.values() if each.after_firing]
    parts = [", ".join(_text(each, row) for each in read if each.is_size and each.ways is None)]
    soaked = [each for each in read if each.ways is not None]
    if any(getattr(row, each.name) is not None for each in soaked):
        masses = ", ".join(f"{each.word} {_text(each, row)}" for each in soaked)
        parts.append(f"{masses} ({Soak(row.soak_method, row.soak_hours).text() or word_text(None)})")
    for each in read:
        if not each.is_size and getattr(row, each.name) is not None:
            parts.append(f"{each.word} {_text(each, row)}" if each.is_number else _text(each, row))
    return "; ".join([*parts, *([row.note] if row.note else [])])


def _text(reading: Reading, row: Piece | Fired) -> str:
    value = getattr(row, reading.name)
    return value if isinstance(value, str) else number_text(value, unit=reading.unit)


def reading_text(row: Measurement) -> str:
    """A further reading."""
    unit = {"mm": "mm", "g": "g"}.get(row.what.rpartition("_")[2], "")
    parts = [
        word_text(row.what).removesuffix(f" {unit}").strip(),
        reading_value_text(row, unit),
        row.word or "",
        f"with {row.instrument}" if row.instrument else "",
        f"read to {number_text(row.step, unit=unit)}" if row.step else "",
        f"({row.method})" if row.method else "",
    ]
    parts += [f"in {row.firing}" if row.firing else "", f"by {row.by}" if row.by else "", row.note or ""]
    return " ".join(part for part in parts if part)


def fault_text(row: FaultSeen) -> str:
    """What was seen."""
    text = "clean" if row.fault == "none" else word_text(row.fault)
    text += f" × {row.count}" if row.count else ""
    return f"{row.firing or 'before firing'}: {text}" + (f"  {row.note}" if row.note else "")
