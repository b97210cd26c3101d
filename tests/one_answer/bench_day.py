"""A day at the bench, told in a few lines: rows of a lab folder, then commands and what they should say.

Rows are written short, one a line: a table's word, its key, and what differs from a sound default. The lab is read
in with `claybench import`, and everything is asked by commands: nothing here knows the code behind them.
"""

from __future__ import annotations

import csv
import re
import shlex
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.cli.conftest import Answer, Command

NOW = "2026-03-10 09:00"
FINE, ASK, NO = "fine", "ask", "no"
ABSENT = "absent"  # a slab that a list does not show at all

# a layer of 10 mm on the whole of a slab, which is one batch: 1600 mL that weigh 1.45 g/mL
LAYER = "--mass 2320g --area 1600cm2"

# what a row says where its line says nothing: (file, key columns, the other columns)
TABLES: dict[str, tuple[str, tuple[str, ...], dict[str, str]]] = {
    "family": ("families", ("family", "stain_rank"), {}),
    "body": ("bodies", ("body",), {"family": "white", "slip_sg": "1.45"}),
    "line": ("body_lines", ("body", "material"), {"position": "1", "parts": "100"}),
    "slab": (
        "slabs",
        ("slab",),
        {
            "family": "white",
            "length_mm": "500",
            "width_mm": "400",
            "thickness_mm": "45",
            "usable_area_cm2": "1600",
            "mix_ratio": "70",
            "plaster_g": "8430",
            "water_g": "5900",
            "cast_at": "2026-02-01T10:00",
            "in_service_on": "2026-02-20",
            "dry_mass_g": "10000",
        },
    ),
    "old_slab": ("slabs", ("slab",), {"length_mm": "500", "width_mm": "400", "thickness_mm": "45", "family": "white"}),
    "log": ("slab_log", ("slab", "at", "event"), {}),
    "air": ("air", ("at", "place"), {}),
    "batch": (
        "batches",
        ("batch", "body"),
        {"mixed_at": "2026-03-09T16:00", "dry_mass_g": "1170", "water_g": "1150", "slip_sg": "1.45"},
    ),
    "bare_batch": ("batches", ("batch", "body"), {"mixed_at": "2026-03-09T16:00"}),
    "batch_log": ("batch_log", ("batch", "at", "event"), {}),
    "run": ("runs", ("run", "batch", "slab", "started_at"), {"face": "form", "poured_g": "2320", "area_cm2": "1600"}),
    "bare_run": ("runs", ("run", "batch", "slab", "started_at"), {}),
    "check": ("checks", ("run", "at", "feel"), {}),
    "piece": ("pieces", ("piece", "batch", "run"), {"shape": "bar"}),
    "fault": ("faults", ("run", "seen_on", "fault"), {}),
}
ALWAYS = """
    family white 0
    family buff 1
    family red 2
    body W
    body B family=buff
    body R family=red
    body N family=
    line W kaolin
    line R kaolin
"""
PLAN = """
title = "first set"
family = "white"
count = 2
[materials]
"kaolin" = [20, 80]
"feldspar" = [20, 80]
[targets]
absorption_pct = [0, 2]
"""
_TIME = re.compile(r"^\d{4}-\d\d-\d\dT\d\d:\d\d$")


def write_folder(folder: Path, rows: str) -> None:
    """Write the lines as a lab folder; a time without an offset is meant in UTC."""
    files: dict[str, list[dict[str, str]]] = defaultdict(list)
    for line in filter(None, map(str.strip, (ALWAYS + rows).splitlines())):
        word, *rest = shlex.split(line)
        name, keys, usual = TABLES[word]
        given = rest[: len(keys)]
        assert len(given) == len(keys), line
        row = usual | dict(zip(keys, given, strict=True)) | dict(each.split("=", 1) for each in rest[len(keys) :])
        files[name].append({key: value + ":00+00:00" if _TIME.match(value) else value for key, value in row.items()})
    folder.mkdir()
    for name, said in files.items():
        columns = dict.fromkeys(column for row in said for column in row)
        with (folder / f"{name}.csv").open("w", newline="", encoding="utf-8") as file:
            table = csv.DictWriter(file, list(columns), restval="", lineterminator="\n")
            table.writeheader()
            table.writerows(said)


