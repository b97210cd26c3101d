"""Wide tables for a person's own analysis: one row a piece and firing, one row a run; pandas frames."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import asdict, fields
from typing import TYPE_CHECKING, Any

from claybench.ask.lab_model import lab_model
from claybench.ask.pieces import piece_lines
from claybench.ask.properties import lab_properties
from claybench.errors import BadInput
from claybench.insight.drying.backtest import forecasts_at_pour
from claybench.measure.piece import PieceMeasures
from claybench.record.lab import Lab
from claybench.terms import Fired, Piece, Run

if TYPE_CHECKING:
    from datetime import datetime

    import pandas as pd

FRAMES = ("pieces", "runs")


def data_frame(
    lab: Lab, name: str, *, as_of: datetime | None = None, progress: Callable[[int, int], None] | None = None
) -> pd.DataFrame:
    """One of `FRAMES`; `progress` is told how far the forecasts of runs have come."""
    if name not in FRAMES:
        raise BadInput(f"There is no table '{name}'.", f"Choose one of {', '.join(FRAMES)}.", field="name")
    return pieces_frame(lab, as_of=as_of) if name == "pieces" else runs_frame(lab, as_of=as_of, progress=progress)


def pieces_frame(lab: Lab, *, as_of: datetime | None = None) -> pd.DataFrame:
    """Every piece in every firing (or before any), its readings and what follows from them."""
    import pandas as pd

    names, rows = lab_properties(lab).by_readings, []
    for line in piece_lines(lab, as_of=as_of):
        fired = asdict(line.fired) if line.fired is not None else {}
        fired.pop("piece", None)
        fired["fired_note"] = fired.pop("note", None)
        rows.append({"body": line.body} | asdict(line.piece) | fired | _measures(line.measures, names))
    of_fired = [name for name in _columns(Fired) if name not in ("piece", "note")]
    headings = dict.fromkeys(("body", *_columns(Piece), *of_fired, "fired_note", *names, "air_dry"))
    return pd.DataFrame(rows, columns=list(headings))


def _measures(measured: PieceMeasures, names: Iterable[str]) -> dict[str, float | bool | None]:
    return {name: measured.get(name) for name in names} | {"air_dry": measured.air_dry}


def _columns(row: type[Any]) -> list[str]:
    return [column.name for column in fields(row)]


def runs_frame(
    lab: Lab, *, as_of: datetime | None = None, progress: Callable[[int, int], None] | None = None
) -> pd.DataFrame:
    """Every run with its time to workable, the wetness it was begun at, what was forecast of it when it was poured, and
    what the fit says of it now, its own time and all later ones known."""
    import pandas as pd

    _, model = lab_model(lab, as_of=as_of)
    rows, at_pour = [], forecasts_at_pour(model.forecasts, model.poured, progress)
    for each in model.poured.values():
        seen, said, fitted = each.time, at_pour[each.run.run], model.forecasts.forecast_run(each.run.run)
        values = (
            seen.low_min if seen else None,
            seen.high_min if seen else None,
            seen.modelled if seen else None,
            each.layer.water_mm,
            each.wetness,
            said.median_min,
            said.low_min,
            said.high_min,
            fitted.median_min,
            fitted.low_min,
            fitted.high_min,
        )
        body = {"body": each.body.body, "family": each.body.family} if each.body else dict.fromkeys(("body", "family"))
        rows.append(body | asdict(each.run) | dict(zip(_TIMES, values, strict=True)))
    return pd.DataFrame(rows, columns=["body", "family", *_columns(Run), *_TIMES])


_TIMES = (
    "not_before_min",
    "not_after_min",
    "modelled",
    "water_mm",
    "wetness_at_start",
    "forecast_min",
    "forecast_low_min",
    "forecast_high_min",
    "fitted_min",
    "fitted_low_min",
    "fitted_high_min",
)
"""What is told of a run besides its row: `forecast_…` as it was said at its pour, `fitted_…` with all that is known
now, its own time included; low and high are those of 90 %, for one layer."""
