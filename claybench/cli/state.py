"""What was said before the command: which lab."""

from __future__ import annotations

from dataclasses import dataclass

import typer


@dataclass(slots=True)
class State:
    """What was said before the command."""

    lab: str | None = None


def named_lab(context: typer.Context) -> str | None:
    """The lab that was named on the line, as a path or an address."""
    state = context.find_root().obj
    return state.lab if isinstance(state, State) else None
