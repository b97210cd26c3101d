"""The fields of each sizing, made from its table of inputs. Knows no widget."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from claybench.acts.field import ActField
from claybench.insight.settings import Settings
from claybench.insight.sizing.requests import default_text
from claybench.mix.doses import plaster_in_hand, read_doses
from claybench.quantity.inputs import echo_input
from claybench.quantity.shown import natural_key, show
from claybench.terms.sizing import BLEND, CORRECTION, SLAB, SLIP, SizingInput, inputs_on

if TYPE_CHECKING:
    from claybench.ask.sizing_start import SizingStart


def slab_fields(start: SizingStart) -> tuple[ActField, ...]:
    """What a slab is sized from."""
    bag = start.settings.number("bag_g")
    return _fields_of(SLAB, start.settings, echoes={"plaster": partial(_bags_text, bag_g=bag)})


def _body_codes(start: SizingStart) -> tuple[str, ...]:
    return tuple(sorted(start.bodies, key=natural_key))


def slip_fields(start: SizingStart, body: str) -> tuple[ActField, ...]:
    """What a batch of slip is sized from."""
    named: dict[str, Any] = {
        "text": body,
        "suggestions": _body_codes(start),
        "note": ", ".join(start.bodies[-4:]),
    }
    return _fields_of(
        SLIP, start.settings, {"body": named}, {"additions": _additions_text, "deflocculants": _additions_text}
    )


def correction_fields(start: SizingStart, batch: str) -> tuple[ActField, ...]:
    """What a correction is reckoned from."""
    return _fields_of(CORRECTION, start.settings, {"batch": {"text": batch, "suggestions": start.batches}})


def blend_fields(start: SizingStart, body: str) -> tuple[ActField, ...]:
    """What a line or a triangle is made of."""
    about: dict[str, dict[str, Any]] = {
        "first": {"text": body, "suggestions": _body_codes(start)},
        "second": {"suggestions": _body_codes(start), "note": ", ".join(start.bodies[-4:])},
        "third": {"suggestions": _body_codes(start)},
    }
    return _fields_of(BLEND, start.settings, about)


def _fields_of(
    inputs: dict[str, SizingInput],
    settings: Settings,
    about: dict[str, dict[str, Any]] | None = None,
    echoes: dict[str, Callable[[str], str]] | None = None,
) -> tuple[ActField, ...]:
    return tuple(
        _field_of(one, settings, (echoes or {}).get(one.name), (about or {}).get(one.name, {}))
        for one in inputs_on("screen", inputs.values())
    )


def _field_of(
    one: SizingInput, settings: Settings, echoes: Callable[[str], str] | None, about: dict[str, Any]
) -> ActField:
    chosen = one.kind in ("word", "yesno")
    fields: dict[str, Any] = {
        "name": one.name,
        "label": one.label,
        "kind": one.kind if chosen or one.kind == "code" else "text",
        "words": ("no", "yes") if one.kind == "yesno" else one.words,
        "required": one.required or (chosen and bool(one.default)),
        "text": default_text(one, settings),
        "note": one.help,
        "echoes": echoes or partial(echo_input, one),
    }
    return ActField(**(fields | about))


def _bags_text(text: str, bag_g: float) -> str:
    return f"= {show(plaster_in_hand(text, bag_g), 'g')}"


def _additions_text(text: str) -> str:
    return "= " + ", ".join(dose.text for dose in read_doses(text))