@dataclass
class Bench:
    """One lab, the commands given to it, and how many of them wrote."""

    command: Command
    lab: Path
    acts: int = 0
    faults: list[str] = field(default_factory=list)

    def give(self, line: str, writes: bool = False) -> Answer:
        """Give one command, as it would be typed."""
        answer = self.command("--lab", self.lab, *shlex.split(line))
        self.acts += writes and answer.code == 0
        return answer

    def holds(self, true: bool, what: str) -> None:
        """Note a fault, and go on: one run tells all that is wrong with a day."""
        if not true:
            self.faults.append(what)


Question = Callable[[Bench], None]


@dataclass(frozen=True, slots=True)
class Day:
    """A short story, the record it left, and what the notebook should say to it."""

    name: str
    story: str
    rows: str
    asked: tuple[Question, ...]


def day(name: str, story: str, rows: str, *asked: Question) -> Day:
    """A day, its questions in the order in which they are asked."""
    return Day(name, story, rows, asked)


def ask_all(bench: Bench, told: Day) -> None:
    """Read the day's record in, ask every question, and see that nothing was written but by what was done."""
    folder = bench.lab.parent / "folder"
    write_folder(folder, told.rows)
    read = bench.give(f"import {shlex.quote(str(folder))}", writes=True)
    assert read.code == 0, read.err
    for question in told.asked:
        question(bench)
    newest = bench.give("history --count 1 --json").json[0]
    # the first act of all made the lab
    bench.holds(newest["act"] == 1 + bench.acts, f"something was written that was not done; last: {newest['label']}")
    assert not bench.faults, "\n".join([told.name, told.story, *bench.faults])


def _grade(bench: Bench, where: str, layer: dict[str, Any], grade: str, words: tuple[str, ...]) -> None:
    """Hold a grade and its reasons against what is expected of them."""
    said = f"{where}: {layer['grade']} {layer['reasons']}"
    bench.holds(layer["grade"] == grade, f"{said}; expected {grade}")
    bench.holds((layer["grade"] == FINE) == (not layer["reasons"]), f"{said}; reasons belong to what is not fine")
    for word in words:
        bench.holds(any(re.search(word, each, re.I) for each in layer["reasons"]), f"{said}; no word of {word!r}")


def _as_of(at: str) -> str:
    return f" --as-of '{at}'" if at else ""


def says(slab: str, grade: str, *words: str, at: str = NOW, verdict: str = "", silent: str = "") -> Question:
    """What `claybench slabs` says of a layer of the slab's own family; `at` empty: now."""

    def question(bench: Bench) -> None:
        rows = {each["slab"]: each for each in bench.give(f"slabs --json{_as_of(at)}").json}
        where = f"slabs at {at}, {slab}"
        if grade == ABSENT:
            bench.holds(slab not in rows, f"{where} is still listed")
            return
        bench.holds(slab in rows, f"{where} is not listed")
        if slab not in rows:
            return
        row = rows[slab]
        _grade(bench, where, row["layer"], grade, words)
        if silent:
            bench.holds(not re.search(silent, " ".join(row["layer"]["reasons"]), re.I), f"{where} speaks of {silent}")
        if verdict:
            bench.holds(row["verdict"] == verdict, f"{where} is {row['verdict']}; expected {verdict}")
            bench.holds(bool(row["evidence"]), f"{where} gives no evidence")

    return question


