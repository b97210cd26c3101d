"""Plasticity of one batch: its points entered one after another, and what follows shown beside them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask, work
from claybench.acts.act import Values
from claybench.acts.plasticity_points import POINTS, correct_point_act, point_act
from claybench.insight.bodies.liquid_limits import method_words
from claybench.insight.bodies.plasticity import interval_words, plasticity_reasons
from claybench.measure.properties.built_in import LIQUID_LIMIT, PLASTIC_LIMIT, PLASTICITY_INDEX, WORKABLE_WATER
from claybench.measure.properties.declaration import Property
from claybench.measure.water_content import water_of_plasticity
from claybench.terms import TABLE_OF, Measurement
from claybench.tui.display_text import NOTHING, moment_text, number_text
from claybench.tui.forms.act_form import ask_act
from claybench.tui.keys import PLASTICITY, bindings
from claybench.tui.list_place import ListPlace
from claybench.tui.place import RecordPlace
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.tui.text_screen import TextScreen

if TYPE_CHECKING:
    from claybench.ask.pieces import PlasticityPage
    from claybench.insight.bodies.plasticity import Plasticity
    from claybench.tui.notebook import Notebook


def point_reading_text(row: Measurement) -> str:
    """Blows, depth or mark of a point; empty for a thread, which is weighed only."""
    if row.what == "liquid_cup":
        return f"{row.count} blows" if row.count else ""
    if row.what == "liquid_cone":
        return number_text(row.value, None, "mm") if row.value else ""
    if row.what == "coil_bend":
        return f"{number_text(row.value)} of 5" if row.value else ""
    return ""


def point_text(row: Measurement) -> str:
    """A point that was saved: what was read, and its water."""
    read = point_reading_text(row) if row.what in ("liquid_cup", "liquid_cone", "coil_bend") else "thread"
    if row.wet_g is None or row.dry_g is None:
        return read + ("" if row.what == "coil_bend" else ", its dry mass still to come")
    if not 0 < row.dry_g <= row.wet_g:
        return f"{read}, its dry mass is no less than its wet one" if row.dry_g > 0 else read
    return f"{read} at {number_text(water_of_plasticity(row.wet_g, row.dry_g), 1)} % water"


def limits_text(plasticity: Plasticity) -> str:
    """The first liquid limit, the plastic limit and the index, as far as they follow, in one line."""
    figures = [(LIQUID_LIMIT.title, limit.water_pct) for limit in plasticity.limits[:1]]
    figures += [(PLASTIC_LIMIT.title, plasticity.plastic_pct)] if plasticity.plastic_pct is not None else []
    figures += [("index", plasticity.index_pct)] if plasticity.index_pct is not None else []
    return ", ".join(f"{name} {number_text(value, 1)} %" for name, value in figures)


def _figure(declared: Property, value: float, says: str) -> str:
    return f"{declared.title:<20}{number_text(value, declared.digits):>6} {declared.sign}   {says}"


def limit_lines(plasticity: Plasticity) -> list[str]:
    """What follows from the points, in words; one line a figure, doubts last."""
    lines = []
    for limit in plasticity.limits:
        sure = interval_words(limit.interval, LIQUID_LIMIT.digits)
        lines.append(_figure(LIQUID_LIMIT, limit.water_pct, "; ".join(filter(None, (method_words(limit), sure)))))
    if plasticity.plastic_pct is not None:
        spread = f", ±{number_text(plasticity.threads_sd_pct, 2)}" if plasticity.threads_sd_pct else ""
        threads = f"{plasticity.threads} thread{'s' if plasticity.threads > 1 else ''}{spread}"
        lines.append(_figure(PLASTIC_LIMIT, plasticity.plastic_pct, f"{threads} (ASTM D4318)"))
    if plasticity.index_pct is not None:
        by = method_words(plasticity.limits[0]).split(",")[0]
        sure = interval_words(plasticity.index_interval, PLASTICITY_INDEX.digits)
        says = "; ".join(filter(None, (f"liquid less plastic limit, by the {by}", sure)))
        lines.append(_figure(PLASTICITY_INDEX, plasticity.index_pct, says))
    if plasticity.working_water is not None:
        worked = plasticity.working_water
        air = f"; {worked.air_dry} of them air dry, so a little low" if worked.air_dry else ""
        one = f"{worked.pieces} piece{'s' if worked.pieces > 1 else ''}"
        lines.append(_figure(WORKABLE_WATER, worked.mean_pct, f"as {one} held when formed{air}"))
    if lines:
        lines.append(
            "All waters are of dry mass after 110 °C. Cup and cone are not interchangeable, nor are two cones."
        )
    return lines + [f"? {note}" for note in plasticity.notes]


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
        {"by": saved.by, "method": saved.method} if saved is not None else {},
        fixed={"batch": batch, "what": what},
        tab="book",
        draft=f"point {batch} {what}",
        follows=_water_text,
        then=again,
    )


async def _ask_next_point(notebook: Notebook, batch: str, what: str) -> None:
    points = (await notebook.consult(ask.pieces.batch_plasticity, batch)).plasticity.points
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
    limits = limits_text((await notebook.consult(ask.pieces.batch_plasticity, batch)).plasticity)
    return (f"So far {limits}. " if limits else "") + "The next one, or Esc."


_EMPTY = """No point yet.

