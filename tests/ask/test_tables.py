"""Wide tables: what was said of a run then stands beside what is known of it now."""

from __future__ import annotations

import pytest

from claybench.ask.data_frames import runs_frame
from claybench.ask.lab_model import lab_model
from claybench.record.lab import Lab


@pytest.mark.slow
def test_said_at_the_pour_and_fitted_now_stand_side_by_side(sample_lab: Lab) -> None:
    frame = runs_frame(sample_lab).set_index("run")
    for code in list(frame.index)[20::60]:
        row = frame.loc[code]
        _, then = lab_model(sample_lab, as_of=row["started_at"])
        said = then.forecasts.forecast_run(code)
        assert row["forecast_min"] == pytest.approx(said.median_min, rel=0.01)
        assert row["forecast_low_min"] < row["forecast_min"] < row["forecast_high_min"]
        _, now = lab_model(sample_lab)
        assert row["fitted_min"] == pytest.approx(now.forecasts.forecast_run(code).median_min)
    assert (frame["forecast_min"] - frame["fitted_min"]).abs().max() > 1
