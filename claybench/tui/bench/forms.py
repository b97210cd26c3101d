"""Forms of the bench: pouring, touching at another time, lifting, correcting a run, the air."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from claybench.terms import Air, Check, Run
from claybench.tui.care import care
from claybench.tui.forms import Ask, Form
from claybench.tui.forms.form import Values
from claybench.tui.keys import POUR_FORM, bindings

if TYPE_CHECKING:
    from claybench.tui.app import Notebook


_CHOSEN = frozenset({"batch", "slab", "layer_mm", "area_cm2", "body"})


class PourForm(Form):
    """The form for a pour, which can ask for the best slab."""

    place = "pour_form"
    BINDINGS = bindings(POUR_FORM)
    areas: Mapping[str, float] = MappingProxyType({})
    """What a layer may cover, by slab, cm²."""

    def action_which_slab(self) -> None:
        """Every slab for what is typed; the one chosen comes back into the form."""
        from claybench.tui.bench.where import Chosen, WherePlace

        found = self.understood()
        what = found["batch"].value or found["body"].value or ""

        def take(chosen: Chosen | None) -> None:
            if chosen is None:
                return
            area = self.areas.get(chosen.slab)
            self.put(slab=chosen.slab, layer_mm=Ask.of(Run, "layer_mm", chosen.depth_mm).text)
            if chosen.batch:
                self.put(batch=chosen.batch)
            if area:
                self.put(area_cm2=Ask.of(Run, "area_cm2", float(round(area))).text)

        self.app.push_screen(WherePlace(str(what), found["layer_mm"].value, hands_back=True), take)


async def pour(
    app: Notebook, *, slab: str = "", batch: str = "", body: str = "", depth_mm: float | None = None
) -> None:
    """Begin a run. A batch that is not in the record yet is made by its name."""
    from claybench.ask.runs import pour_choice
    from claybench.work.runs import start_run

    choice = await app.consult(pour_choice)
    known = dict(choice.batches)
    if not body:
        batch = batch or (choice.batches[0][0] if choice.batches else "")
    if depth_mm is not None:
        # What was chosen just now counts for more than what was once typed.
        typed = app.drafts.load("pour")
        app.drafts.keep("pour", {name: text for name, text in typed.items() if name not in _CHOSEN})
    area = choice.layer_cm2.get(slab)

    async def save(values: Values) -> str:
        body, family = values.pop("body"), values.pop("family")
        run = Run(**values)
        await app.do(start_run, run, body=body, family=family)
        app.say_last()
        return run.run

    def doubts(values: Values) -> list[tuple[str, str]]:
        out = []
        if values.get("batch") and values["batch"] not in known and not values.get("body"):
            out.append(("body", "a new batch: name its body, and it is made on the way"))
        usable = choice.usable_cm2.get(values.get("slab") or "")
        if usable and values.get("area_cm2") and values["area_cm2"] > 1.02 * usable:
            out.append(("area_cm2", f"more than the {usable:.0f} cm² of this slab"))
        if values.get("layer_mm") and values["layer_mm"] > 30:
            out.append(("layer_mm", "so deep it needs a frame; is it mm?"))
        return out

    asks = [
        Ask.of(Run, "batch", batch, makes=True, suggestions=tuple(known), note="its name; a new one is made"),
        Ask.of(
            Run,
            "slab",
            slab,
            suggestions=tuple(code for code, _ in choice.slabs),
            note="; ".join(f"{code} {words}" for code, words in choice.slabs[:2]),
        ),
        Ask.of(Run, "poured_g", note="or the depth of slip below"),
        Ask.of(Run, "layer_mm", depth_mm, note="in mm"),
        Ask.of(Run, "area_cm2", round(area) * 1.0 if area else None, note="what the slip covers"),
        Ask.of(Run, "slab_before_g", note="if it lies bare on the scale first"),
        Ask.of(Run, "face", "form", note="the smooth side, or the one that was open"),
        Ask.of(Run, "started_at", text="now"),
        Ask.of(Run, "slip_sg", choice.slip_sg.get(batch)),
        Ask.of(Run, "slip_temp_c", typed_in="°C"),
        Ask.of(Run, "air_temp_c", typed_in="°C", note="where nothing is written, the room's"),
        Ask.of(Run, "air_rh_pct"),
        Ask(
            name="body",
            label="body",
            kind="code",
            text="" if batch in known else body,
            note="only for a batch that is not in the record",
            refers="bodies",
            makes=True,
        ),
        Ask(name="family", label="family", kind="code", note="only for a new body", refers="families", makes=True),
        Ask.of(Run, "run", choice.next_run, note="code of this run"),
        Ask.of(Run, "note"),
    ]
    first = "batch" if not batch else "slab" if not slab else "poured_g"
    form = PourForm("Pour slip on a slab", asks, save, draft="pour", doubts=doubts, first=first,
                    note="Pour first: what you leave empty can be filled in later.\n" + care("pour_slip"))  # fmt: skip
    form.areas = choice.layer_cm2
    await app.push_screen(form)


async def lift(app: Notebook, run: str) -> None:
    """Lift a layer off."""
    from claybench.ask.runs import run_page
    from claybench.work.runs import lift_off

    page = await app.consult(run_page, run)
    felt = page.layer.poured.checks[-1].feel if page.layer.poured.checks else ""
    outcome = {
        "workable": "workable",
        "stiff": "too_stiff",
        "fluid": "lifted_early",
        "sticky": "lifted_early",
    }

    async def save(values: Values) -> str:
        await app.do(lift_off, run, values.pop("outcome"), at=values.pop("ended_at"), **values)
        app.say_last()
        return run

    asks = [
        Ask.of(Run, "outcome", outcome.get(felt, "workable"), required=True),
        Ask.of(Run, "clay_off_g", note="what was lifted, on the scale"),
        Ask.of(Run, "slab_after_g", note="bare; empty while another layer lies there"),
        Ask.of(Run, "ended_at", text="now", required=True),
        Ask.of(Run, "wedged_on", note="slab or board, if it was wedged on plaster"),
    ]
    await app.push_screen(
        Form(f"Lift {run} off", asks, save, draft=f"lift {run}", first="clay_off_g", note=care("lift"))
    )


async def touch(app: Notebook, run: str) -> None:
    """A touch at another time than now, or with something done to the layer."""
    from claybench.work.runs import add_check

    async def save(values: Values) -> str:
        await app.do(add_check, run, values.pop("feel"), at=values.pop("at"), **values)
        app.say_last()
        return run

    asks = [
        Ask.of(Check, "feel", "sticky"),
        Ask.of(Check, "at", text="now"),
        Ask.of(Check, "action", note="such a layer is recorded, and left out of forecasts"),
        Ask.of(Check, "penetration_mm"),
        Ask.of(Check, "note"),
    ]
    await app.push_screen(Form(f"A touch of {run}", asks, save, draft=f"touch {run}", first="feel"))


async def correct_run(app: Notebook, run: Run) -> None:
    """Fill in or correct what is known of a run; what stood there stays in the history."""
    names = [name for name in _RUN_COLUMNS if name != "run"]
    await correct_row(app, run, names, f"Correct {run.run}")


_RUN_COLUMNS = (
    "run", "batch", "slab", "face", "started_at", "poured_g", "layer_mm", "area_cm2", "slip_sg", "slip_temp_c",
    "slab_before_g", "slab_after_g", "air_temp_c", "air_rh_pct", "air_speed_m_s", "ended_at", "clay_off_g",
    "outcome", "wedged_on", "by", "note",
)  # fmt: skip


async def correct_row(app: Notebook, row: Any, names: list[str] | tuple[str, ...], title: str) -> None:
    """A form over columns of any row of the record."""
    from claybench.terms import TABLE_OF
    from claybench.work.common import correct

    kind = type(row)
    table = TABLE_OF[kind]
    key = tuple(getattr(row, name) for name in table.key)

    async def save(values: Values) -> str:
        changes = {name: value for name, value in values.items() if value != getattr(row, name)}
        if changes:
            await app.do(correct, kind, key[0] if table.code else key, changes, seen=row)
            app.say_last()
        return str(values.get(table.code or "", key[0]))

    asks = [Ask.of(kind, name, getattr(row, name)) for name in names]
    tab = getattr(app.screen, "tab", "bench")  # where one came from
    await app.push_screen(Form(title, asks, save, draft=title, first=names[0], tab=tab))


async def note_air(app: Notebook) -> None:
    """The air of a place in the workshop."""
    from claybench.work.slabs import note_air as act

    async def save(values: Values) -> str:
        await app.do(act, Air(**values))
        app.say_last()
        return "air"

    asks = [
        Ask.of(Air, "air_temp_c", typed_in="°C"),
        Ask.of(Air, "air_rh_pct"),
        Ask.of(Air, "air_speed_m_s", note="0.1 in a quiet room"),
        Ask.of(Air, "place", "shelf", required=True),
        Ask.of(Air, "at", text="now"),
    ]
    await app.push_screen(Form("The air", asks, save, draft="air"))
