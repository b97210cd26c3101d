"""Forms for pieces: forming, firing, looking at them, and their end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from claybench import acts, ask
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.terms import Measurement
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.form import Form

if TYPE_CHECKING:
    from claybench.tui.notebook import Notebook

_HAND = "measuring hand"
_READ_WITH = {"mm": "lengths_with", "g": "masses_with"}


def measuring_hand(notebook: Notebook) -> str | None:
    """Whose hand measures on this machine; None where nobody said."""
    return notebook.drafts.load(_HAND).get("by") or None


def measuring_instrument(notebook: Notebook, unit: str) -> str | None:
    """What lengths (mm) or masses (g) are read with on this machine; None where nobody said."""
    return notebook.drafts.load(_HAND).get(_READ_WITH.get(unit, "")) or None


async def ask_measuring_hand(notebook: Notebook) -> None:
    """Ask whose hand measures, noted with further readings, and with what, noted with each."""
    known = tuple(row.instrument for row in await notebook.consult(ask.pieces.list_instruments))

    async def save(values: Values) -> str:
        said = {name: values[name] or "" for name in ("by", *_READ_WITH.values())}
        notebook.drafts.keep(_HAND, said)
        return ", ".join(filter(None, said.values()))

    fields = [
        ActField.of_column(Measurement, "by", measuring_hand(notebook), note="noted with further readings"),
        *(
            replace(
                ActField.of_column(Measurement, "instrument", measuring_instrument(notebook, unit)),
                name=name,
                label=name.replace("_", " "),
                suggestions=known,
                note="an instrument of the book; empty: the digits tell the step",
            )
            for unit, name in _READ_WITH.items()
        ),
    ]
    notebook.push_screen(Form("Who measures, and with what", fields, save, draft="whose hand", tab="pieces"))


async def ask_new_pieces(notebook: Notebook, *, batch: str = "", run: str = "") -> None:
    """Pieces of one batch, with codes to scratch in."""
    given = {"batch": batch or None, "run": run or None}
    await ask_act(notebook, acts.pieces.FORM, given, tab="pieces", draft="form pieces")


async def ask_firing(notebook: Notebook, pieces: Sequence[str]) -> None:
    """A firing, with the pieces that were in it: of these, or of all, the dry ones not fired yet are offered."""
    await ask_act(notebook, acts.pieces.FIRE, {"among": tuple(pieces)}, tab="pieces", draft="fire")


async def ask_clay_fault(notebook: Notebook, run: str) -> None:
    """Plaster, or another fault, found in the clay of a run."""
    await ask_act(notebook, acts.faults.CLAY_FAULT, fixed={"run": run}, draft=f"found {run}")


async def ask_piece_fault(notebook: Notebook, piece: str, firing: str = "") -> None:
    """What was seen on a piece; `none` means looked at and clean."""
    given = {"firing": firing or None}
    await ask_act(notebook, acts.faults.FAULT, given, fixed={"piece": piece}, tab="pieces", draft=f"fault {piece}")


async def ask_reading(notebook: Notebook, piece: str) -> None:
    """A further reading of a piece, of any kind; it corrects nothing."""
    await ask_act(notebook, acts.pieces.READING, fixed={"piece": piece}, tab="pieces", draft=f"reading {piece}")


async def ask_photo(notebook: Notebook, kind: str, code: str, tab: str = "pieces") -> None:
    """A picture of a piece, a body or a slab: the name of its file; the file stays where it is."""
    fixed = {**dict.fromkeys(("piece", "body", "slab")), kind: code}
    await ask_act(notebook, acts.faults.PHOTO, fixed=fixed, tab=tab, draft=f"photo {kind} {code}")


async def ask_piece_end(notebook: Notebook, piece: str) -> None:
    """Broken, lost or scrapped; its readings stay."""
    await ask_act(notebook, acts.faults.END, fixed={"piece": piece}, tab="pieces", draft=f"end {piece}")
