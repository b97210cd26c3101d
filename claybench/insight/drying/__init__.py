"""How long a layer takes: its water, the fit to finished runs, forecasts and how they came out, what is due."""
