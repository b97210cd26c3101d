"""Writes the pages of the reference that come from the code: `python -m tests.docs.reference`."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from claybench.cli.app import program
from claybench.quantity.shown import format_interval
from claybench.terms import SETTINGS, TABLES, Column, Table
from claybench.terms.sizing import BLEND, CORRECTION, SLAB, SLIP, SizingInput
from claybench.tui.keys import PLACES
from tests.docs import origins

SIZINGS = {"slip": SLIP, "slab": SLAB, "correct": CORRECTION, "blend": BLEND}
"""Every sizing by the name of its command."""
DOCS = Path(__file__).parent.parent.parent / "docs"
_KINDS = {
    "code": "code",
    "text": "text",
    "number": "number",
    "whole": "whole number",
    "time": "time with offset",
    "day": "date, or time with offset",
    "yesno": "yes or no",
}


_LAB_FOLDER = """\
# The lab folder

<!-- Written by `python -m tests.docs.reference`; a test fails when it is not up to date. -->

`claybench export DIR` writes a lab as a folder of CSV files, `claybench import DIR` reads one. UTF-8, one file
a table, an empty cell means not measured. Masses in g, lengths in mm, temperatures in °C; times written as
`2026-03-12T14:32:00+01:00`; the decimal point whatever the locale. A name with * has to be there.

An import is all or nothing: one bad row and nothing is written, with every fault listed as file, line, column
and reason. A row whose key is in the lab already and says the same is left alone; one that says something else
is a fault unless `--update` is given. Families, materials and lots that are named but not listed are made on
the way. Export, import and export again give the same bytes.

Format 2 came with properties, instruments, cones, people, reminders and profiles, and with further columns at the end
of their files. A folder in format 1 is still read; one in a newer format than this program knows is refused. The
record itself is brought up to date when it is opened, after a copy was put into its backups.

No form writes people, reminders, profiles and cones yet, nor the further columns of firings, fired pieces and photos,
nor of readings all but the instrument and the step: they come in by import and go out by export, `claybench amend` and
`claybench delete` change them, and the history shows them. A row of `readings` without a value that names an instrument
or a step says with what the reading on the card of a piece, or those of all pieces of a batch, was taken. What
`readings` says was read (`what`) is a measured column of anything, one of the words below, a property (built in, or
declared in `properties`), or an input of one (`property_inputs`).

A property that is declared is held to its declaration: it is none that every lab knows already, its unit is known, it
is not worked out from itself, a reading of it belongs to what it is a property `of`, lies within `low` and `high`, and
is from the lowest to the highest of its scores where those have words. A property, or an input that nothing else asks
for, is not deleted while a reading or a target names it; with a new code, its readings and targets follow.

*Known* is the moment from which a value counts for `--as-of`; where nothing stands, it counts with its row.
"""


def lab_folder() -> str:
    """The page on the lab folder: every file, every column, every word."""
    lines = _LAB_FOLDER.splitlines()
    for table in TABLES.values():
        lines += _table(table)
    lines += [
        "",
        "## Settings claybench reads",
        "",
        "| name | what it is | unit | until it is set |",
        "|---|---|---|---|",
    ]
    for term in SETTINGS.values():
        about = term.label + (f" ({term.help})" if term.help else "")
        lines.append(f"| {term.name} | {about} | {term.unit} | {term.default} |")
    return "\n".join(lines) + "\n"


def _table(table: Table) -> list[str]:
    about = (table.row.__doc__ or "").strip().splitlines()[0]
    notes = [f"Key: {', '.join(table.key)}."]
    if table.one_of:
        notes.append(f"{table.subjects().capitalize()} is filled.")
    if table.known:
        notes.append(f"A row counts from its {' or '.join(table.known)}.")
    elif table.parent:
        notes.append(f"A row counts from that of its {' or '.join(table.parent)}.")
    else:
        notes.append("A row counts always.")
    lines = ["", f"## {table.name}.csv", "", f"{about} {' '.join(notes)}", ""]
    lines += ["| column | what it is | kind | known |", "|---|---|---|---|"]
    return lines + [_column(column) for column in table.columns]


def _column(column: Column) -> str:
    kind = _KINDS.get(column.kind, "")
    if column.kind == "word":
        kind = ", ".join(column.words)
        kind += " …" if column.names else ""
    elif column.refers:
        kind = f"code of {column.refers}"
    elif column.kind in ("number", "whole"):
        unit = "" if column.unit == "1" else f" in {column.unit}"
        kind = f"{kind}{unit}, {column.limits()}" if column.limits() else f"{kind}{unit}"
    about = column.label + (f" ({column.help})" if column.help else "")
    return f"| {column.name}{'*' if column.required else ''} | {about} | {kind} | {column.known} |"


_MADE = "<!-- Written by `python -m tests.docs.reference`; a test fails when it is not up to date. -->"


def keys() -> str:
    """The page on keys."""
    lines = [
        "# Keys",
        "",
        _MADE,
        "",
        "The number keys go to the places. In a field they are typed; Esc leaves it first.",
    ]
    for name, group in PLACES.values():
        lines += ["", f"## {name}", "", "| key | what it does |", "|---|---|"]
        lines += [f"| {key.shown()} | {key.help} |" for key in group]
    return "\n".join(lines) + "\n"


def commands() -> str:
    """The page on commands, with the help of each."""
    figures = (["figure", name] for name in ("differences", "vitrification", "triangle"))
    named = [
        *([name] for name in _names() if name not in ("mix", "figure")),
        ["mix", "slab"],
        ["mix", "slip"],
        ["mix", "correct"],
        ["mix", "blend"],
        *figures,
    ]
    first, *helps = _helps([[], *named])
    lines = ["# Commands", "", _MADE, "", _COMMANDS.strip(), "", "```", first, "```"]
    for names, said in zip(named, helps, strict=True):
        lines += ["", f"## claybench {' '.join(names)}", "", "```", said, "```"]
    return "\n".join(lines) + "\n"


_COMMANDS = """
`claybench` without a command opens the notebook on the screen. `--lab L` (a path, or a database address) or the
environment's `CLAYBENCH_LAB` names another lab than the default one, before or after the command. Data goes to
stdout, everything else to stderr. Exit codes: 0 done, 2 an entry that cannot be used, 3 a lab that was not opened,
4 a code the lab does not know, 5 refused, 6 a folder with faults, 7 something unusual that was not wanted `--anyway`
(with `--json`, `asked` lists it), 130 stopped. A file that is there already is left alone, and that is said (5),
unless `--replace` is given; a lab or a copy of one is never written over.

