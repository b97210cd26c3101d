"""Screens that only say something: the lab that did not open, a text to read, and help."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

from claybench.errors import ClaybenchError
from claybench.tui.keys import PLACES


class FailedScreen(Screen[None]):
    """The lab was not opened: why, and what to do."""

    BINDINGS = [Binding("escape,q,enter", "app.quit", "close", id="failed.close")]

    def __init__(self, error: ClaybenchError) -> None:
        super().__init__()
        self.error = error

    def compose(self) -> ComposeResult:
        yield Static(
            f"{self.error.title}\n\n{self.error.reason}\n\n{self.error.remedy}\n\nEnter closes claybench.",
            id="failed",
            markup=False,
        )


class TextLines(Static):
    """Lines to read; one that is too long goes on below its last column."""

    def __init__(self, lines: Iterable[str] = (), *, id: str | None = None, classes: str | None = None) -> None:
        self.lines = tuple(lines)
        super().__init__("\n".join(self.lines), id=id, classes=classes, markup=False)

    def fill(self, lines: Iterable[str]) -> None:
        """Show these lines in place of the others."""
        self.lines = tuple(lines)
        self._break(self.content_size.width)

    def on_resize(self, _event: events.Resize) -> None:
        """Break the lines for the room there is."""
        self._break(self.content_size.width)

    def _break(self, width: int) -> None:
        parts = (part for line in self.lines for part in (hang_line(line, width) if width else [line]))
        self.update("\n".join(parts))


def hang_line(line: str, width: int) -> list[str]:
    """A line in parts of at most `width` letters, the further ones indented to its last column.

    >>> hang_line("run     D147   on slab P6, wedged on the wooden bench", 40)
    ['run     D147   on slab P6, wedged on the', '               wooden bench']
    """
    columns = list(re.finditer(r"(^|\S) {2,}(?=\S)", line[: width // 2]))
    hang = columns[-1].end() if columns else 0
    return textwrap.wrap(line, max(width, 1), subsequent_indent=" " * hang) or [""]


class TextScreen(ModalScreen[None]):
    """A text to read, such as the reasons behind figures."""

    BINDINGS = [Binding("escape,q,enter", "dismiss(None)", "close", id="reading.close")]

    def __init__(self, title: str, lines: Iterable[str]) -> None:
        super().__init__()
        self.heading = title
        self.lines = list(lines)

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="reading") as scroll:
            scroll.border_title = None
            yield Static(self.heading, classes="heading", markup=False)
            yield TextLines(self.lines)
            yield Static("Esc closes", classes="dim", markup=False)


PURPOSE = {
    "bench": "What is on the slabs, how long yet, and what is due next. Put the line on a layer and say with one key "
    "how it felt; the time is noted.",
    "where": "Every slab for a batch or a body, the best one first: how long a layer would take, and what stands in the "
    "way. Change the depth with the arrows and the list follows; Enter begins the run.",
    "past": "What was forecast at each pour, by what the lab knew then, over what came. On the line both agree; nine of ten "
    "intervals should cross it.",
    "pour_form": "Begins a run: pour first, fill in the rest later.",
    "run": "One layer of slip on a slab, from the pour to the lift.",
    "slabs": "Every slab: how wet it is, what lies on it, and what speaks against it.",
    "slab": "One slab: its water, its log and what it has dried.",
    "pour": "The steps of a slab's pour. Enter says that the next one is done; its time goes into the slab's log, and "
    "the clock goes on while claybench is closed.",
    "ring": "How fast a face drinks a measured amount of water: a ring, 5 mL, the seconds until it is gone, and the "
    "sorptivity that follows, held against the face's first test.",
    "mix": "Sizes a slab from a form, a wanted size or the plaster in hand, a batch of slip from the pieces wanted, "
    "what brings slip to its target, and blends of bodies. Figures follow while you type.",
    "pieces": "Test pieces with what was read off them and what follows.",
    "piece": "One test piece through drying, fire and water.",
    "measure": "Readings as a grid: type, Enter, type, Enter. Nothing typed is lost; what is far from pieces like it is "
    "asked about, never refused.",
    "repeats": "How much of the scatter of readings is the caliper, the hand, or the bars themselves, and what difference "
    "can be seen at all.",
    "rows": "Every line the record holds about a piece, or the photos of a body or a slab; each can be corrected or deleted.",
    "readings": "What was read of one thing by the lab's own properties, and what it comes to. A second reading stands "
    "beside the first.",
    "trace": "Where a fault may have come from: the way back to slab, board and what happened there, then every batch and "
    "bar that shares it, and why.",
    "whose": "A bar whose code cannot be read: type what it measures and weighs now, and the pieces it may be follow.",
    "study": "Bars read again, in an order of their own each round. Earlier figures stay out of sight.",
    "bodies": "Recipes. Ask which of them with a: family buff, cone 6, absorption under 2, since March. Mark two or more "
    "with space and compare them, or compare all that answer.",
    "questions": "Questions kept by name, the same at every bench of this lab.",
    "body": "One recipe, its batches and results.",
    "compare": "Bodies side by side: mean ± half the 95 % interval, or its ends; how far each lies from the reference, by the bodies' own "
    "batches and by the scatter of the lab's; shrinkage and absorption against heat. * marks one batch.",
    "book": "Everything else: batches, firings, families, materials, lots, settings, and the history of every act.",
    "batch": "One batch: what was weighed, what was poured, what was formed.",
    "plasticity": "Liquid and plastic limit of a batch. Each point is saved when it is entered, and the form comes up for the "
    "next; a dry mass may come a day later.",
    "weigh": "One material at a time: its target, what the scale should show, what you put in. That is what is recorded.",
    "plan": "Plans of next sets, kept as files in the folder `plans` beside the lab, and sets that have no plan. Enter "
    "proposes the bodies of a plan, `s` follows those that were made of it.",
    "plan_form": "Bounds and targets of the next set. What is typed is understood at once; bounds that contradict each "
    "other are named. A line of a table is a name and a value; the next line comes by itself.",
    "plan_results": "The next bodies, best first: chance, what is predicted of each with its 90 % range, slab and hour. "
    "m makes the body on the line, a the whole set; u takes it back. The answer stays as it was given: r asks again.",
    "plan_set": "The bodies of one set: designed, weighed, dried, fired, measured, and what came out against the targets: "
    "✓ meets, ▲ above, ▼ below.",
    "files": "Any CSV that a spreadsheet saved: with commas, semicolons or tabs, in any encoding.",
    "read": "Say what a row of the file is and where its columns go, look at the rows as they will be understood, and read "
    "all of it in with one act, or nothing.",
    "pick": "Type letters to narrow the list; Enter takes the line.",
    "form": "Type as you would on paper: 25 lb, 12,5 mm, 1 1/2 in. What is understood stands beside the field.",
}


class HelpScreen(TextScreen):
    """Help for one screen."""

    def __init__(self, place: str) -> None:
        name, keys = PLACES[place]
        lines = [PURPOSE.get(place, ""), ""]
        for heading, group in ((name, keys), PLACES["everywhere"]):
            lines.append(heading)
            lines += [f"  {key.shown():<9} {key.help}" for key in group]
            lines.append("")
        super().__init__("Help", lines)
