"""The plan of a measurement study under way, kept as a draft so that it outlives the program."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from claybench.insight.pieces.measurement_study import StudyPlan

if TYPE_CHECKING:
    from claybench.tui.drafts import Drafts

_DRAFT = "study"


def keep_study(drafts: Drafts, plan: StudyPlan) -> None:
    """Keep the plan, in place of the one that was kept before."""
    drafts.keep(
        _DRAFT,
        {
            "reading": plan.reading,
            "pieces": "\n".join(plan.pieces),
            "hands": "\n".join(plan.operators),
            "rounds": str(plan.rounds),
            "firing": plan.firing or "",
            "begun": plan.begun.isoformat(),
        },
    )


def load_study(drafts: Drafts) -> StudyPlan | None:
    """The plan that was kept; None where none was, or where it cannot be read."""
    draft = drafts.load(_DRAFT)
    try:
        return StudyPlan(
            reading=draft["reading"],
            pieces=tuple(draft["pieces"].split("\n")),
            operators=tuple(draft["hands"].split("\n")),
            rounds=int(draft["rounds"]),
            firing=draft["firing"] or None,
            begun=datetime.fromisoformat(draft["begun"]),
        )
    except (KeyError, ValueError):
        return None


def drop_study(drafts: Drafts) -> None:
    """Forget the plan, once every reading of it is made."""
    drafts.drop(_DRAFT)
