"""Commands on a whole lab: new, demo, import, export, undo, redo, history, backups, settings, faulty."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import typer

from claybench import ask, exchange, record, tui, work
from claybench.acts.settings import setting_act
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import Anyway, AsOf, Csv, Json
from claybench.cli.output import emit_rows, refuse_stdout, say, say_report, values_of, write_plain_table
from claybench.cli.record_acts import Answers, record_act
from claybench.cli.state import named_lab
from claybench.errors import BadInput, CannotOpen
from claybench.quantity.shown import unit_sign
from claybench.terms import SETTINGS, TABLES


def sample_folder() -> Path:
    """The folder of the sample lab."""
    package = Path(__file__).parent.parent
    for folder in (package / "sample_lab", package.parent / "sample_lab"):
        if (folder / "settings.csv").is_file():
            return folder
    raise CannotOpen("The sample lab was not installed with claybench.", "Install claybench again, from its wheel.")


def new(
    path: str = typer.Argument(..., help="Where the lab's file is made, or the address of an empty database."),
    name: str = typer.Option("", help="Name of the lab; it stands on every screen and sheet."),
    zone: str = typer.Option("", help="Time zone, such as Europe/Lisbon; this machine's where empty."),
) -> None:
    """Make an empty lab and print its path."""
    refuse_stdout(Path(path), "A lab")
    record.opening.create_lab(path, name=name or Path(path.partition("?")[0]).stem, zone=zone).close()
    sys.stdout.write(f"{path}\n")


def demo(
    keep: Path | None = typer.Option(None, "--keep", help="Keep the lab in this file; else it is thrown away."),
    show: bool = typer.Option(True, "--show/--no-show", help="Open it on the screen."),
) -> None:
    """Make a lab from the sample and open it; thrown away afterwards."""
    refuse_stdout(keep, "A lab")
    with tempfile.TemporaryDirectory(prefix="claybench-") as folder:
        path = keep or Path(folder) / "demo.claybench"
        lab = record.opening.create_lab(path, name="Sample", zone="UTC")
        exchange.folder_in.import_folder(lab, sample_folder())
        newest, zone = ask.history.newest_entry(lab), lab.zone
        lab.close()
        if keep is not None:
            sys.stdout.write(f"{path}\n")
            if newest is not None:
                then = f"{newest.astimezone(zone):%Y-%m-%d %H:%M}"
                say(
                    f"On the demonstration's screen the clock starts at the newest entry, {then}. Opened with --lab it goes by the real"
                    f" clock, as any lab does; --as-of '{then}' asks about it as it is here."
                )
        if show:
            raise typer.Exit(tui.main.run_notebook(str(path), follow_record=True))


def import_(
    context: typer.Context,
    folder: Path = typer.Argument(..., help="Folder with the CSV files of a lab."),
    update: bool = typer.Option(False, "--update", help="Rows that are there already take the file's values."),
) -> None:
    """Read a lab folder: all of it, or nothing with every fault listed."""
    with opened(context) as lab:
        report = exchange.folder_in.import_folder(lab, folder, update=update)
    say_report(report)


def export(
    context: typer.Context, folder: Path = typer.Argument(..., help="A folder that does not exist yet.")
) -> None:
    """Write the lab as a folder of CSV files."""
    refuse_stdout(folder, "A folder of CSV files", "folder")
    with opened(context) as lab:
        files = exchange.folder_out.export_folder(lab, folder)
    say(f"{len(files)} files written.")
    sys.stdout.write(f"{folder}\n")


def undo(
    context: typer.Context,
    number: int | None = typer.Argument(
        None, metavar="act", help="An act by its number in the history; else the last."
    ),
) -> None:
    """Take back the last act of this bench, or one of the history."""
    with opened(context) as lab:
        if number is None:
            entry = work.any_row.undo_last(lab)
        else:
            entry = ask.history.act_page(lab, number).entry
            record.undoing.undo_act(lab, number, chosen=True)
    say("There is nothing to take back." if entry is None else f"{record.history.undo_label(entry)}.")


def redo(context: typer.Context) -> None:
    """Do again what was taken back last."""
    with opened(context) as lab:
        entry = work.any_row.redo_last(lab)
    say("There is nothing to do again." if entry is None else f"{record.history.undo_label(entry)}.")


def history(
    context: typer.Context,
    number: int | None = typer.Argument(None, metavar="act", help="An act, to see each value it changed."),
    count: int = typer.Option(30, "--count", min=1, max=100_000, help="How many acts."),
    as_json: bool = Json,
    as_csv: bool = Csv,
) -> None:
    """What was done, newest first; or what one act changed, with each value before and after it."""
    if number is not None:
        return _write_act(context, number, as_json, as_csv)
    with opened(context) as lab, lab.reading() as reader:
        entries, zone = record.history.list_acts(reader, limit=count), lab.zone
    if as_json or as_csv:
        rows = [{"act": each.id, **values_of(each, "at", "label", "who", "bench")} for each in entries]
        return emit_rows(rows, as_csv)
    write_plain_table(
        ["act", "when", "what was done"],
        [[str(each.id), f"{each.at.astimezone(zone):%Y-%m-%d %H:%M}", each.label] for each in entries],
    )
    return None


def _write_act(context: typer.Context, number: int, as_json: bool, as_csv: bool) -> None:
    with opened(context) as lab:
        page = ask.history.act_page(lab, number)
    if not as_json and not as_csv:
        say(page.entry.label)
        for line in page.lines():
            sys.stdout.write(f"{line}\n")
        return None
    rows = [
        {
            "kind": row.kind,
            "table": row.table,
            "key": dict(zip(TABLES[row.table].key, row.key, strict=True)),
            "values": {column.name: {"before": before, "after": after} for column, before, after in row.values},
        }
        for row in page.rows
    ]
    return emit_rows(rows, as_csv)


def backups(
    context: typer.Context,
    to: Path | None = typer.Option(None, "--copy-to", help="Copy the lab as it is now to this new file."),
) -> None:
    """The copies kept of a lab's file, newest first; each opens with --lab."""
    refuse_stdout(to, "A copy of a lab")
    named = named_lab(context)
    if named is not None and "://" in named:
        raise BadInput("Copies are kept of lab files only.", "Use the server's own way to copy a database.")
    lab = Path(named) if named else record.opening.default_path()
    if to is not None:
        with opened(context):
            record.backup.copy_database(lab, to)
        say(f"Copied to {to}.")
    for kept in record.backup.list_backups(lab):
        sys.stdout.write(f"{kept.path}\n")


