"""The act of changing a setting, checked against the dictionary."""

from __future__ import annotations

from claybench.quantity.setting import check_setting
from claybench.record.lab import Lab
from claybench.terms import Setting


def set_setting(lab: Lab, name: str, value: str) -> None:
    """Set one setting of the lab."""
    value = check_setting(name, value)
    with lab.acting(f"Set {name.replace('_', ' ')}") as act:
        if act.rows(Setting, name=name):
            act.change(Setting, name, {"value": value})
        else:
            act.add(Setting(name=name, value=value))
