"""Wide tables: what was said of a run then stands beside what is known of it now."""

from __future__ import annotations

import pytest

from claybench.ask.backtest import backtest
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
    # Looking back says the same of a run, whichever are looked at.
    for code in ("D008", "D114"):
        of_both = backtest(sample_lab, slab=frame.loc[code]["slab"], body=frame.loc[code]["body"])
        assert code in {each.run for each in of_both.runs} and len(of_both.runs) < 20
        for each in of_both.runs:
            assert frame.loc[each.run]["forecast_min"] == each.forecast.median_min
            assert frame.loc[each.run]["forecast_high_min"] == each.forecast.high_min
    assert (frame["forecast_min"] - frame["fitted_min"]).abs().max() > 1
