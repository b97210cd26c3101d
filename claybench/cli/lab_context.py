"""The lab that a command is about: opened and closed, its settings and air, moments by its clock."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import typer

from claybench import ask, clock, insight, record
from claybench.cli.output import say
from claybench.cli.state import named_lab

if TYPE_CHECKING:
    from claybench.insight.air import AirConditions
    from claybench.insight.settings import Settings
    from claybench.record.lab import Lab


@contextmanager
def opened(context: typer.Context) -> Iterator[Lab]:
    """The lab that was named, or the default one; closed afterwards."""
    lab = record.opening.open_named(named_lab(context))
    try:
        yield lab
    finally:
        lab.close()


def read_moment(lab: Lab, text: str | None) -> datetime | None:
    """The moment of `--as-of`; what was understood is said, where that is not what was written."""
    if text is None:
        return None
    now = clock.in_zone(lab.now(), lab.zone)
    moment = clock.understand_as_of(text, now)
    if not text.strip()[:4].isdigit():
        say(f"As of {moment.describe(now)}.")
    return moment.value


def lab_settings(context: typer.Context) -> Settings:
    """The settings of the lab that was named; what is usual where none was, without making a lab."""
    if named_lab(context) is None:
        return insight.settings.Settings()
    with opened(context) as lab:
        return ask.bodies.body_codes(lab)[1]


def settings_and_air(context: typer.Context) -> tuple[Settings, tuple[AirConditions, AirConditions]]:
    """Settings, and the air of the room and before the fan; what is usual where no lab was named."""
    if named_lab(context) is None:
        usual = insight.settings.Settings()
        air, now = insight.air.AirRecord((), usual), datetime.now(UTC)
        return usual, (air.air_at_place("shelf", now), air.air_at_place("fan", now))
    with opened(context) as lab:
        start = ask.sizing_start.sizing_start(lab)
        return start.settings, (start.room, start.fan)
