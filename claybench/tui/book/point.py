"""The form of one point of plasticity: what is read, the sample wet and dry, and the tin it was weighed in."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from claybench.acts.field import written
from claybench.errors import BadInput
from claybench.quantity.shown import plain, show
from claybench.terms import TABLE_OF, Measurement
from claybench.tui.forms import Ask, Form
from claybench.tui.forms.form import Values
from claybench.tui.words import number

if TYPE_CHECKING:
    from claybench.tui.app import Notebook


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of point."""

    title: str
    heading: str
    guide: str
    """What to do, with the standard it follows."""
    weighed: bool = True


POINTS = {
    "liquid_cup": Kind(
        "cup",
        "Liquid limit by the cup",
        "ASTM D4318: count the blows that close the groove, then weigh a sample from there. Three points or more, on both "
        "sides of 25 blows; one alone serves only from 20 to 30.",
    ),
    "liquid_cone": Kind(
        "cone",
        "Liquid limit by the fall cone",
        "How deep the cone sinks in, then a sample from there. Two points or more, best on both sides of 20 mm.",
    ),
    "plastic_thread": Kind(
        "thread",
        "Plastic limit",
        "ASTM D4318: threads that crumble when they are 3.2 mm thick, gathered into a tin. Two trials or more.",
    ),
    "coil_bend": Kind(
        "bend",
        "A coil bent round a finger",
        "1 splits, 5 bends without a crack. A quick look, common practice; no standard.",
        weighed=False,
    ),
}
_TIN = re.compile(r"\btin ([0-9.]+) g taken off\b(?:; )?")


def new_points(app: Notebook, batch: str, what: str, *, said: str = "", by: str = "") -> None:
    """Points of one kind until Esc: each is saved, and the form comes up again at once for the next."""
    from claybench.work.pieces import add_reading

    async def save(values: Values) -> Any:
        row = _row(values, batch, what)
        await app.do(add_reading, row)
        return row

    def again(row: Measurement | None) -> None:
        if row is not None:
            new_points(app, batch, what, said=f"Saved: {_words(row)}.", by=row.by or "")

    form = Form(
        f"{POINTS[what].heading} of {batch}", _asks(what, by=by), save,
        draft=f"point {batch} {what}", tab="book", follows=_follows, note=said or POINTS[what].guide,
    )  # fmt: skip
    app.push_screen(form, again)
    if said:
        app.run_worker(_say_so_far(app, form, batch, said), exit_on_error=False)


async def _say_so_far(app: Notebook, form: Form, batch: str, said: str) -> None:
    """What follows from the points so far, once it is known."""
    text = f"{said} {await _so_far(app, batch)}"
    if form.is_attached:
        form.tell(text)


async def correct_point(app: Notebook, row: Measurement) -> None:
    """Fill in a dry mass that came later, or correct a point."""
    from claybench.work.common import correct

    key = tuple(getattr(row, name) for name in TABLE_OF[Measurement].key)

    async def save(values: Values) -> str:
        new = _row(values, row.batch or "", row.what)
        named = ("at", "value", "count", "wet_g", "dry_g", "by", "note")
        changes = {name: getattr(new, name) for name in named if getattr(new, name) != getattr(row, name)}
        if changes:
            await app.do(correct, Measurement, key, changes, seen=row)
            app.say_last()
        return row.what

    kind = POINTS[row.what]
    draft = f"point {row.batch} {row.what} {row.at.isoformat()}"
    form = Form(f"{kind.heading} of {row.batch}", _asks(row.what, row), save, draft=draft, tab="book",
                follows=_follows, note=kind.guide,
                first="dry_g" if kind.weighed and row.dry_g is None else "")  # fmt: skip
    await app.push_screen(form)


