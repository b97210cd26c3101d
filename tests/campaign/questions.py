"""How often a sound lab is asked whether it means what it does: `python -m tests.campaign.questions [--seeds N]`.

A made-up lab in which nothing is wrong is entered act by act, each at its own hour, by the same declarations as a form
or a command; every question is counted, answered with yes, and the lab goes on.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from claybench.acts.act import Act, Values, perform
from claybench.acts.layers import LIFT, POUR, TOUCH
from claybench.acts.slabs import AIR, event_act
from claybench.errors import Unanswered
from claybench.record.lab import Lab
from claybench.record.opening import create_lab
from tests.campaign.simulate import MadeLab, make_lab

LIMIT = 2.0
"""Questions in a hundred acts of a sound lab, at most."""


@dataclass
class Asked:
    """What one lab was asked."""

    acts: int = 0
    asked: int = 0
    """Acts that were asked about: all reasons of one stand in one question."""
    kinds: Counter[str] = field(default_factory=Counter)
    examples: dict[str, str] = field(default_factory=dict)

    @property
    def in_a_hundred(self) -> float:
        """Questions in a hundred acts."""
        return 100 * self.asked / max(self.acts, 1)


def count_questions(made: MadeLab, folder: Path) -> Asked:
    """Enter a made-up lab act by act."""
    found = Asked()
    lab = create_lab(folder / "sound.claybench", name="sound", zone="UTC")
    moment = [made.slabs and min(event.at for event in made.events)]
    lab.now = lambda: moment[0]  # type: ignore[method-assign]
    _begin(lab, made)
    for at, act, values in sorted(_acts(made), key=lambda each: each[0]):
        moment[0] = at
        _do(lab, act, values, at, found)
    lab.close()
    return found


def _begin(lab: Lab, made: MadeLab) -> None:
    with lab.acting("Begin") as act:
        for rows in (made.families, made.materials, made.bodies, made.body_lines, made.slabs):
            act.add_many(rows)
        act.add_many(made.batches)


def _acts(made: MadeLab) -> Iterator[tuple[datetime, Act, Values]]:
    for event in made.events:
        names = event_act(event.event).names
        yield event.at, event_act(event.event), {name: getattr(event, name) for name in names}
    for row in made.air:
        yield row.at, AIR, {name: getattr(row, name) for name in AIR.names}
    for run in made.runs:
        poured = {name: getattr(run, name, None) for name in POUR.names}
        yield run.started_at, POUR, {**poured, "body": None, "family": None}
        if run.ended_at is not None:
            yield run.ended_at, LIFT, {name: getattr(run, name) for name in LIFT.names}
    for check in made.checks:
        yield check.at, TOUCH, {name: getattr(check, name) for name in TOUCH.names}


def _do(lab: Lab, act: Act, values: Values, at: datetime, found: Asked) -> None:
    found.acts += 1
    try:
        perform(lab, act, values, now=at)
    except Unanswered as asked:
        found.asked += 1
        for question in asked.questions:
            found.kinds[f"{act.name}: {question.kind}"] += 1
            found.examples.setdefault(f"{act.name}: {question.kind}", question.text)
        perform(lab, act, values, now=at, anyway=True)


def main() -> None:
    """Read the options, count, print."""
    options = argparse.ArgumentParser(prog="python -m tests.campaign.questions", description=__doc__)
    options.add_argument("--seeds", type=int, default=10, help="made-up labs")
    options.add_argument("--days", type=int, default=60, help="days that each lab lives")
    given = options.parse_args()
    every = Asked()
    for seed in range(1, given.seeds + 1):
        with tempfile.TemporaryDirectory() as folder:
            one = count_questions(make_lab(seed, days=given.days), Path(folder))
        every.acts, every.asked, every.kinds = every.acts + one.acts, every.asked + one.asked, every.kinds + one.kinds
        every.examples = {**one.examples, **every.examples}
        sys.stdout.write(f"lab {seed}: {one.asked} of {one.acts} acts asked about, {one.in_a_hundred:.2f} in 100\n")
    sys.stdout.write(f"all: {every.asked} of {every.acts}, {every.in_a_hundred:.2f} in 100 (at most {LIMIT:g})\n")
    for kind, count in every.kinds.most_common():
        sys.stdout.write(f"  {count:4d}  {kind}: {every.examples[kind]}\n")


if __name__ == "__main__":
    main()
