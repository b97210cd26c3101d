"""The fields of each sizing, and from a sizing to the record: slabs cast or poured, batches, corrections, blends."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from claybench.acts.field import ActField
from claybench.acts.from_sizing import blend_act, cast_act, corrected_act, mixed_act
from claybench.errors import BadInput
from claybench.insight.settings import Settings
from claybench.insight.sizing.requests import default_text
from claybench.mix.doses import plaster_in_hand, read_doses
from claybench.quantity.inputs import echo_input
from claybench.quantity.shown import natural_key, show
from claybench.terms.sizing import BLEND, CORRECTION, SLAB, SLIP, SizingInput, inputs_on
from claybench.tui.forms.act_form import Then, ask_act

if TYPE_CHECKING:
    from claybench.ask.sizing_start import BodyRecipe, SizingStart
    from claybench.insight.sizing.requests import BodySlip
    from claybench.mix.blends import BlendSizing
    from claybench.mix.slab_sizing import SlabSizing
    from claybench.mix.slip_correction import Correction
    from claybench.mix.slip_sizing import SlipSizing
    from claybench.tui.notebook import Notebook


def _when_recorded(notebook: Notebook, kind: str, go: Callable[[str], None] | None = None) -> Then:
    """Once it is recorded: what was typed for the sizing is dropped, and one goes to what was made."""

    def done(code: object) -> None:
        if isinstance(code, str):
            notebook.drafts.drop(f"mix {kind}")
            if go is not None:
                go(code)

    return done


def _opens_record(notebook: Notebook, kind: str) -> Callable[[str], None]:
    def go(code: str) -> None:
        notebook.start_worker(notebook.open_record(kind, code.partition(", ")[0]))

    return go


async def ask_cast(notebook: Notebook, sized: SlabSizing) -> None:
    """Slabs cast from a sizing."""
    act = cast_act(sized)
    await ask_act(
        notebook,
        act,
        tab="mix",
        draft=act.title,
        then=_when_recorded(notebook, "slab", _opens_record(notebook, "slabs")),
    )


async def ask_pour_by_steps(notebook: Notebook, sized: SlabSizing) -> None:
    """Slabs about to be poured: written down, then step by step."""

    def go(code: str) -> None:
        notebook.open_screen("pour", code.partition(", ")[0])

    act = cast_act(sized, by_steps=True)
    await ask_act(notebook, act, tab="mix", draft=act.title, then=_when_recorded(notebook, "slab", go))


async def ask_batch(notebook: Notebook, sized: SlipSizing, recipe: BodyRecipe) -> None:
    """A batch mixed from a sizing; the masses weighed are the rounded ones until corrected."""
    act = mixed_act(sized, recipe.body.body)
    await ask_act(
        notebook,
        act,
        tab="mix",
        draft="record batch",
        then=_when_recorded(notebook, "slip", _opens_record(notebook, "batches")),
    )


async def ask_batch_to_weigh(notebook: Notebook, sized: SlipSizing, recipe: BodyRecipe) -> None:
    """A batch about to be mixed: written down, then weighed out one material at a time."""

    def go(code: str) -> None:
        notebook.open_screen("weigh", code)

    act = mixed_act(sized, recipe.body.body, by_weighing=True)
    await ask_act(notebook, act, tab="mix", draft="weigh out batch", then=_when_recorded(notebook, "slip", go))


async def ask_correction(notebook: Notebook, sized: Correction, batch: str | None) -> None:
    """What was added to a batch, and what the slip weighs then."""
    if not batch:
        raise BadInput("Which batch was corrected is not given.", "Name it in the first field.", field="batch")
    await ask_act(
        notebook,
        corrected_act(sized),
        fixed={"batch": batch},
        tab="mix",
        draft="record correction",
        then=_when_recorded(notebook, "correct", _opens_record(notebook, "batches")),
    )


async def ask_blend(notebook: Notebook, sized: BlendSizing, slips: Sequence[BodySlip]) -> None:
    """The mixtures between the corners as bodies of one set."""
    await ask_act(
        notebook, blend_act(sized, slips), tab="mix", draft="record blend", then=_when_recorded(notebook, "blend")
    )


def slab_fields(start: SizingStart) -> tuple[ActField, ...]:
    """What a slab is sized from."""
    bag = start.settings.number_of("bag_g")
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