def _asks(what: str, row: Measurement | None = None, by: str = "") -> list[Ask]:
    held = (lambda name: getattr(row, name)) if row is not None else (lambda name: None)
    tin, note = _tin_of(held("note"))
    asks = []
    if what == "liquid_cup":
        asks.append(Ask.of(Measurement, "count", held("count"), label="blows", required=True, above=0.0))
    elif what == "liquid_cone":
        depth = Ask(name="value", label="cone sank in", kind="number", unit="mm", above=0.0, required=True)
        asks.append(_with(depth, written(held("value"), "mm")))
    elif what == "coil_bend":
        bend = Ask(name="value", label="bend, 1 to 5", kind="number", low=1.0, high=5.0, required=True)
        asks.append(_with(bend, written(held("value"))))
    if POINTS[what].weighed:
        for name, label, about in (
            ("wet_g", "sample wet", "with its tin, if named"),
            ("dry_g", "sample dry", "after 110 °C; or later"),
        ):
            value = held(name)
            asks.append(Ask.of(Measurement, name, None if value is None else round(value + tin, 6), label=label, note=about))  # fmt: skip
        text = written(tin, "g") if tin else ""
        asks.append(Ask(name="tin", label="the tin", kind="number", unit="g", low=0.0, text=text,
                        note="taken off both"))  # fmt: skip
    asks.append(Ask.of(Measurement, "at", held("at"), **({} if row is not None else {"text": "now"}), required=True))
    asks.append(Ask.of(Measurement, "by", held("by") or by or None, note="whose hand"))
    asks.append(Ask.of(Measurement, "note", note or None))
    return asks


def _with(ask: Ask, text: str) -> Ask:
    from dataclasses import replace

    return replace(ask, text=text)


def _row(values: Values, batch: str, what: str) -> Measurement:
    tin = values.pop("tin", None) or 0.0
    for name in ("wet_g", "dry_g"):
        if values.get(name) is not None and tin:
            if values[name] <= tin:
                raise BadInput(
                    f"That is not more than the tin's {show(tin, 'g')}.", "Enter sample and tin together.", field=name
                )
            values[name] = round(values[name] - tin, 6)
    wet, dry = values.get("wet_g"), values.get("dry_g")
    if wet is not None and dry is not None and dry > wet:
        raise BadInput(
            f"Dry it cannot weigh more than wet ({show(wet, 'g')}).", "Perhaps the two were swapped.", field="dry_g"
        )
    note = values.get("note")
    if tin:
        values["note"] = f"tin {tin:g} g taken off" + (f"; {note}" if note else "")
    return Measurement(batch=batch, what=what, **values)


def _tin_of(note: str | None) -> tuple[float, str]:
    """The tin a note names, and what else it says."""
    found = _TIN.search(note or "")
    if found is None:
        return 0.0, note or ""
    return float(found.group(1)), ((note or "")[: found.start()] + (note or "")[found.end() :]).strip()


def _follows(values: Values) -> str:
    wet, dry, tin = values.get("wet_g"), values.get("dry_g"), values.get("tin") or 0.0
    if wet is None or dry is None or not dry - tin > 0 or dry > wet:
        return ""
    return f"Water {number(100 * (wet - dry) / (dry - tin), 1)} % of dry mass."


def _words(row: Measurement) -> str:
    read = {"liquid_cup": f"{row.count} blows", "liquid_cone": show(row.value, "mm") if row.value else "",
            "coil_bend": f"{plain(row.value)} of 5" if row.value else ""}.get(row.what, "thread")  # fmt: skip
    if row.wet_g is None or row.dry_g is None:
        return read + ("" if row.what == "coil_bend" else ", its dry mass still to come")
    return f"{read} at {number(100 * (row.wet_g - row.dry_g) / row.dry_g, 1)} % water"


async def _so_far(app: Notebook, batch: str) -> str:
    from claybench.ask.plasticity import batch_plasticity

    found = (await app.consult(batch_plasticity, batch)).found
    parts = [f"liquid limit {number(limit.water_pct, 1)} %" for limit in found.limits[:1]]
    parts += [f"plastic limit {number(found.plastic_pct, 1)} %"] if found.plastic_pct is not None else []
    parts += [f"index {number(found.index_pct, 1)} %"] if found.index_pct is not None else []
    return (f"So far {', '.join(parts)}. " if parts else "") + "The next one, or Esc."
