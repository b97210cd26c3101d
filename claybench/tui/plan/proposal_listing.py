"""What a plan proposes as tables to save: every body in full, however little of it the screen has room for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench.insight.plan.design.targets import target_label
from claybench.tui.plain_table import PlainTable

if TYPE_CHECKING:
    from claybench.insight.plan.next_set.next_set import NextSet


def proposal_listings(next_set: NextSet, made: dict[int, str], zone: str) -> list[PlainTable]:
    """The bodies with what is predicted of them, and when what is poured."""
    parts, fixed = list(next_set.bodies[0].parts), list(next_set.bodies[0].fixed)
    targets = list(next_set.request.targets)
    headings = ["number", "chance (%)", "made as", *(f"{name} (parts)" for name in parts)]
    headings += [f"{name} (on top)" for name in fixed]
    labels = [target_label(name, next_set.properties) for name in targets]
    headings += [f"{label}, {word}" for label in labels for word in ("median", "90 % low", "90 % high")]
    headings += ["slab", f"start ({zone})", "why"]
    rows = []
    for number, body in enumerate(next_set.bodies, 1):
        row: list[object] = [number, 100 * body.chance, made.get(number)]
        row += [body.parts.get(name) for name in parts] + [body.fixed.get(name) for name in fixed]
        for name in targets:
            one = body.predicted.get(name)
            row += [None, None, None] if one is None else [one.median, one.low, one.high]
        rows.append((*row, body.slab, body.start, body.reason))
    calendar = tuple((row.at, row.text) for row in next_set.calendar)
    return [
        PlainTable("proposal", tuple(headings), tuple(rows)),
        PlainTable("calendar", (f"when ({zone})", "what"), calendar),
    ]
