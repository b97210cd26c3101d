"""How long a layer takes: its water, the fit to finished runs, forecasts and how they came out, what is due."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.drying import (
        backtest as backtest,
        capacity_grid as capacity_grid,
        due as due,
        face_history as face_history,
        finished_runs as finished_runs,
        fit_solver as fit_solver,
        forecast as forecast,
        interval_likelihood as interval_likelihood,
        lab_fit as lab_fit,
        lab_forecasts as lab_forecasts,
        lab_model as lab_model,
        lab_rows as lab_rows,
        lab_slabs as lab_slabs,
        layer_conditions as layer_conditions,
        next_touch as next_touch,
        pour_depths as pour_depths,
        poured_layers as poured_layers,
        resistance_fit as resistance_fit,
        resistance_priors as resistance_priors,
        slip_layers as slip_layers,
        slip_left as slip_left,
        soluble_salts as soluble_salts,
        transfer_law as transfer_law,
    )
else:
    __getattr__ = modules_of(__name__)