def forecast(body: str, slab: str, grade: str, *words: str, at: str = NOW, layer: str = "10mm") -> Question:
    """What a forecast for a layer of a body says of a slab; `NO`: it does not offer it, or says why not."""

    def question(bench: Bench) -> None:
        named = "" if grade == NO else f"--slab {slab}"
        answer = bench.give(f"forecast --body {body} {named} --layer {layer} --json --as-of '{at}'")
        rows = {each["slab"]: each for each in answer.json} if answer.code == 0 else {}
        where = f"forecast of {body} at {at}, {slab}"
        if grade == NO:
            row = rows.get(slab)
            bench.holds(row is None or bool(row["not_now"]), f"{where} is offered")
            if row is not None:
                _grade(bench, where, row["layer"], NO, words)
            return
        bench.holds(slab in rows, f"{where} is not there: {answer.code} {answer.err}")
        if slab in rows:
            _grade(bench, where, rows[slab]["layer"], grade, words)
            if grade == FINE:
                bench.holds(rows[slab]["not_now"] is None, f"{where}: not now, {rows[slab]['not_now']}")

    return question


def sizing(slab: str, offered: bool, body: str = "W", at: str = NOW) -> Question:
    """Whether the sizing of a batch of slip offers a slab."""

    def question(bench: Bench) -> None:
        answer = bench.give(f"mix slip --body {body} --dry 1000g --json --as-of '{at}'")
        assert answer.code == 0, answer.err
        taking = {each["slab"] for each in answer.json["slabs"] if each["takes"] != "no"}
        bench.holds((slab in taking) == offered, f"sizing at {at} offers {sorted(taking)}: {answer.json['slabs']}")

    return question


def schedules(*slabs: str, at: str = NOW) -> Question:
    """On which slabs a plan for a first set of white bodies puts its layers."""

    def question(bench: Bench) -> None:
        plan = bench.lab.parent / "plan.toml"
        plan.write_text(PLAN, encoding="utf-8")
        answer = bench.give(f"plan {shlex.quote(str(plan))} --json --as-of '{at}'")
        assert answer.code == 0, answer.err
        planned = {layer["slab"] for body in answer.json["bodies"] for layer in body["layers"]}
        bench.holds(
            planned == set(slabs), f"the plan puts layers on {sorted(map(str, planned))}, not on {sorted(slabs)}"
        )

    return question


def _pour(what: str, at: str) -> str:
    amount = "" if re.search(r"--(mass|layer|area)", what) else f" {LAYER}"
    return f"pour {what}{amount}" + (f" --at '{at}'" if at else "")


def pours(what: str, at: str = NOW) -> Question:
    """A pour that nothing speaks against: it is recorded, and nothing is asked."""
    return does(_pour(what, at))


def asks(what: str, *words: str, at: str = NOW, silent: str = "") -> Question:
    """A pour that is asked about, all reasons at once, and not recorded; `silent`: what is not asked about."""
    return asks_before(_pour(what, at), *words, silent=silent)


def anyway(what: str, at: str = NOW) -> Question:
    """A pour that is asked about, and wanted."""
    return does(_pour(what, at) + " --anyway")


def refuses(what: str, at: str = NOW, code: int = 2) -> Question:
    """A pour that cannot be, even `--anyway`."""

    def question(bench: Bench) -> None:
        for line in (_pour(what, at), _pour(what, at) + " --anyway"):
            answer = bench.give(line, writes=True)
            bench.holds(answer.code == code, f"{line}: {answer.code}, expected {code}: {answer.err}")

    return question


def does(line: str, code: int = 0) -> Question:
    """A command that ends with this code."""

    def question(bench: Bench) -> None:
        answer = bench.give(line, writes=True)
        bench.holds(answer.code == code, f"{line}: {answer.code}, expected {code}: {answer.err}")

    return question


def asks_before(line: str, *words: str, silent: str = "") -> Question:
    """A command that asks before it writes, in one question with all these words."""

    def question(bench: Bench) -> None:
        answer = bench.give(line, writes=True)
        bench.holds(answer.code == 7, f"{line}: {answer.code}, expected 7: {answer.err}")
        for word in words:
            bench.holds(bool(re.search(word, answer.err, re.I)), f"{line}: no word of {word!r} in {answer.err}")
        if silent:
            bench.holds(not re.search(silent, answer.err, re.I), f"{line}: speaks of {silent!r}: {answer.err}")

    return question
