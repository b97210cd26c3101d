"""A measurement study being made, its draft kept: one bar after another, earlier figures out of sight."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Input, Static

from claybench import acts, ask
from claybench.errors import ClaybenchError, Question
from claybench.insight.pieces.measurement_study import StudyPlan, StudyTurn
from claybench.insight.pieces.repeatability import NO_OPERATOR, question_far_repeat, study_lines
from claybench.measure.properties.readings import READINGS
from claybench.quantity.shown import short_number
from claybench.terms import Measurement
from claybench.tui.keys import STUDY, bindings
from claybench.tui.pieces.typed_reading import parse_reading
from claybench.tui.place import AnswerPlace
from claybench.tui.text_field import TextField

if TYPE_CHECKING:
    from claybench.insight.pieces.repeatability import RepeatabilityStudy
    from claybench.tui.drafts import Drafts


_DRAFT = "study"


def keep_study(drafts: Drafts, plan: StudyPlan) -> None:
    """Keep the plan, in place of the one that was kept before."""
    drafts.keep(
        _DRAFT,
        {
            "reading": plan.reading,
            "pieces": "\n".join(plan.pieces),
            "hands": "\n".join(plan.operators),
            "rounds": str(plan.rounds),
            "firing": plan.firing or "",
            "begun": plan.begun.isoformat(),
        },
    )


def load_study(drafts: Drafts) -> StudyPlan | None:
    """The plan that was kept; None where none was, or where it cannot be read."""
    draft = drafts.load(_DRAFT)
    try:
        return StudyPlan(
            reading=draft["reading"],
            pieces=tuple(draft["pieces"].split("\n")),
            operators=tuple(draft["hands"].split("\n")),
            rounds=int(draft["rounds"]),
            firing=draft["firing"] or None,
            begun=datetime.fromisoformat(draft["begun"]),
        )
    except (KeyError, ValueError):
        return None


def drop_study(drafts: Drafts) -> None:
    """Forget the plan, once every reading of it is made."""
    drafts.drop(_DRAFT)


class StudyPlace(AnswerPlace["tuple[list[Measurement], list[RepeatabilityStudy]]"]):
    """The next bar, the field, and how far it is."""

    place = "study"
    tab = "pieces"
    takes_text = True
    BINDINGS = bindings(STUDY)

    def __init__(self, plan: StudyPlan) -> None:
        super().__init__()
        self._plan = plan
        self._made: list[Measurement] = []
        self._on_the_way: list[Measurement] = []
        """Entered, and not in the record yet."""
        self._study: RepeatabilityStudy | None = None
        self._later: list[StudyTurn] = []
        """Turns put off in this sitting."""

    def compose_content(self) -> Iterable[Widget]:
        yield Static("", id="turn", classes="heading", markup=False)
        yield TextField("", id="value", classes="filter", select_on_focus=False)
        yield Static("", id="said", classes="text", markup=False)
        with VerticalScroll(classes="box"):
            yield Static("", id="found", classes="text", markup=False)

    def on_mount(self) -> None:
        self.query_one(Input).focus()

    async def fetch_answer(self) -> tuple[list[Measurement], list[RepeatabilityStudy]]:
        """What was read since it began, and what follows from all readings."""
        made = await self.notebook.consult(ask.pieces.readings_since, self._plan.reading, self._plan.begun)
        return made, await self.notebook.consult(ask.pieces.repeat_studies)

    def show_answer(self, answer: tuple[list[Measurement], list[RepeatabilityStudy]]) -> None:
        self._made, studies = answer
        self._study = next((each for each in studies if each.reading == self._plan.reading), None)
        self._show()

    def _show(self) -> None:
        turn, done = self._turn, len(self._plan.turns()) - len(self._open)
        label = READINGS[self._plan.reading].column.label
        if turn is None:
            self.query_one("#turn", Static).update(f"All {done} readings of the {label} are in.  Esc leaves.")
            drop_study(self.notebook.drafts)
            lines = study_lines(self._study) if self._study is not None else []
        else:
            hand = f"{turn.operator}: " if turn.operator != NO_OPERATOR else ""
            text = f"{hand}{label} of {turn.piece}   round {turn.round} of {self._plan.rounds}, {done + 1} of {len(self._plan.turns())}"
            self.query_one("#turn", Static).update(text)
            order = "in the order you like" if turn.round == 1 else "in another order; do not look the first figures up"
            lines = [
                f"Measure {turn.piece} as if it were new, {order}.",
                "Down puts it off, Ctrl+z takes the last one back.",
            ]
        self.query_one("#found", Static).update("\n".join(lines))

    @property
    def _open(self) -> list[StudyTurn]:
        return self._plan.open_turns([*self._made, *(row for row in self._on_the_way if row not in self._made)])

    @property
    def _turn(self) -> StudyTurn | None:
        """The turn that comes next: of one round after another, those put off last."""
        left = self._open
        first = [turn for turn in left if turn not in self._later]
        if not first:
            self._later = []
        return next(iter(first or left), None)

    def on_input_changed(self, event: Input.Changed) -> None:
        typed = (
            parse_reading(READINGS[self._plan.reading], event.value, self.notebook.now())
            if event.value.strip()
            else None
        )
        self._say("" if typed is None else f"✗ {typed.wrong}" if typed.wrong else typed.echo)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Keep it and go on; one far off is asked about."""
        turn, text = self._turn, event.value
        if turn is None or not text.strip():
            return
        typed = parse_reading(READINGS[self._plan.reading], text, self.notebook.now())
        if not isinstance(typed.value, float):
            return
        before = [
            row.value for row in [*self._made, *self._on_the_way] if row.piece == turn.piece and row.value is not None
        ]
        value = typed.value

        def answered(meant: Sequence[Question] | None) -> None:
            if meant is not None:
                self._keep(turn, value, asked)

        # what stands in the record is not told, since whoever measures is not to know it
        far = question_far_repeat(turn.piece, value, before)
        asked = [] if far is None else [far]
        if asked:
            self.notebook.ask_whether(asked, answered)
        else:
            self._keep(turn, value, asked)

    def _keep(self, turn: StudyTurn, value: float, asked: Sequence[Question]) -> None:
        """Send it off; the next bar's turn comes at once, so that whoever types fast types for that one."""
        by = None if turn.operator == NO_OPERATOR else turn.operator
        row = Measurement(
            piece=turn.piece,
            firing=self._plan.firing,
            at=self.notebook.now(),
            what=self._plan.reading,
            value=value,
            by=by,
        )
        self._on_the_way.append(row)
        self.query_one(Input).value = ""
        self._show()
        self.run_worker(self._save(row, asked), exit_on_error=False, group="save")

    async def _save(self, row: Measurement, asked: Sequence[Question]) -> None:
        values = {name: getattr(row, name) for name in acts.pieces.READING.names}
        try:
            await self.notebook.perform(acts.pieces.READING, values, meant=asked, asked=asked, quiet=True)
        except ClaybenchError as error:
            self._say(f"✗ {row.piece}, {short_number(row.value, 6)}: {error}")
        self._on_the_way.remove(row)
        self.look_again()

    def _say(self, text: str) -> None:
        self.query_one("#said", Static).update(text)

    def action_put_off(self) -> None:
        turn = self._turn
        if turn is not None:
            self._later.append(turn)
            self._show()

    def action_leave(self) -> None:
        self.dismiss(None)
