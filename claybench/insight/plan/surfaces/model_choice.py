"""Which surface a property gets: a Gaussian process, or a mixture polynomial with a clearly smaller error.

Errors are of recipes left out in turn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from claybench.insight.plan.design.plan_request import target_size
from claybench.insight.plan.surfaces.expected_spread import ExpectedSpread
from claybench.insight.plan.surfaces.gaussian_process import fit_gaussian_process
from claybench.insight.plan.surfaces.mixture_polynomials import MODEL_NAMES, MODELS, choose_polynomial
from claybench.insight.plan.surfaces.observations import BatchMeans, Surface
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import join_words

SMOOTH = "smooth"
"""The Gaussian process among the names of models."""
_CLEARLY_BETTER = 0.7
"""A polynomial is taken where its error is less than this times the Gaussian process's: tried on made-up surfaces."""
_SPARE_DF = 4
"""Degrees of freedom that a polynomial has to have left."""
_ROUNDING = 1e-9
FEW_RECIPES = 3
"""With fewer recipes a surface is hardly more than a level."""


@dataclass(frozen=True, slots=True)
class PropertyModel:
    """One property's surface, and how well each model predicted recipes left out in turn."""

    surface: Surface
    name: str
    """`SMOOTH`, or one of the polynomials."""
    data: BatchMeans
    leave_one_out_errors: dict[str, float] = field(default_factory=dict)
    """Root mean square leave-one-out error by model, in the property's unit; empty with too few recipes."""
    exact: bool = False
    """Whether it follows from the parts without scatter, as a price does."""
    too_few: tuple[str, ...] = ()
    """Polynomials that these recipes cannot carry."""
    polynomial_is_doubtful: bool = False
    """Whether a polynomial does better on recipes left out, but has too few batches to say how far it may be off."""


def choose_model(
    data: BatchMeans, low: Sequence[float], high: Sequence[float], *, expected: ExpectedSpread | None = None
) -> PropertyModel:
    """Fit the surface with the smallest leave-one-out error; other parameters as in `fit_gaussian_process`.

    Raises
    ------
    BadInput
        No batch at all.
    """
    few = data.recipe_count < FEW_RECIPES
    smooth = fit_gaussian_process(data, low, high, expected=expected)
    if few:
        return PropertyModel(smooth, SMOOTH, data)
    choice = choose_polynomial(data)
    fit, errors = choice.fit, {**choice.leave_one_out_errors, SMOOTH: smooth.leave_one_out_error()}
    error = errors[fit.model]
    too_few = tuple(model for model in MODELS if model not in errors)
    clearly_better = error < _CLEARLY_BETTER * errors[SMOOTH]
    if fit.df >= _SPARE_DF:
        exact = error < _ROUNDING * float(data.means.max() - data.means.min())
        if exact or clearly_better:
            return PropertyModel(fit, fit.model, data, errors, exact, too_few)
    doubtful = clearly_better and data.recipe_count > data.shares.shape[1]
    return PropertyModel(smooth, SMOOTH, data, errors, False, too_few, doubtful)


_EXACT = "It follows exactly from the parts."


def model_summary(name: str, model: PropertyModel, properties: PropertySet = BUILT_IN) -> str:
    """How far off a property's predictions typically are, in one sentence."""
    if model.exact:
        return _EXACT
    error = model.leave_one_out_errors.get(model.name)
    if error is None:
        return f"{_few_bodies(model)}, so the ranges are wide."
    return f"Predictions are typically {target_size(name, error, properties)} off on a body it has not seen."


def model_reason(name: str, model: PropertyModel, properties: PropertySet = BUILT_IN) -> str:
    """Which model predicts a property and why that one: leave-one-out errors of each."""
    if model.exact:
        return _EXACT
    if not model.leave_one_out_errors:
        return f"{_few_bodies(model)}: a Gaussian process with wide ranges."
    sizes = {each: target_size(name, error, properties) for each, error in model.leave_one_out_errors.items()}
    own = sizes.pop(model.name)
    others = ", ".join(f"{_called(each)} {size}" for each, size in sizes.items())
    text = f"{_called(model.name, first=True)}: typically {own} off on a body it has not seen (leave-one-out error)"
    text += f"; {others}." if others else "."
    if model.too_few:
        names = join_words([MODEL_NAMES[each] for each in model.too_few])
        text += f" {model.data.recipe_count} bodies, as they lie, are too few for the {names} polynomial."
    if model.polynomial_is_doubtful:
        text += " The better polynomial has too few batches to say how far it may be off."
    return text


def _few_bodies(model: PropertyModel) -> str:
    assert model.data.recipe_count < FEW_RECIPES
    return f"{'One body says' if model.data.recipe_count == 1 else 'Two bodies say'} little more than the level"


def _called(name: str, *, first: bool = False) -> str:
    text = "Gaussian process" if name == SMOOTH else MODEL_NAMES[name]
    if name != SMOOTH and first:
        return f"{text.capitalize()} mixture polynomial"
    return text
