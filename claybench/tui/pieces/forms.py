"""Forms for pieces: forming, firing, looking at them, and their end."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from claybench.errors import BadInput
from claybench.terms import FaultSeen, Firing, Measurement, Photo, Piece
from claybench.tui.care import care
from claybench.tui.forms import Ask, Form
from claybench.tui.forms.form import Values

if TYPE_CHECKING:
    from claybench.tui.app import Notebook

_HAND = "measuring hand"


def hand(app: Notebook) -> str | None:
    """Whose hand measures on this machine; None where nobody said."""
    return app.drafts.load(_HAND).get("by") or None


def ask_hand(app: Notebook) -> None:
    """Ask whose hand measures; it is noted with further readings."""

    async def save(values: Values) -> str:
        app.drafts.keep(_HAND, {"by": values["by"] or ""})
        return str(values["by"] or "")

    ask = Ask.of(Measurement, "by", hand(app), note="noted with further readings")
    app.push_screen(Form("Whose hand measures", [ask], save, draft="whose hand", tab="pieces"))


def listed(typed: str | None) -> list[str]:
    """Codes or names typed one after another, commas or semicolons between; each once."""
    found = (part.strip() for part in (typed or "").replace(";", ",").split(","))
    return list(dict.fromkeys(part for part in found if part))


def count_listed(typed: str) -> str:
    """How many pieces are listed."""
    count = len(listed(typed))
    return f"= {count} piece{'' if count == 1 else 's'}"


async def form_pieces(app: Notebook, *, batch: str = "", run: str = "") -> None:
    """Pieces of one batch, with codes to scratch in."""
    from claybench.ask.batches import batch_list, forming
    from claybench.ask.pieces import codes_for_pieces
    from claybench.work.pieces import form_pieces as act

    batches = [row.batch for row, _ in await app.consult(batch_list)]
    batch = batch or (batches[0] if batches else "")
    start = await app.consult(forming, batch)
    codes = await app.consult(codes_for_pieces, start.count)

    async def save(values: Values) -> str:
        chosen = listed(values.pop("codes"))
        count = values.pop("count") or len(chosen)
        if len(chosen) < count:
            fresh = await app.consult(codes_for_pieces, count + len(chosen))
            chosen += [code for code in fresh if code not in chosen][: count - len(chosen)]
        if len(chosen) > count:
            chosen = chosen[:count]
        if not values.get("batch"):
            raise BadInput("Which batch are they of?", "Name it.", field="batch")
        await app.do(act, [Piece(piece=code, **values) for code in chosen])
        app.say_last()
        return ", ".join(chosen)

    asks = [
        Ask.of(Piece, "batch", batch, suggestions=tuple(batches)),
        Ask.of(Piece, "run", run, note="empty where it may have dried on any slab"),
        Ask(
            name="count",
            label="how many",
            kind="whole",
            low=1,
            high=200,
            text=str(start.count),
            note=start.sized_for.words if start.sized_for else "",
        ),
        Ask(
            name="codes", label="codes", text=", ".join(codes), note="scratch these in", echoes=count_listed, long=True
        ),
        Ask.of(Piece, "shape", start.shape, required=True),
        Ask.of(Piece, "plastic_mm", start.marks_mm, typed_in="mm", note="between the marks"),
        Ask.of(Piece, "formed_at", text="now", kind="time"),
        Ask.of(Piece, "formed_how", note="pressed, rolled, cut"),
        Ask.of(Piece, "note"),
    ]
    form = Form("Form test pieces", asks, save, draft="form pieces", tab="pieces",
                note="Codes hold no symbol that can be taken for another, either way up.")  # fmt: skip
    await app.push_screen(form)


async def fire(app: Notebook, pieces: Sequence[str]) -> None:
    """A firing, with the pieces that were in it: of these, or of all, the dry ones not fired yet are offered."""
    from claybench.ask.pieces import firings, unfired
    from claybench.ask.runs import next_code
    from claybench.work.pieces import add_firing, load_firing

    known = [firing.firing for firing, _ in await app.consult(firings)]
    waiting = [code for code in await app.consult(unfired) if not pieces or code in pieces]

    async def save(values: Values) -> str:
        chosen = listed(values.pop("pieces"))
        if values["firing"] in known:
            await app.do(load_firing, values["firing"], chosen)
        else:
            await app.do(add_firing, Firing(**values), chosen)
        app.say_last()
        return str(values["firing"])

    asks = [
        Ask.of(Firing, "firing", next_code(list(reversed(known)), "F1"), suggestions=tuple(known)),
        Ask.of(Firing, "fired_on", text="today"),
        Ask(
            name="pieces",
            label="pieces in it",
            text=", ".join(waiting),
            note="empty: entered with them later",
            echoes=count_listed,
            long=True,
        ),
        Ask.of(Firing, "cone", note="as written: 06 is not 6"),
        Ask.of(Firing, "peak_temp_c", typed_in="°C"),
        Ask.of(Firing, "hold_min", typed_in="min"),
        Ask.of(Firing, "atmosphere"),
        Ask.of(Firing, "kiln"),
        Ask.of(Firing, "note"),
    ]
    form = Form("A firing", asks, save, draft="fire", tab="pieces",
                note=care("fire"))  # fmt: skip
    await app.push_screen(form)


async def find_in_clay(app: Notebook, run: str) -> None:
    """Plaster, or another fault, found in the clay of a run."""
    from claybench.work.pieces import see_fault as act

    async def save(values: Values) -> str:
        await app.do(act, FaultSeen(run=run, **values))
        app.say_last()
        return run

    asks = [
        Ask.of(FaultSeen, "fault", "plaster_found", required=True),
        Ask.of(FaultSeen, "seen_on", text="today"),
        Ask.of(FaultSeen, "count"),
        Ask.of(FaultSeen, "note"),
    ]
    note = "t on the run's page then goes back to its slab and board, and forward to what shares the cause."
    await app.push_screen(Form(f"Found in the clay of {run}", asks, save, draft=f"found {run}", tab="bench", note=note))


async def see_fault(app: Notebook, piece: str, firing: str = "") -> None:
    """What was seen on a piece; `none` means looked at and clean."""
    from claybench.work.pieces import see_fault as act

    async def save(values: Values) -> str:
        await app.do(act, FaultSeen(piece=piece, **values))
        app.say_last()
        return piece

    asks = [
        Ask.of(FaultSeen, "fault", "none", required=True),
        Ask.of(FaultSeen, "firing", firing, note="empty before any firing"),
        Ask.of(FaultSeen, "count"),
        Ask.of(FaultSeen, "seen_on", text="today"),
        Ask.of(FaultSeen, "note"),
    ]
    await app.push_screen(Form(f"Looked at {piece}", asks, save, draft=f"fault {piece}", tab="pieces", first="fault"))


async def further_reading(app: Notebook, piece: str) -> None:
    """A further reading of a piece, of any kind; it corrects nothing."""
    from claybench.ask.pieces import firings
    from claybench.work.pieces import add_reading

    known = [firing.firing for firing, _ in await app.consult(firings)]

    async def save(values: Values) -> str:
        if values.get("value") is None and not values.get("note"):
            raise BadInput("What was read?", "Type its value, or a note.", field="value")
        await app.do(add_reading, Measurement(piece=piece, **values))
        app.say_last()
        return piece

    asks = [
        Ask.of(Measurement, "what", "dry_mm", required=True),
        Ask.of(Measurement, "value", note="lengths in mm, masses in g"),
        Ask.of(Measurement, "firing", suggestions=tuple(known), note="empty before any firing"),
        Ask.of(Measurement, "by", note="whose hand"),
        Ask.of(Measurement, "at", text="now", required=True),
        Ask.of(Measurement, "note"),
    ]
    form = Form(f"A further reading of {piece}", asks, save, draft=f"reading {piece}", tab="pieces",
                note="It stands beside the first and corrects nothing.")  # fmt: skip
    await app.push_screen(form)


async def add_photo(app: Notebook, kind: str, code: str, tab: str = "pieces") -> None:
    """A picture of a piece, a body or a slab: the name of its file; the file stays where it is."""
    from claybench.work.pieces import add_photo as act

    async def save(values: Values) -> str:
        await app.do(act, Photo(**{kind: code, **values}))
        app.say_last()
        return code

    def doubts(values: Values) -> list[tuple[str, str]]:
        named = values.get("file")
        return (
            [("file", "no such file from here; its name is kept all the same")]
            if named and not Path(named).is_file()
            else []
        )

    asks = [
        Ask.of(Photo, "file", note="its name, or where it lies"),
        Ask.of(Photo, "note", note="what it shows"),
        Ask.of(Photo, "taken_on", text="today"),
    ]
    form = Form(f"A photo of {kind} {code}", asks, save, draft=f"photo {kind} {code}", tab=tab, doubts=doubts,
                note="The record keeps the name; the picture itself stays where it is.")  # fmt: skip
    await app.push_screen(form)


async def end_piece(app: Notebook, piece: str) -> None:
    """Broken, lost or scrapped; its readings stay."""
    from claybench.work.pieces import end_piece as act

    async def save(values: Values) -> str:
        day = values["ended_at"]
        await app.do(act, piece, values["ended"], on=day if isinstance(day, date) else app.now().date())
        app.say_last()
        return piece

    asks = [Ask.of(Piece, "ended", "broken", required=True), Ask.of(Piece, "ended_at", text="today")]
    await app.push_screen(Form(f"{piece} is out of the test", asks, save, draft=f"end {piece}", tab="pieces"))