`--as-of T` answers as if the record ended at T: a time as people say it, by the lab's own clock (`9am`,
`yesterday 18:10`, `Sun 9:00`, `2 days ago`, `2026-03-12 14:05`; [all of them](how-to.md)), or a date for the end of
that day. What was understood is said on stderr. With `--json`, times are UTC in ISO 8601 and spans are minutes.
"""


def _names() -> list[str]:
    return list(program().commands)


_ASK = """
import contextlib, io, json, sys
from claybench.__main__ import main
said = []
for names in json.load(sys.stdin):
    with contextlib.redirect_stdout(io.StringIO()) as help:
        assert main([*names, "--help"]) == 0, names
    said.append(help.getvalue())
json.dump(said, sys.stdout)
"""


def _helps(commands: list[list[str]]) -> list[str]:
    """The help of each command, as a program of its own says it that has read nothing of this one's environment."""
    done = subprocess.run(
        [sys.executable, "-c", _ASK],
        input=json.dumps(commands),
        capture_output=True,
        text=True,
        check=True,
        env=os.environ | {"COLUMNS": "100", "TERMINAL_WIDTH": "100"},
    )
    return ["\n".join(line.rstrip() for line in said.strip("\n").splitlines()) for said in json.loads(done.stdout)]


_SIZING = """
What each sizing asks for, on the screen (`3`) and as options of `claybench mix`. What is left out of a command has the
default that stands in the screen's form; *lab* is the lab's own setting. An amount is never assumed: a command says how
much, by pieces, by workable clay or by a dry mass; in the form the pieces that stand there give way to a mass that is
typed.

What lies outside the *possible* range is refused. What lies outside the *usual* one is asked about: it is shown beside
the answer (`?`), and a batch or slab is recorded from it only with `--anyway` (else exit code 7, and nothing is
written). Ranges are common practice, without a source.

A dose is **dry active mass** in per cent of the body's dry mass; a solution is weighed with its water on top.
`as supplied` after it says that it is of what comes out of the sack or the bottle: `sodium silicate 0.8 % as supplied`.
Several stand in one line with semicolons between, or in one option each. Doses of deflocculants: usual 0.05 to 1 %,
possible up to 5 %; of anything else: usual up to 5 %, possible up to 20 %. A material is a deflocculant if the lab says
so, or where it says nothing, by its name.
"""
_TITLES = {"slip": "A batch of slip", "slab": "A slab", "correct": "Slip too thick or too thin", "blend": "A blend"}


def sizing() -> str:
    """The page on what the sizings ask."""
    lines = ["# What the sizings ask", "", _MADE, "", *_SIZING.strip().splitlines()]
    for name, inputs in SIZINGS.items():
        lines += ["", f"## {_TITLES[name]}: `claybench mix {name}`", ""]
        lines += ["| field | option | what it is | default | possible | usual |", "|---|---|---|---|---|---|"]
        lines += [_input(one) for one in inputs.values()]
    return "\n".join(lines) + "\n"


def _input(one: SizingInput) -> str:
    field = "" if one.only == "command" else one.label
    option = "" if one.only == "screen" else f"`{one.flags or one.spelled}`"
    default = "lab" if one.setting else one.default + (" (form)" if one.said else "")
    about = ", ".join(one.words) + ("; " if one.words and one.help else "") + one.help
    return f"| {field} | {option} | {about} | {default} | {_span(one.possible, one)} | {_span(one.usual, one)} |"


def _span(limits: tuple[float | None, float | None], one: SizingInput) -> str:
    low, high = limits
    return "" if low is None or high is None else format_interval(low, high, one.unit, figures=6)


PAGES = {
    "lab-folder.md": lab_folder,
    "keys.md": keys,
    "commands.md": commands,
    "sizing.md": sizing,
    "facts.md": origins.page,
}


def main() -> None:
    """Write every page."""
    for name, page in PAGES.items():
        (DOCS / name).write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()
