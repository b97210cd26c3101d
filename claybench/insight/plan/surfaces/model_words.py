"""How well a property is predicted: a sentence for the bench, and behind it the errors as a statistician reads them."""

from __future__ import annotations

from claybench.insight.plan.design.targets import target_size
from claybench.insight.plan.surfaces.mixture_polynomials import MODEL_NAMES
from claybench.insight.plan.surfaces.model_choice import FEW_RECIPES, SMOOTH, PropertyModel
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.declaration import PropertySet
from claybench.quantity.shown import join_words

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