c  cup: blows at which the groove closes, and a sample's wet and dry mass
f  fall cone: which one, how deep it sinks in, and a sample's wet and dry mass
t  thread: a sample of threads that crumble at 3.2 mm, wet and dry
b  bend: a coil bent round a finger, 1 (splits) to 5 (no crack)

A dry mass can be filled in tomorrow: put the line on the point and press Enter."""


class PlasticityPlace(RecordPlace["PlasticityPage"], ListPlace["PlasticityPage", Measurement]):
    """Points of one batch."""

    place = "plasticity"
    tab = "book"
    BINDINGS = bindings(PLASTICITY)

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Plasticity of {self.code}", id="heading", classes="heading", markup=False)
        yield Static("", id="results", classes="text", markup=False)
        yield TableView(
            [TableColumn("point", 6), TableColumn("read", 9, right=True), TableColumn("wet g", 7, right=True), TableColumn("dry g", 7, right=True),
             TableColumn("water %", 7, right=True), TableColumn("when", 12), TableColumn("", 12, grows=True)],
            id="list", empty=_EMPTY,
        )  # fmt: skip

    async def fetch_answer(self) -> PlasticityPage:
        return await self.notebook.consult(ask.pieces.batch_plasticity, self.code)

    def show_answer(self, answer: PlasticityPage) -> None:
        self.query_one("#results", Static).update("\n".join(limit_lines(answer.plasticity)))
        zone = self.notebook.now().tzinfo
        rows = []
        for point in answer.plasticity.points:
            row = point.reading
            cone = point.cone.name if point.cone else ""
            text = point.doubt or ", ".join(filter(None, (cone, row.note or "")))
            cells = (
                POINTS[row.what].title, point_reading_text(row) or NOTHING, number_text(row.wet_g), number_text(row.dry_g), number_text(point.water_pct, 1),
                moment_text(row.at.astimezone(zone)), ("? " if point.doubt else "") + text + (f"  {row.by}" if row.by else ""),
            )  # fmt: skip
            rows.append(TableRow(cells, row))
        self.table.fill(rows)

    # -- keys --------------------------------------------------------------------------------------

    def action_add(self, what: str) -> None:
        self.start_worker(ask_points(self.notebook, self.code, what))

    def open_line(self, record: Measurement) -> None:
        self.start_worker(ask_point_correction(self.notebook, record))

    def action_why(self) -> None:
        if self.answer is not None:
            lines = plasticity_reasons(self.answer.plasticity) or ["No limit follows from the points so far."]
            self.notebook.push_screen(TextScreen(f"Where the limits of {self.code} come from", lines))

    def action_delete(self) -> None:
        row = self.table.record
        if row is not None:
            key = tuple(getattr(row, name) for name in TABLE_OF[Measurement].key)
            self.start_worker(self.notebook.attempt(work.any_row.delete_row, Measurement, key))
