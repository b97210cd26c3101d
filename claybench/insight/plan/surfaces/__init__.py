"""A property over the mixtures of a few materials: fitted, predicted, and the next bodies proposed from it.

Shares, values and batches in, figures and sentences out; where bodies may lie and first sets are in `design`."""
