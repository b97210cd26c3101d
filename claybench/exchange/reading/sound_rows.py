"""Taking the rows that are sound, with the rows they need, and writing the others, each with its reason, to a table
beside the file that can be mended and read again."""

from __future__ import annotations

import io
from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from pathlib import Path

from claybench import clock
from claybench.errors import BadInput, Fault, FaultyFolder, Refused
from claybench.exchange.files import write_whole
from claybench.exchange.folder_in import ImportReport, take_in
from claybench.exchange.reading.mapping import TableMapping
from claybench.exchange.reading.raw_table import DELIMITERS, RawTable
from claybench.exchange.reading.row_parser import ParsedTable
from claybench.exchange.reading.table_import import TablePreview, preview_rows
from claybench.exchange.spreadsheet import free_name, safe_cell, write_cells
from claybench.record.lab import Lab
from claybench.record.read import Reader

WHY = "why it was left"
"""Heading of the reasons in the table of what was left; such a column goes nowhere when it is read again."""


@dataclass(frozen=True, slots=True)
class SoundRows:
    """A file parted into the rows that can be taken and the others."""

    preview: TablePreview
    """What taking the sound rows would do: it has no fault where there are any."""
    mapping: TableMapping
    """The mapping that passes over the others."""
    left: dict[int, str]
    """Why each of the others is left, by its number; rows that are none of their kind among them."""
    questions: tuple[str, ...]
    """What was asked of the whole file, each with its answers: one may let many rows in."""

    @property
    def taken(self) -> list[int]:
        """Numbers of the rows that can be taken."""
        lines = {row.line for rows in self.preview.understood.rows.values() for row in rows}
        return sorted(lines - set(self.left))


def part_rows(
    record: Reader,
    raw: RawTable,
    mapping: TableMapping,
    zone: tzinfo,
    now: datetime,
    *,
    update: bool = False,
    stop: Callable[[], bool] = lambda: False,
) -> SoundRows:
    """The rows that are sound, and why each of the others is not.

    A row goes with what it needs: a recipe or a batch is taken with all of its lines or not at all, rows that say
    different things of one thing are all left, and so is one that refers to a row that is left.

    Raises
    ------
    FaultyFolder
        A fault of the file as a whole, such as a column that goes nowhere and is needed.
    """
    left: dict[int, str] = {}
    questions: dict[str, None] = {}
    current = mapping
    while True:
        found = preview_rows(record, raw, current, zone, now, update=update, stop=stop)
        parsed = found.understood
        questions.update(dict.fromkeys(question.sentence() for question in parsed.questions))
        for line, reason in parsed.passed.items():
            if line not in current.skip:
                left[line] = reason
        if not parsed.faults:
            return SoundRows(found, current, dict(sorted(left.items())), tuple(questions))
        assert parsed.layout is not None
        own = {line for line, _ in parsed.layout.rows}
        whole_file = [fault for fault in parsed.faults if fault.line not in own]
        if whole_file and not own <= set(left):
            raise FaultyFolder(whole_file)
        left |= {line: reason for line, reason in _reasons(parsed).items() if line in own}
        if own <= set(left):
            return SoundRows(found, current, dict(sorted(left.items())), tuple(questions))
        current = replace(current, skip=tuple(sorted({*mapping.skip, *left})))


def _reasons(parsed: ParsedTable) -> dict[int, str]:
    """Why each faulty row is left, and each that goes with one."""
    said: dict[int, list[str]] = defaultdict(list)
    for fault in parsed.faults:
        typed = f" '{fault.typed[:60]}'" if fault.typed.strip() else ""
        where = f"{fault.column}{typed}: " if fault.column else ""
        text = f"{where}{fault.reason}"
        if text not in said[fault.line]:
            said[fault.line].append(text)
    for line, others in parsed.tied.items():
        for other in others - set(said):
            said[other].append(f"Row {line} says otherwise of the same thing.")
    by_owner = {parsed.owners[line]: line for line in sorted(said, reverse=True) if line in parsed.owners}
    for line, owner in parsed.owners.items():
        if line not in said and line not in parsed.passed and owner in by_owner:
            said[line].append(f"It goes with row {by_owner[owner]}, which cannot be taken.")
    return {line: "; ".join(texts) for line, texts in said.items()}


def preview_sound(
    lab: Lab, raw: RawTable, mapping: TableMapping, *, update: bool = False, stop: Callable[[], bool] = lambda: False
) -> SoundRows:
    """What taking the sound rows would do, and what is left; nothing is written."""
    with lab.reading() as record:
        now = clock.in_zone(lab.now(), lab.zone)
        return part_rows(record, raw, mapping, lab.zone, now, update=update, stop=stop)


@dataclass(frozen=True, slots=True)
class SoundImport:
    """What became of a file whose sound rows were taken."""

    report: ImportReport
    sound: SoundRows
    left_in: Path | None
    """The table of what was left; None where everything was taken."""


def take_sound(
    lab: Lab,
    raw: RawTable,
    mapping: TableMapping,
    *,
    update: bool = False,
    who: str | None = None,
    left: Path | None = None,
    before: Callable[[list[str]], None] = lambda notes: None,
) -> SoundImport:
    """The sound rows in one act, and the others in a table beside the file; that is written first, so that nothing is
    lost whatever becomes of the act.

    Raises
    ------
    FaultyFolder
        No row is sound, or a fault of the file as a whole; nothing was written.
    """
    sound = preview_sound(lab, raw, mapping, update=update)
    if not sound.taken:
        raise FaultyFolder([Fault(raw.path.name, line, "", reason) for line, reason in sound.left.items()])
    before([*sound.questions, *sound.preview.notes])
    path = None
    if sound.left:
        path = left if left is not None else free_name(raw.path.with_name(f"{raw.path.stem or 'table'} left.csv"))
        _save_left(path, raw, sound)
    try:
        report = take_in(
            lab, sound.preview.understood, f"Read in the sound rows of {raw.path.name}", update=update, who=who
        )
    except Exception:
        if path is not None:
            path.unlink(missing_ok=True)
        raise
    return SoundImport(report, sound, path)


def left_rows(raw: RawTable, sound: SoundRows) -> Iterable[list[str]]:
    """Headings and rows of the table of what was left, cells as they stood, each with why."""
    layout = sound.preview.understood.layout
    assert layout is not None
    width = max([raw.width, *(len(cells) for _, cells in layout.heading_rows)])
    for number, (_, cells) in enumerate(layout.heading_rows):
        yield [*cells, *[""] * (width - len(cells)), WHY if number == 0 else ""]
    for line, cells in raw.rows:
        if line in sound.left:
            yield [*cells, *[""] * (width - len(cells)), safe_cell(f"row {line}: {sound.left[line]}")]


def _save_left(path: Path, raw: RawTable, sound: SoundRows) -> None:
    text = io.StringIO(newline="")
    for cells in left_rows(raw, sound):
        text.write(write_cells(cells, DELIMITERS[raw.delimiter]))
    try:
        if not write_whole(path, text.getvalue(), encoding="utf-8-sig", replace=False):
            raise BadInput(f"{path} is there already.", "Name another file with --left.", field="--left")
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.", "Name another place with --left.") from error
