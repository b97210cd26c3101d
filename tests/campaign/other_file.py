"""Writes a made-up lab to a file, and its truth beside it.

`python -m tests.campaign.other_file PATH [--seed N] [--days N] [--slabs N] [--change KIND[@SLAB[@DAY]]] …` makes
PATH, a lab, and PATH with `.truth.json` after it.
"""

from __future__ import annotations

import argparse
import json
import math
from dataclasses import asdict
from datetime import datetime
from pathlib import Path

from claybench.record.opening import create_lab
from tests.campaign.other_lab import make_other_lab
from tests.campaign.other_truth import Change, OtherLab


def write_lab(made: OtherLab, path: Path, name: str = "an invented lab") -> None:
    """Enter every row at once."""
    lab = create_lab(path, name=name, zone="UTC")
    with lab.acting("Enter an invented lab") as act:
        for rows in (
            made.families, made.materials, made.bodies, made.body_lines, made.slabs, made.batches, made.batch_lines,
            made.events, made.air, made.runs, made.checks,
        ):  # fmt: skip
            act.add_many(rows)
    lab.close()


def truth_of(made: OtherLab) -> dict[str, object]:
    """Runs and changes, ready for JSON; what never came is null."""
    return {
        "runs": [{name: _plain(value) for name, value in asdict(each).items()} for each in made.truth],
        "changes": [{name: _plain(value) for name, value in asdict(each).items()} for each in made.changes],
    }


def _plain(value: object) -> object:
    if isinstance(value, datetime):
        return value.isoformat()
    return None if isinstance(value, float) and not math.isfinite(value) else value


def _change(text: str) -> Change:
    kind, *rest = text.split("@")
    return Change(kind, rest[0] if rest and rest[0] else None, float(rest[1]) if len(rest) > 1 else None)


def main() -> None:
    """Read the options, make, write."""
    options = argparse.ArgumentParser(prog="python -m tests.campaign.other_file", description=__doc__)
    options.add_argument("path", type=Path)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--days", type=int, default=125)
    options.add_argument("--slabs", type=int, default=9)
    options.add_argument("--runs-per-day", type=float, default=3.5)
    options.add_argument("--change", type=_change, action="append", default=[], help="KIND[@SLAB[@DAY]]")
    given = options.parse_args()
    made = make_other_lab(
        given.seed, days=given.days, slabs=given.slabs, runs_per_day=given.runs_per_day, changes=given.change
    )
    write_lab(made, given.path)
    Path(f"{given.path}.truth.json").write_text(json.dumps(truth_of(made), indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
