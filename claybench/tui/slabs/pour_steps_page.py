"""The pour of a slab, step by step, with a clock for each: the times are the record's, so the clock outlives the program."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from textual import events
from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from claybench import acts, ask
from claybench.tui.caution_list import CautionList
from claybench.tui.display_text import moment_text, number_text
from claybench.tui.forms.act_form import ask_act
from claybench.tui.keys import POUR, bindings
from claybench.tui.place import RecordPlace

if TYPE_CHECKING:
    from claybench.ask.pour_steps import PourPage


class PourStepsPlace(RecordPlace["PourPage"]):
    """One pour."""

    place = "pour"
    tab = "slabs"
    BINDINGS = bindings(POUR)

    def compose_content(self) -> Iterable[Widget]:
        yield Static(f"Pour of {self.code}", id="heading", classes="heading", markup=False)
        yield Static("", id="running", classes="due", markup=False)
        with VerticalScroll(classes="box"):
            yield Static("", id="steps", classes="text", markup=False)
            yield CautionList()

    async def fetch_answer(self) -> PourPage:
        return await self.notebook.consult(ask.pour_steps.pour_page, self.code)

    def show_answer(self, answer: PourPage) -> None:
        slabs = ", ".join(answer.slabs)
        self.query_one("#heading", Static).update(f"Pour of {slabs}" + _weights_text(answer))
        self._list_steps(answer)
        self.query_one(CautionList).tell(answer.care, answer.cautions)
        self._show_clock(answer, self.notebook.now())

    def on_resize(self, event: events.Resize) -> None:
        if self.answer is not None:
            self._list_steps(self.answer)

    def _list_steps(self, page: PourPage) -> None:
        """The steps, what does not fit into a line hung below its text."""
        lines: list[str] = []
        coming, room = page.next, max(self.size.width - 4, 40)
        for number_, each in enumerate(page.steps, 1):
            mark = "✓" if each.at else "▸" if each is coming else "·"
            when = f"{each.at:%H:%M:%S}" if each.at else "not logged" if coming is None else ""
            if each.at and each.at.date() != page.at.date():
                when = moment_text(each.at)
            said = f"{mark} {number_:>2} {when:<13}{each.step.text}"
            said += "".join(f"  {more}" for more in (each.amount, each.remark) if more)
            times = each.step.short_times()
            lines += textwrap.wrap(
                said + (f"  {times}" if times else ""),
                room,
                subsequent_indent=" " * 18,
                replace_whitespace=False,
                drop_whitespace=True,
            )
        self.query_one("#steps", Static).update("\n".join(lines))

    def tick(self, now: datetime) -> None:
        super().tick(now)
        if self.answer is not None and self.is_mounted:
            self._show_clock(self.answer, now)

    def _show_clock(self, page: PourPage, now: datetime) -> None:
        coming, since = page.next, page.since
        if coming is None:
            said = _over_text(page)
        elif since is None:
            said = f"First: {coming.step.text}  Enter when it is done."
        else:
            rule = coming.step.times()
            said = f"{_elapsed_text(now, since)} since the last step.  Next: {coming.step.text}  Enter when it is done."
            said += f"\n{rule}" if rule else ""
        for running in self.query("#running").results(Static):  # none while the screen is still being made
            running.update(said)

    def action_done(self) -> None:
        if self.answer is not None and self.answer.next is not None:
            self.start_worker(self._do_step(self.answer.next.step.name, self.answer.slabs))

    async def _do_step(self, step: str, codes: Sequence[str]) -> None:
        slabs = ", ".join(codes)
        given = {"slab": codes[0], "step": step}
        if not acts.slabs.is_measured(step):  # the list says that it is done
            mark_seen = self.query_one(CautionList).when_done()
            await self.notebook.perform_here(
                acts.slabs.step_act(step),
                {**given, "at": self.notebook.now()},
                quiet=True,
                then=lambda _code: mark_seen(),
            )
            return
        draft = f"Pour of {slabs}: {step}"
        await ask_act(
            self.notebook,
            acts.slabs.step_act(step),
            {"slabs": slabs},
            fixed=given,
            tab="slabs",
            draft=draft,
        )

    def action_slab(self) -> None:
        self.start_worker(self.notebook.open_record("slabs", self.code))


def _over_text(page: PourPage) -> str:
    """What is to be said when no step is left."""
    missing, steps = page.unlogged, len(page.steps)
    if missing == steps:
        return "None of its steps was logged: it was poured before the record began. There is nothing to do here."
    said = f"The last step is done; {missing} of the {steps} were never logged." if missing else "Every step is done."
    if page.in_use_before:
        return said
    return f"{said} Weigh and turn it until two weighings a day apart agree."


def _weights_text(page: PourPage) -> str:
    """Plaster and water of the whole pour in one line; empty where they are not known."""
    if not page.to_weigh:
        return ""
    plaster, water = sum(each.plaster_g for each in page.to_weigh), sum(each.water_g for each in page.to_weigh)
    mixes = f" in {len(page.to_weigh)} mixes" if len(page.to_weigh) > 1 else ""
    waste = "waste included" if page.as_sized else "the usual waste included"
    return f"   {number_text(plaster, unit='g')} plaster into {number_text(water, unit='g')} water{mixes}, {waste}"


def _elapsed_text(now: datetime, since: datetime) -> str:
    seconds = max(int((now - since).total_seconds()), 0)
    if seconds < 3600:
        return f"{seconds // 60} min {seconds % 60:02d} s"
    if seconds < 48 * 3600:
        return f"{seconds // 3600} h {seconds % 3600 // 60:02d} min"
    return f"{seconds // 86400} days {seconds % 86400 // 3600} h"
