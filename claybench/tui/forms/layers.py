"""Forms of the bench: pouring, touching at another time, lifting, correcting a run, the air."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from claybench import acts, ask
from claybench.acts.act import Values
from claybench.acts.field import ActField, text_as_typed
from claybench.errors import BadInput
from claybench.quantity import parse_number
from claybench.terms import Run
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.correcting import correct_row
from claybench.tui.forms.form import Form
from claybench.tui.forms.form_entry import FormEntry
from claybench.tui.keys import POUR_FORM, bindings

if TYPE_CHECKING:
    from claybench.ask.runs import PourChoice
    from claybench.tui.notebook import Notebook


_CHOSEN = frozenset({"batch", "slab", "layer_mm", "area_cm2", "body"})


@dataclass(frozen=True, slots=True)
class SlabForLayer:
    """A slab that was chosen for a layer."""

    slab: str
    depth_mm: float
    batch: str
    """Empty where only a body was named."""
    body: str


class PourForm(Form):
    """The form for a pour, which can ask for the best slab."""

    place = "pour_form"
    BINDINGS = bindings(POUR_FORM)
    areas: Mapping[str, float] = MappingProxyType({})
    """What a layer may cover, by slab, cm²."""
    proposed_layer = ""
    """The depth that the batch was sized for; it gives way to what was really poured."""

    def on_form_entry_changed(self, event: FormEntry.Changed) -> None:
        """A mass says the depth itself, by the area: the one that was proposed is not meant beside it."""
        if event.entry.ask.name != "poured_g" or not self.proposed_layer:
            return
        depth = self.typed()["layer_mm"]
        if event.entry.text.strip() and depth == self.proposed_layer:
            self.put(layer_mm="")
        elif not event.entry.text.strip() and not depth:
            self.put(layer_mm=self.proposed_layer)

    def action_which_slab(self) -> None:
        """Every slab for what is typed; the one chosen comes back into the form."""
        readings = self.understood()
        what = readings["batch"].value or readings["body"].value or ""

        def take(chosen: object) -> None:
            if not isinstance(chosen, SlabForLayer):
                return
            area = self.areas.get(chosen.slab)
            self.put(slab=chosen.slab, layer_mm=ActField.of_column(Run, "layer_mm", chosen.depth_mm).text)
            if chosen.batch:
                self.put(batch=chosen.batch)
            if area:
                self.put(area_cm2=ActField.of_column(Run, "area_cm2", float(round(area))).text)

        self.notebook.open_screen("where", str(what), readings["layer_mm"].value, hands_back=True, then=take)


async def ask_pour(
    notebook: Notebook, *, slab: str = "", batch: str = "", body: str = "", depth_mm: float | None = None
) -> None:
    """Begin a run. A batch that is not in the record yet is made by its name."""
    choice = await notebook.consult(ask.runs.pour_choice)
    known = dict(choice.batches)
    if not body:
        batch = batch or next(iter(known), "")
    if depth_mm is not None:
        # What was chosen just now counts for more than what was once typed.
        typed = notebook.drafts.load("pour")
        notebook.drafts.keep("pour", {name: text for name, text in typed.items() if name not in _CHOSEN})

    def doubts(values: Values) -> list[tuple[str, str]]:
        if values.get("batch") and values["batch"] not in known and not values.get("body"):
            return [("body", "a new batch: name its body, and it is made on the way")]
        return []

    proposed = choice.sized_mm.get(batch) if depth_mm is None else None
    given = {
        "choice": choice,
        "slab": slab or None,
        "batch": batch or None,
        "body": None if batch in known else body or None,
        "layer_mm": proposed if depth_mm is None else depth_mm,
    }
    first = "batch" if not batch else "slab" if not slab else "poured_g"
    form = await ask_act(notebook, acts.layers.POUR, given, kind=PourForm, draft="pour", doubts=doubts, first=first)
    assert isinstance(form, PourForm)
    form.areas = choice.layer_cm2
    form.proposed_layer = text_as_typed(proposed, "mm")
    form.asks = tuple(
        replace(each, g_per_ml=lambda: slip_density(form, choice)) if each.name == "poured_g" else each
        for each in form.asks
    )


def slip_density(form: Form, choice: PourChoice) -> float | None:
    """What the slip of a form weighs, g/mL: as typed there, else as its batch was weighed."""
    typed = form.typed()
    try:
        return parse_number(typed.get("slip_sg", ""))
    except BadInput:
        return choice.slip_sg.get(typed.get("batch", "").strip())


async def ask_lift(notebook: Notebook, run: str) -> None:
    """Lift a layer off."""
    await ask_act(notebook, acts.layers.LIFT, fixed={"run": run})


async def ask_touch(notebook: Notebook, run: str) -> None:
    """A touch at another time than now, or with something done to the layer."""
    await ask_act(notebook, acts.layers.TOUCH, fixed={"run": run})


async def correct_run(notebook: Notebook, run: Run) -> None:
    """Fill in or correct what is known of a run; what stood there stays in the history."""
    names = [name for name in _RUN_COLUMNS if name != "run"]
    await correct_row(notebook, run, names, f"Correct {run.run}")


_RUN_COLUMNS = (
    "run", "batch", "slab", "face", "started_at", "poured_g", "layer_mm", "area_cm2", "slip_sg", "slip_temp_c",
    "slab_before_g", "slab_after_g", "air_temp_c", "air_rh_pct", "air_speed_m_s", "ended_at", "clay_off_g",
    "outcome", "wedged_on", "by", "note",
)  # fmt: skip


async def ask_air(notebook: Notebook) -> None:
    """The air of a place in the workshop."""
    await ask_act(notebook, acts.slabs.AIR)
