"""Weighing a batch out, one material at a time: target, what the scale should show, and what was really put in."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Input, Static

from claybench import acts, ask
from claybench.errors import BadInput, ClaybenchError
from claybench.mix.buckets import bucket_load
from claybench.mix.cautions import cautions_for
from claybench.mix.portions import fullest, portions
from claybench.quantity import read
from claybench.quantity.shown import percent
from claybench.tui.field import Field
from claybench.tui.keys import WEIGH, bindings
from claybench.tui.listing import Listing
from claybench.tui.place import AnswerPlace
from claybench.tui.words import number

if TYPE_CHECKING:
    from claybench.ask.weighing import Overshot


class WeighPlace(AnswerPlace[Any]):
    """One batch being weighed out; every weight is saved at once."""

    place = "weigh"
    tab = "book"
    takes_text = True
    BINDINGS = bindings(WEIGH)

    def __init__(self, batch: str) -> None:
        super().__init__()
        self.batch_code = batch
        self._page: Any = None
        self._at: int | None = None
        """The line that is weighed; the water comes after the last."""
        self._all_so_far = False
        """Whether the scale shows all that is in the bucket, tared once."""

    def compose_content(self) -> Iterable[Widget]:
        """The material in large, the field, the list."""
        yield Static(f"Weighing out {self.batch_code}", id="heading", classes="heading", markup=False)
        yield Static("", id="target", classes="text", markup=False)
        yield Field("", compact=True, id="weight", classes="filter", select_on_focus=False)
        yield Static("", id="echo", classes="dim", markup=False)
        with VerticalScroll(classes="box"):
            yield Static("", id="lines", classes="text", markup=False)
            yield Static("", id="cautions", classes="text", markup=False)

    def on_mount(self) -> None:
        """Keys go to the field."""
        self.query_one(Input).focus()

    async def fetch_answer(self) -> Any:
        """What is in and what comes."""
        return await self.notebook.consult(ask.weighing.weighing_out, self.batch_code)

    def show_answer(self, answer: Any) -> None:
        """The next material."""
        self._page = answer
        count = len(answer.lines)
        if self._at is None or self._at > count:
            self._at = count if answer.next is None else answer.next
        self._say()

    # -- words -------------------------------------------------------------------------------------

    def _say(self) -> None:
        page, at = self._page, self._at or 0
        water = page.water_to_add_g
        lines, total = [], 0.0
        for index, line in enumerate(page.lines):
            total += line.weighed_g or 0.0
            mark = "▸" if index == at else "✓" if line.weighed_g is not None else "·"
            name = line.material + (f" ({line.lot})" if line.lot else "")
            put = number(line.weighed_g, None, "g") if line.weighed_g is not None else ""
            off = ""
            if line.weighed_g is not None and line.weigh_g:
                off = percent(line.weighed_g / line.weigh_g - 1, 1, signed=True)
            lines.append(
                f"{mark} {name:<28.28}{number(line.weigh_g):>10}{put:>12}{off:>9}   so far {number(total, None, 'g')}"
            )
        mark = "▸" if at == len(page.lines) else "·"
        lines.append(f"{mark} {'water':<28}{number(water):>10}")
        self.query_one("#lines", Static).update(
            "\n".join([f"  {'':<28}{'target':>10}{'put in':>12}{'off':>9}", *lines])
        )
        self.query_one("#target", Static).update(self._target())
        act = "mix_slip" if at >= len(page.lines) else "weigh_dry"
        named = {} if at >= len(page.lines) else {page.lines[at].material: page.cautions[page.lines[at].material]}
        self.query_one("#cautions", Static).update("\n" + "\n".join(f"! {c.line()}" for c in cautions_for(act, named)))
        self._echo(self.query_one(Input).value)

    def _target(self) -> str:
        page, at = self._page, self._at or 0
        way = "all so far on one tare" if self._all_so_far else "this material alone"
        if at >= len(page.lines):
            water = page.water_to_add_g
            if water is None:
                return "Everything is in. How much water was put to it? Enter its mass."
            return (
                f"WATER   {number(water, None, 'g')}   for the {number(page.dry_g, 0, 'g')} of dry clay really put in"
            )
        line = page.lines[at]
        target = line.weigh_g
        if target is None:
            return f"{line.material.upper()}   no longer in the recipe; what was put in?"
        before = sum(each.weighed_g or 0.0 for n, each in enumerate(page.lines) if n < at)
        more = line.missing_g(page.step_g)
        if more:
            return (
                f"{line.material.upper()}   {number(more, None, 'g')} more to the {number(line.weighed_g, None, 'g')} in it"
                f"   type +{number(more, None, 'g')}"
            )
        scale = before + target if self._all_so_far else target
        said = f"{line.material.upper()}   {number(target, None, 'g')}   the scale shows {number(scale, None, 'g')} ({way})"
        return said + (f"\nits dose: {line.basis} of the dry mass" if line.basis else "") + self._in_parts(target)

    def _in_parts(self, target: float) -> str:
        settings = self._page.settings
        bucket = bucket_load(settings.number("weighing_bucket_ml"))
        try:
            most = fullest(self._page.step_g, bucket, settings.number("scale_largest_g"))
            parts = portions([("", target)], self._page.step_g, most)
        except ClaybenchError as error:
            return f"\n{error.reason} {error.remedy}"
        if len(parts) < 2:
            return ""
        return "\nin " + str(len(parts)) + " fillings: " + " + ".join(number(part.mass_g, None, "g") for part in parts)

    def tables(self) -> list[Listing]:
        """The list of what is weighed."""
        if self._page is None:
            return []
        rows: list[tuple[Any, ...]] = []
        total = 0.0
        for line in self._page.lines:
            total += line.weighed_g or 0.0
            rows.append((line.material, line.lot, line.weigh_g, line.weighed_g, total))
        rows.append(("water to add", None, self._page.water_to_add_g, None, None))
        headings = ("material", "lot", "target (g)", "put in (g)", "so far (g)")
        return [Listing(f"weighing {self.batch_code}", headings, tuple(rows))]

    # -- typing ------------------------------------------------------------------------------------

    def on_input_changed(self, event: Input.Changed) -> None:
        """What is understood."""
        self._echo(event.value)

    def _echo(self, text: str) -> None:
        if not text.strip() or self._page is None:
            self.query_one("#echo", Static).update("Type what was put in, Enter saves it.")
            return
        try:
            self.query_one("#echo", Static).update(self._understood(self._mass(text)))
        except BadInput as error:
            self.query_one("#echo", Static).update(f"✗ {error}")

    def _mass(self, text: str) -> float:
        """Mass of this material alone."""
        at, page = self._at or 0, self._page
        mass = read(text, "g").value
        if text.lstrip().startswith("+") and at < len(page.lines):
            mass += page.lines[at].weighed_g or 0.0
        elif self._all_so_far and at < len(page.lines):
            mass -= sum(each.weighed_g or 0.0 for n, each in enumerate(page.lines) if n < at)
        if mass <= 0:
            raise BadInput(
                "That is less than what is in the bucket already."
                if self._all_so_far
                else "A weight is more than nothing.",
                "Ctrl+t says whether the scale shows all so far or this material alone.",
            )
        return round(mass, 6)

    def _understood(self, mass: float) -> str:
        target = self._target_here()
        if not target:
            return f"= {number(mass, None, 'g')}"
        said = (
            f"= {number(mass, None, 'g')}, {number(mass - target, None, 'g')} off "
            f"the target ({percent(mass / target - 1, 1, signed=True)})"
        )
        over = self._overshot(mass)
        return said if over is None else f"{said}. Ctrl+g makes the rest follow: {over.words}"

    def _overshot(self, mass: float) -> Overshot | None:
        """What becomes of the batch if so much of this material is in; None for the water, and for what is right."""
        at = self._at or 0
        return None if at >= len(self._page.lines) else self._page.overshot(at, mass)

    def _target_here(self) -> float | None:
        at, page = self._at or 0, self._page
        found = page.water_to_add_g if at >= len(page.lines) else page.lines[at].weigh_g
        return None if found is None else float(found)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Save it and go on; one far off its target is asked about."""
        text = event.value
        if self._page is None or not text.strip():
            return
        try:
            mass = self._mass(text)
        except BadInput as error:
            self.query_one("#echo", Static).update(f"✗ {error}")
            return
        self.start_worker(self._save(mass))

    def action_follow(self) -> None:
        """More of it went in than was wanted: the others follow, so that the recipe is right again."""
        text = self.query_one(Input).value
        if self._page is None or not text.strip():
            self.notify("Type what really went in first.")
            return
        try:
            mass = self._mass(text)
        except BadInput as error:
            self.query_one("#echo", Static).update(f"✗ {error}")
            return
        over = self._overshot(mass)
        if over is None:
            self.notify("That is not more than its target: Enter saves it.")
            return
        self.start_worker(self._save(mass, over))

    async def _save(self, mass: float, over: Overshot | None = None) -> None:
        page, at = self._page, self._at or 0
        batch = page.batch.batch

        def then(_code: str) -> None:
            self.query_one(Input).value = ""
            if at >= len(page.lines):
                self.dismiss(None)
                return
            self._at = at + 1 if over is None else self._short_of(over, at)
            self._say()

        # the list says that it is done; a notice would stand before it
        if at >= len(page.lines):
            await self.notebook.perform_here(
                acts.weighing.WATER_IN, {"batch": batch, "water_g": mass}, quiet=True, then=then
            )
            return
        line = page.lines[at]
        values = {
            "batch": batch,
            "material": line.material,
            "mass_g": mass,
            "lot": line.lot,
            "follow": over is not None,
        }
        await self.notebook.perform_here(acts.weighing.WEIGH_IN, values, quiet=True, then=then)

    @staticmethod
    def _short_of(over: Overshot, at: int) -> int:
        """What was weighed before and wants more comes first, then the next material."""
        return next((n for n, line in enumerate(over.lines) if line.missing_g(over.step_g)), at + 1)

    def action_total(self) -> None:
        """What the scale shows."""
        self._all_so_far = not self._all_so_far
        self._say()

    def action_step(self, by: int) -> None:
        """Another material."""
        if self._page is not None:
            self._at = min(max((self._at or 0) + by, 0), len(self._page.lines))
            self._say()

    def action_leave(self) -> None:
        """Leave."""
        self.dismiss(None)
