"""Forms for pieces: forming, firing, looking at them, and their end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from claybench import acts
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.terms import Measurement
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.form import Form

if TYPE_CHECKING:
    from claybench.tui.notebook import Notebook

_HAND = "measuring hand"


def measuring_hand(notebook: Notebook) -> str | None:
    """Whose hand measures on this machine; None where nobody said."""
    return notebook.drafts.load(_HAND).get("by") or None


def ask_measuring_hand(notebook: Notebook) -> None:
    """Ask whose hand measures; it is noted with further readings."""

    async def save(values: Values) -> str:
        notebook.drafts.keep(_HAND, {"by": values["by"] or ""})
        return str(values["by"] or "")

    ask = ActField.of_column(Measurement, "by", measuring_hand(notebook), note="noted with further readings")
    notebook.push_screen(Form("Whose hand measures", [ask], save, draft="whose hand", tab="pieces"))


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
