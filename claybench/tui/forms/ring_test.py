"""The ring test: how fast a face drinks a measured amount of water, with the guide and a stopwatch on the screen."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from textual.widgets import Static

from claybench import acts, ask, insight
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.quantity.shown import show
from claybench.terms import SlabEvent
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.form import Form
from claybench.tui.keys import RING, bindings

if TYPE_CHECKING:
    from claybench.tui.notebook import Notebook

_GUIDE = (
    "1 Press a ring about 5 cm wide (19.6 cm²) on the dry face; seal it outside with a roll of clay.",
    "2 Measure 5 mL of water. Ctrl+t as you pour it in, Ctrl+t again when the last of it is gone.",
    "3 The sorptivity stands beside the seconds. Same ring, same place each time; let the spot dry.",
)


class RingForm(Form):
    """A form whose seconds a stopwatch can fill in."""

    place = "ring"
    BINDINGS = bindings(RING)
    _since: datetime | None = None

    def action_stopwatch(self) -> None:
        """Start it, or stop it and take the seconds."""
        now = self.notebook.now()
        if self._since is None:
            self._since = now
        else:
            self.put(
                ring_seconds=ActField.of_column(SlabEvent, "ring_seconds", (now - self._since).total_seconds()).text
            )
            self._since = None
        self._say_running(now)

    def tick(self, now: datetime) -> None:
        """The seconds go on."""
        super().tick(now)
        if self._since is not None:
            self._say_running(now)

    def _say_running(self, now: datetime) -> None:
        for note in self.query("#form-note").results(Static):
            if self._since is None:
                note.update("\n".join(_GUIDE))
            else:
                note.update(
                    f"{show((now - self._since).total_seconds(), 's', digits=0)} "
                    "running; Ctrl+t when the last of it is gone."
                )


async def ask_ring_test(notebook: Notebook, slab: str) -> None:
    """One ring test on a slab."""
    start = await notebook.consult(ask.slabs.ring_start, slab)

    def doubts(values: Values) -> list[tuple[str, str]]:
        names = ("ring_area_cm2", "ring_water_ml", "ring_seconds")
        if not all(values.get(name) for name in names):
            return []
        tried = SlabEvent(slab=slab, at=notebook.now(), event="ring_test", **{name: values[name] for name in names})
        sorptivity = insight.slab_condition.ring_and_dry_mass.ring_sorptivity(tried, start.wetness)
        if sorptivity is None:  # on a wet slab it tells nothing, which is asked about when it is saved
            return []
        return [
            (
                "ring_seconds",
                insight.slab_condition.ring_and_dry_mass.describe_sorptivity(
                    sorptivity, start.first.get(values.get("face"))
                ),
            )
        ]

    await ask_act(
        notebook,
        acts.slabs.event_act("ring_test"),
        fixed={"slab": slab, "event": "ring_test"},
        kind=RingForm,
        tab="slabs",
        draft=f"ring_test {slab}",
        doubts=doubts,
        first="ring_seconds" if start.area_cm2 and start.water_ml else "",
        note="\n".join(_GUIDE),
    )
