"""The form of one point of plasticity, again and again until Esc, with what follows from the points so far."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from claybench import ask
from claybench.acts.act import Values
from claybench.acts.plasticity_points import correct_point_act, point_act
from claybench.measure.water_content import water_of_plasticity
from claybench.terms import Measurement
from claybench.tui.book.plasticity_text import limits_text, point_text
from claybench.tui.display_text import number_text
from claybench.tui.forms.act_form import ask_act

if TYPE_CHECKING:
    from claybench.tui.notebook import Notebook


async def ask_points(notebook: Notebook, batch: str, what: str, *, saved: Measurement | None = None) -> None:
    """Points of one kind until Esc: each is saved, and the form comes up again at once for the next."""
    text = "" if saved is None else f"Saved: {point_text(saved)}. {await _limits_so_far(notebook, batch)}"

    def again(code: object) -> None:
        if isinstance(code, str):
            notebook.start_worker(_ask_next_point(notebook, batch, what))

    act = point_act(what)
    await ask_act(
        notebook,
        replace(act, note=text) if text else act,
        {"by": saved.by} if saved is not None else {},
        fixed={"batch": batch, "what": what},
        tab="book",
        draft=f"point {batch} {what}",
        follows=_water_text,
        then=again,
    )


async def _ask_next_point(notebook: Notebook, batch: str, what: str) -> None:
    points = (await notebook.consult(ask.plasticity.batch_plasticity, batch)).plasticity.points
    newest = max((each.reading for each in points if each.reading.what == what), key=lambda row: row.at)
    await ask_points(notebook, batch, what, saved=newest)


async def ask_point_correction(notebook: Notebook, row: Measurement) -> None:
    """Fill in a dry mass that came later, or correct a point."""
    draft = f"point {row.batch} {row.what} {row.at.isoformat()}"
    await ask_act(notebook, correct_point_act(row), tab="book", draft=draft, follows=_water_text)


def _water_text(values: Values) -> str:
    wet, dry, tin = values.get("wet_g"), values.get("dry_g"), values.get("tin") or 0.0
    if wet is None or dry is None or not dry - tin > 0 or dry > wet:
        return ""
    return f"Water {number_text(water_of_plasticity(wet - tin, dry - tin), 1)} % of dry mass."


async def _limits_so_far(notebook: Notebook, batch: str) -> str:
    limits = limits_text((await notebook.consult(ask.plasticity.batch_plasticity, batch)).plasticity)
    return (f"So far {limits}. " if limits else "") + "The next one, or Esc."
