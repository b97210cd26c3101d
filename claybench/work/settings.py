"""The acts on what a lab keeps for itself: a setting, and questions kept by name."""

from __future__ import annotations

import unicodedata

from claybench.errors import BadInput, NotFound
from claybench.quantity.setting import check_setting
from claybench.record.act import Writer
from claybench.record.lab import Lab
from claybench.terms import CODE_LENGTH, KEPT_QUESTION, Setting


def set_setting(lab: Lab, name: str, value: str) -> None:
    """Set one setting of the lab."""
    value = check_setting(name, value)
    with lab.acting(f"Set {name.replace('_', ' ')}") as act:
        if act.rows(Setting, name=name):
            act.change(Setting, name, {"value": value})
        else:
            act.add(Setting(name=name, value=value))


def keep_question(lab: Lab, name: str, line: str) -> None:
    """Keep a question under a name; one of that name is replaced, and undo brings it back."""
    name, line = _name(name), line.strip()
    if not line:
        raise BadInput("There is no question to keep.", "Ask one first.", field="line")
    with lab.acting(f"Kept question {name}") as act:
        there = _find(act, name)
        if there is None:
            act.add(Setting(name=KEPT_QUESTION + name, value=line))
        else:
            act.change(Setting, there, {"value": line})


def rename_question(lab: Lab, old: str, new: str) -> None:
    """Call a kept question something else."""
    new = _name(new)
    with lab.acting(f"Renamed question {old} to {new}") as act:
        there = _needed(act, old)
        taken = _find(act, new)
        if taken is not None and taken != there:
            raise BadInput(f"There is a question '{new}' already.", "Choose another name.", field="name")
        act.change(Setting, there, {"name": KEPT_QUESTION + new})


def forget_question(lab: Lab, name: str) -> None:
    """Delete a kept question; undo brings it back."""
    with lab.acting(f"Deleted question {name}") as act:
        act.remove(Setting, _needed(act, name))


def _find(act: Writer, name: str) -> str | None:
    wanted = (KEPT_QUESTION + name.strip()).casefold()
    return next((row.name for row in act.rows(Setting) if row.name.casefold() == wanted), None)


def _needed(act: Writer, name: str) -> str:
    there = _find(act, name)
    if there is None:
        raise NotFound(f"There is no question '{name}'.", "See the list of kept ones.")
    return there


def _name(text: str) -> str:
    name = unicodedata.normalize("NFC", " ".join(text.split()))
    if not name:
        raise BadInput("The question has no name.", "Give it one, such as tight buff.", field="name")
    if len(name) > CODE_LENGTH:
        raise BadInput(f"That has {len(name)} characters.", f"Use {CODE_LENGTH} at most.", field="name")
    return name
