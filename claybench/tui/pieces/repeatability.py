"""The measurement study on the screen: what repeated readings tell so far, and beginning a study."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.acts.pieces import listed_count_text
from claybench.insight.pieces.measurement_study import StudyPlan, bars_offered, plan_study
from claybench.insight.pieces.repeatability import study_lines, study_reasons
from claybench.measure.properties.readings import DRY_LENGTH, READINGS, SIZES
from claybench.terms.naming import parse_codes
from claybench.tui.forms.form import Form
from claybench.tui.keys import REPEATS, bindings
from claybench.tui.pieces.study import StudyPlace, keep_study, load_study
from claybench.tui.place import AnswerPlace
from claybench.tui.plain_table import PlainTable
from claybench.tui.text_screen import TextScreen

if TYPE_CHECKING:
    from claybench.insight.pieces.repeatability import RepeatabilityStudy
    from claybench.tui.notebook import Notebook

_GUIDE = (
    "How much of the scatter is the caliper and the hand?\n\n"
    "Take five to ten bars, as different as those you compare, and measure each twice, in another order the second time, "
    "without looking at the first figures. Let everybody measure who measures otherwise, too. Half an hour tells what "
    "difference between bodies can be seen at all, and whether another bar or another reading helps more.\n\n"
    "n begins one: it says which bar comes next, and keeps every reading beside the first ones."
)


class RepeatabilityPlace(AnswerPlace["list[RepeatabilityStudy]"]):
    """Results of every reading that was made again."""

    place = "repeats"
    tab = "pieces"
    BINDINGS = bindings(REPEATS)

    def __init__(self, pieces: Sequence[str]) -> None:
        super().__init__()
        self._codes = list(pieces)
        self._plan: StudyPlan | None = None
        self._studies: list[RepeatabilityStudy] = []

    def compose_content(self) -> Iterable[Widget]:
        yield Static("How much of the scatter is measuring", id="heading", classes="heading", markup=False)
        yield Static("", id="under-way", classes="text", markup=False)
        with VerticalScroll(classes="box"):
            yield Static("", id="found", classes="text", markup=False)

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()

    async def fetch_answer(self) -> list[RepeatabilityStudy]:
        return await self.notebook.consult(ask.pieces.repeat_studies)

    def show_answer(self, answer: list[RepeatabilityStudy]) -> None:
        """One part for each kind of reading; the guide where there is none."""
        self._studies = list(answer)
        self._plan = load_study(self.notebook.drafts)
        going = ""
        if self._plan is not None:
            going = f"A study of the {READINGS[self._plan.reading].column.label} is under way: Enter goes on with it."
        self.query_one("#under-way", Static).update(going)
        lines: list[str] = []
        for study in answer:
            lines += [READINGS[study.reading].column.label.upper(), *study_lines(study), ""]
        self.query_one("#found", Static).update("\n".join([*lines, _GUIDE]))

    def action_why(self) -> None:
        lines = [
            line
            for each in self._studies
            for line in [READINGS[each.reading].column.label.upper(), *study_reasons(each), ""]
        ]
        self.notebook.push_screen(TextScreen("Where these figures come from", lines or ["Nothing was read again yet."]))

    def tables(self) -> list[PlainTable]:
        rows = [
            (each.reading, text, variance, each.gauge.share_pct(variance), each.gauge.sd_pct(variance))
            for each in self._studies
            if each.gauge is not None
            for text, variance in (
                ("reading again", each.gauge.repeatability),
                ("between hands", each.gauge.operator),
                ("hand by piece", each.gauge.interaction),
                ("between pieces", each.gauge.piece),
            )
            if variance is not None
        ]
        return [PlainTable("scatter", ("reading", "of", "variance", "share (%)", "as spread (%)"), tuple(rows))]

    def action_begin(self) -> None:
        self.start_worker(ask_study(self.notebook, self._codes))

    def action_go_on(self) -> None:
        if self._plan is None:
            self.action_begin()
        else:
            self.notebook.push_screen(StudyPlace(self._plan))


async def ask_study(notebook: Notebook, codes: Sequence[str]) -> None:
    """Which reading, which bars, who measures; then measure."""
    lines = await notebook.consult(ask.pieces.piece_lines)
    pieces = [line.piece for line in lines]
    fired = [line.fired for line in lines if line.fired is not None]
    firings = tuple(firing.firing for firing, _ in await notebook.consult(ask.pieces.list_firings))
    bars = bars_offered(codes, pieces)

    async def save(values: Values) -> StudyPlan:
        plan = plan_study(
            values["reading"],
            parse_codes(values["pieces"]),
            parse_codes(values["hands"]),
            int(values["rounds"]),
            values["firing"],
            notebook.now(),
            pieces=pieces,
            fired=fired,
        )
        keep_study(notebook.drafts, plan)
        return plan

    def measure(plan: object) -> None:
        if isinstance(plan, StudyPlan):
            notebook.push_screen(StudyPlace(plan))

    fields = [
        ActField(name="reading", label="reading", kind="word", words=SIZES, required=True, text=DRY_LENGTH.name),
        ActField(name="pieces", label="bars", text=", ".join(bars), note="five to ten", echoes=listed_count_text, long=True),
        ActField(name="hands", label="hands", kind="text", text=notebook.lab.who, note="who measures: k, m"),
        ActField(name="rounds", label="times each", kind="whole", low=2.0, high=5.0, text="2", required=True),
        ActField(name="firing", label="firing", kind="code", text=next(iter(firings), ""), suggestions=firings,
            note="for fired bars"),
    ]  # fmt: skip
    form = Form("A measurement study", fields, save, draft="begin study", tab="pieces", first="reading")
    await notebook.push_screen(form, measure)
