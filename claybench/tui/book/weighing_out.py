"""Weighing a batch out, one material at a time: target, what the scale should show, and what was really put in."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Input, Static

from claybench import acts, ask
from claybench.errors import BadInput, ClaybenchError
from claybench.mix.cautions import cautions_for
from claybench.quantity import parse_quantity
from claybench.quantity.shown import percent
from claybench.tui.caution_list import CautionList
from claybench.tui.display_text import number_text
from claybench.tui.keys import WEIGH, bindings
from claybench.tui.place import RecordPlace
from claybench.tui.plain_table import PlainTable
from claybench.tui.text_field import TextField

if TYPE_CHECKING:
    from claybench.acts.act import Values
    from claybench.acts.field import FieldReading
    from claybench.ask.weighing_out import Overshoot, WeighingOut


def progress_text(weighing: WeighingOut, at: int) -> str:
    """Every material with its target and what was put in, and the water last; a mark at line `at`."""
    lines, total = [f"  {'':<28}{'target':>10}{'put in':>12}{'off':>9}"], 0.0
    for index, line in enumerate(weighing.lines):
        total += line.weighed_g or 0.0
        mark = "▸" if index == at else "✓" if line.weighed_g is not None else "·"
        name = line.material + (f" ({line.lot})" if line.lot else "")
        put = number_text(line.weighed_g, None, "g") if line.weighed_g is not None else ""
        off = ""
        if line.weighed_g is not None and line.weigh_g:
            off = percent(line.weighed_g / line.weigh_g - 1, 1, signed=True)
        cells = f"{name:<28.28}{number_text(line.weigh_g):>10}{put:>12}{off:>9}"
        lines.append(f"{mark} {cells}   so far {number_text(total, None, 'g')}")
    mark = "▸" if at == len(weighing.lines) else "·"
    return "\n".join([*lines, f"{mark} {'water':<28}{number_text(weighing.water_to_add_g):>10}"])


def target_text(weighing: WeighingOut, at: int, *, all_so_far: bool) -> str:
    """What to put in now and what the scale should show, with the dose and the fillings of a bucket below it."""
    if at >= len(weighing.lines):
        water = weighing.water_to_add_g
        if water is None:
            return "Everything is in. How much water was put to it? Enter its mass."
        dry = number_text(weighing.dry_g, 0, "g")
        return f"WATER   {number_text(water, None, 'g')}   for the {dry} of dry clay really put in"
    line = weighing.lines[at]
    name, target = line.material.upper(), line.weigh_g
    if target is None:
        return f"{name}   no longer in the recipe; what was put in?"
    if more := line.missing_g(weighing.step_g):
        more_text, there = number_text(more, None, "g"), number_text(line.weighed_g, None, "g")
        return f"{name}   {more_text} more to the {there} in it   type +{more_text}"
    scale = weighing.before_g(at) + target if all_so_far else target
    way = "all so far on one tare" if all_so_far else "this material alone"
    text = f"{name}   {number_text(target, None, 'g')}   the scale shows {number_text(scale, None, 'g')} ({way})"
    dose = f"its dose: {line.basis} of the dry mass" if line.basis else ""
    return "\n".join(filter(None, (text, dose, _fillings_text(weighing, target))))


def _fillings_text(weighing: WeighingOut, target_g: float) -> str:
    try:
        fillings = weighing.fillings(target_g)
    except ClaybenchError as error:
        return f"{error.reason} {error.remedy}"
    if len(fillings) < 2:
        return ""
    return f"in {len(fillings)} fillings: {' + '.join(number_text(mass, None, 'g') for mass in fillings)}"


def entry_text(weighing: WeighingOut, at: int, mass_g: float, understood: str = "") -> str:
    """What was understood of a mass typed for line `at`: how far off its target, and what more of it would lead to.

    `understood` says how the mass came of what was typed, where it was a volume.
    """
    target, mass_text = weighing.target_of(at), understood or f"= {number_text(mass_g, None, 'g')}"
    if not target:
        return mass_text
    off = f"{number_text(mass_g - target, None, 'g')} off the target ({percent(mass_g / target - 1, 1, signed=True)})"
    over = weighing.overshot(at, mass_g)
    text = f"{mass_text}, {off}"
    return text if over is None else f"{text}. Ctrl+g makes the rest follow: {over.words}"


class WeighPlace(RecordPlace["WeighingOut"]):
    """One batch being weighed out; every weight is saved at once."""

    place = "weigh"
    tab = "book"
    takes_text = True
    BINDINGS = bindings(WEIGH)

    _at: int | None = None
    """The line that is weighed; the water comes after the last. None before the batch is there."""
    _all_so_far = False
    """Whether the scale shows all that is in the bucket, tared once."""

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Weighing out {self.code}", id="heading", classes="heading", markup=False)
        yield Static("", id="target", classes="text", markup=False)
        yield TextField("", id="weight", classes="filter", select_on_focus=False)
        yield Static("", id="echo", classes="dim", markup=False)
        with VerticalScroll(classes="box"):
            yield Static("", id="lines", classes="text", markup=False)
            yield CautionList()

    def on_mount(self) -> None:
        self.query_one(Input).focus()

    async def fetch_answer(self) -> WeighingOut:
        return await self.notebook.consult(ask.weighing_out.weighing_out, self.code)

    def show_answer(self, answer: WeighingOut) -> None:
        count = len(answer.lines)
        if self._at is None or self._at > count:
            self._at = count if answer.next is None else answer.next
        self._paint()

    def _paint(self) -> None:
        weighing, at = self.answer, self._at
        if weighing is None or at is None:
            return
        self.query_one("#lines", Static).update(progress_text(weighing, at))
        self.query_one("#target", Static).update(target_text(weighing, at, all_so_far=self._all_so_far))
        here = [line.material for line in weighing.lines[at : at + 1]]
        act = "weigh_dry" if here else "mix_slip"
        self.query_one(CautionList).tell(act, cautions_for(act, {name: weighing.care[name] for name in here}))
        self._echo(self.query_one(Input).value)

    def tables(self) -> list[PlainTable]:
        if self.answer is None:
            return []
        rows: list[tuple[object, ...]] = []
        total = 0.0
        for line in self.answer.lines:
            total += line.weighed_g or 0.0
            rows.append((line.material, line.lot, line.weigh_g, line.weighed_g, total))
        rows.append(("water to add", None, self.answer.water_to_add_g, None, None))
        headings = ("material", "lot", "target (g)", "put in (g)", "so far (g)")
        return [PlainTable(f"weighing {self.code}", headings, tuple(rows))]

    # -- typing ------------------------------------------------------------------------------------

    def on_input_changed(self, event: Input.Changed) -> None:
        self._echo(event.value)

    def _echo(self, text: str) -> None:
        entry = self._read(text)
        if entry is not None:
            weighing, at, mass = entry
            understood = self._water(text).echo if at >= len(weighing.lines) else ""
            self.query_one("#echo", Static).update(entry_text(weighing, at, mass, understood))
        elif not text.strip() or self.answer is None:
            self.query_one("#echo", Static).update("Type what was put in, Enter saves it.")

    def _read(self, text: str) -> tuple[WeighingOut, int, float] | None:
        """The batch, the line and the mass typed for it; None where there is none, which is said."""
        if self.answer is None or self._at is None or not text.strip():
            return None
        on_top = text.lstrip().startswith("+")
        try:
            shown = self._shown_g(text, is_water=self._at >= len(self.answer.lines))
            mass = self.answer.put_in_g(self._at, shown, on_top=on_top, all_so_far=self._all_so_far)
        except BadInput as error:
            self.query_one("#echo", Static).update(f"✗ {error}")
            return None
        return self.answer, self._at, mass

    def _shown_g(self, text: str, *, is_water: bool) -> float:
        """What the scale shows, g, as typed; of the water its volume may be typed."""
        if not is_water:
            return parse_quantity(text, "g").value
        water = self._water(text)
        if water.wrong:
            raise BadInput(water.wrong)
        return float(water.value)

    def _water(self, text: str) -> FieldReading:
        return acts.weighing_out.WATER_IN.field("water_g").understand(text, self.notebook.now())

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Save it and go on; one far off its target is asked about."""
        entry = self._read(event.value)
        if entry is not None:
            self.start_worker(self._save(*entry))

    def action_follow(self) -> None:
        """More of it went in than was wanted: the others follow, so that the recipe is right again."""
        text = self.query_one(Input).value
        if self.answer is None or not text.strip():
            self.notify("Type what really went in first.")
            return
        entry = self._read(text)
        if entry is None:
            return
        weighing, at, mass = entry
        over = weighing.overshot(at, mass)
        if over is None:
            self.notify("That is not more than its target: Enter saves it.")
            return
        self.start_worker(self._save(weighing, at, mass, over))

    async def _save(self, weighing: WeighingOut, at: int, mass: float, over: Overshoot | None = None) -> None:
        """Record a mass; where it is `over` its target, the others' targets follow."""
        is_water = at >= len(weighing.lines)
        mark_seen = self.query_one(CautionList).when_done()

        def then(_code: str) -> None:
            self.query_one(Input).value = ""
            mark_seen()
            if is_water:
                self.dismiss(None)
                return
            self._at = at + 1 if over is None else over.next_line(at)
            self._paint()

        # the list says that it is done; a notice would stand before it
        values: Values = {"batch": weighing.batch.batch}
        if is_water:
            values |= {"water_g": mass}
            await self.notebook.perform_here(acts.weighing_out.WATER_IN, values, quiet=True, then=then)
            return
        line = weighing.lines[at]
        values |= {"material": line.material, "mass_g": mass, "lot": line.lot, "follow": over is not None}
        await self.notebook.perform_here(acts.weighing_out.WEIGH_IN, values, quiet=True, then=then)

    # -- keys --------------------------------------------------------------------------------------

    def action_total(self) -> None:
        self._all_so_far = not self._all_so_far
        self._paint()

    def action_step(self, by: int) -> None:
        if self.answer is not None:
            self._at = min(max((self._at or 0) + by, 0), len(self.answer.lines))
            self._paint()

    def action_leave(self) -> None:
        self.dismiss(None)
