"""Every act that has a command, in the order of a test's life: where it is declared, and what it does in one line.

Nothing is loaded for the list; `load_act` brings one declaration.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from claybench.acts.act import Act

ACTS: dict[str, tuple[str, str]] = {
    "family": ("recipes:FAMILY", "A family of bodies that may share slabs."),
    "material": ("recipes:MATERIAL", "A raw material, as it is named in recipes."),
    "lot": ("recipes:LOT", "A delivery of a material."),
    "body": ("recipes:BODY", 'A body designed: its code and its recipe, as in "kaolin 50, feldspar 50".'),
    "recipe": ("recipes:RECIPE", "Other materials or parts for a body; the old recipe stays in the history."),
    "batch": ("recipes:BATCH", "A batch of a body, mixed or to be mixed; its weighings are filled in later."),
    "weigh-in": (
        "weighing_out:WEIGH_IN",
        "One material put into the bucket of a batch, as it was really weighed; a second time corrects the first.",
    ),
    "water-in": (
        "weighing_out:WATER_IN",
        "The water put to what was weighed out: the batch's dry mass and all its water follow.",
    ),
    "batch-event": ("recipes:BATCH_EVENT", "Something done to a batch between mixing and pouring."),
    "point": ("plasticity_points:POINT", "A point of plasticity of a batch: cup, cone, thread or bend."),
    "pour-step": ("slabs:POUR_STEP", "A step of a slab's pour done, for every slab of its mix."),
    "slab": ("slabs:SLAB", "A slab that was there before the record began, weighed now if it was."),
    "weigh": ("slabs:WEIGH", "The mass of a bare slab; --dry where it has stopped losing weight."),
    "event": (
        "slabs:EVENT",
        "Anything that happened to a slab: turned, moved, wetted, cleaned, chipped, resurfaced …",
    ),
    "air": ("slabs:AIR", "Temperature, humidity and draught somewhere in the workshop."),
    "pour": (
        "layers:POUR",
        "Slip poured on a slab: a run begins. A batch that is not in the record yet is made by its name.",
    ),
    "touch": ("layers:TOUCH", "A touch of a layer, with how it felt."),
    "lift": ("layers:LIFT", "A layer lifted off: what came of it, the clay's mass, the bare slab's."),
    "clay-fault": ("faults:CLAY_FAULT", "Plaster, or another fault, found in the clay of a run."),
    "form": ("pieces:FORM", "Test pieces formed of one batch, with codes to scratch in."),
    "measure": ("pieces:MEASURE", "One reading of one piece, as 'claybench measure K7 dry_mm 94.2'."),
    "reading": ("pieces:READING", "A further reading of a piece, of any kind; it corrects nothing."),
    "instrument": ("instruments:INSTRUMENT", "A ruler, caliper or scale, with the smallest step it shows."),
    "measure-of": (
        "readings:MEASURE_OF",
        "What is read for a property of your own, off anything: slab, body, batch, run, lot, material, firing, piece.",
    ),
    "property": (
        "properties:PROPERTY",
        "A property of your own: what is read for it and its formula; measured and compared as the built-in ones.",
    ),
    "fire": (
        "pieces:FIRE",
        "A firing, with the pieces that were in it: those that are dry and not fired yet, where none is named.",
    ),
    "fault": ("faults:FAULT", "What was seen on a piece; 'none' means looked at and clean."),
    "end": ("faults:END", "A piece broken, lost or scrapped; its readings stay."),
    "photo": (
        "faults:PHOTO",
        "A picture of a piece, a body or a slab: the name of its file; the file stays where it is.",
    ),
}
"""By the name of the command: `module:NAME` in `claybench.acts`, and the summary that its help shows."""


def load_act(name: str) -> Act:
    """The declaration of an act, by the name of its command."""
    module, _, attribute = ACTS[name][0].partition(":")
    act: Act = getattr(import_module(f"claybench.acts.{module}"), attribute)
    return act
