"""A property over the mixtures of a few materials: fitted, predicted, and the next bodies proposed from it.

Shares, values and batches in, figures and sentences out; where bodies may lie and first sets are in `design`."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.plan.surfaces import (
        binding_constraints as binding_constraints,
        candidates as candidates,
        fitted_targets as fitted_targets,
        gaussian_process as gaussian_process,
        mixture_polynomials as mixture_polynomials,
        model_choice as model_choice,
        model_words as model_words,
        observations as observations,
        proposals as proposals,
        target_chance as target_chance,
    )
else:
    __getattr__ = modules_of(__name__)