def settings(
    context: typer.Context,
    name: str = typer.Argument("", help="A setting; all of them where empty."),
    value: str | None = typer.Argument(None, help="Its new value, as typed: 25 kg, 8:30, Europe/Lisbon."),
    anyway: bool = Anyway,
) -> None:
    """Show the lab's settings, or change one."""
    act = setting_act(name) if name else None
    with opened(context) as lab:
        if act is not None and value is not None:
            record_act(lab, act, {"value": value}, Answers(anyway))
        held = ask.bodies.body_codes(lab)[1]
        shown = [term for term in SETTINGS.values() if not name or term.name == name]
        write_plain_table(
            ["setting", "value", "unit", "what it is"],
            [[term.name, held.text_of(term.name), unit_sign(term.unit), term.label] for term in shown],
        )


def faulty(context: typer.Context, as_of: str | None = AsOf, as_json: bool = Json, as_csv: bool = Csv) -> None:
    """Rows and settings that cannot be used as they stand, and why; everything else is answered without them."""
    with opened(context) as lab:
        rows = ask.snapshot.faulty_rows(lab, as_of=read_moment(lab, as_of))
    if as_json or as_csv:
        emit_rows(
            [
                {
                    "table": each.table.name,
                    "key": dict(zip(each.table.key, each.key, strict=True)),
                    **values_of(each, "column", "reason", "left_out"),
                }
                for each in rows
            ],
            as_csv,
        )
        return
    write_plain_table(
        ["what", "column", "why", "what follows"],
        [[each.named, each.column, each.reason, each.consequence] for each in rows],
        "Every row and every setting can be used as it stands.",
    )
