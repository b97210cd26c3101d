"""`python -m tests.exchange.tables`: how the messy tables of this folder are read, by table and in all.

`-v` says what became of each row that did not come out.
"""

from __future__ import annotations

import sys

from tests.exchange.tables.outcomes import Outcome, read_all, total_of


def main() -> int:
    """Print a line for each table; exit 1 where a row is silently wrong."""
    outcomes = read_all()
    lines = [f"{'table':24}{'rows':>6}{'at once':>9}{'answered':>10}{'left':>6}{'refused':>9}{'wrong':>7}"]
    for each in (*outcomes, total_of(outcomes)):
        lines.append(_line(each))
        if "-v" in sys.argv:
            lines += [f"    {line}: {text}" for line, text in sorted(each.remarks.items())]
    lines.append(
        "at once: right with --as alone; answered: right after the questions of the table are answered (one, unless a "
        "table has more);\nleft: left with a true reason; refused: left though a person could read it; wrong: taken "
        "otherwise than a person would."
    )
    sys.stdout.write("\n".join(lines) + "\n")
    return 1 if any(each.wrong for each in outcomes) else 0


def _line(each: Outcome) -> str:
    counts = (each.at_once, each.answered, each.left, each.refused, each.wrong)
    columns = "".join(f"{count:>{width}}" for count, width in zip(counts, (9, 10, 6, 9, 7), strict=True))
    return f"{each.name:24}{each.rows:>6}{columns}"


if __name__ == "__main__":
    sys.exit(main())
