"""`python -m tests.campaign [--seeds N] [--held N] [--days N]` prints the table of docs/models.md."""

from __future__ import annotations

import argparse
import sys

from tests.campaign.measure import DAYS, HELD, measure, table


def main() -> None:
    """Read the options, measure, print."""
    asked = argparse.ArgumentParser(prog="python -m tests.campaign", description=__doc__)
    asked.add_argument("--seeds", type=int, default=10, help="made-up labs")
    asked.add_argument("--held", type=int, default=HELD, help="forecasts held in each")
    asked.add_argument("--days", type=int, default=DAYS, help="days that each lab lives")
    given = asked.parse_args()
    for line in table(measure(range(1, given.seeds + 1), held=given.held, days=given.days)):
        sys.stdout.write(line + "\n")


if __name__ == "__main__":
    main()
