"""Keys that the list of slabs and the page of one slab share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench import acts
from claybench.tui.forms.slab_log import ask_slab_event, choose_slab_event

if TYPE_CHECKING:
    from claybench.tui.place import Place

    _Base = Place
else:
    _Base = object


class SlabKeys(_Base):
    """Weighing, turning, and the rest of what happens to a slab."""

    def slab_here(self) -> str:
        """The slab that the keys speak of; empty where there is none."""
        return ""

    def action_weigh(self) -> None:
        """Weigh it."""
        self._log("weighed")

    def action_weigh_dry(self) -> None:
        """It is dry."""
        self._log("weighed_dry")

    def action_turn(self) -> None:
        """Turned just now."""
        slab = self.slab_here()
        if slab:
            values = {"slab": slab, "at": self.notebook.now(), "event": "turned"}
            self.start_worker(self.notebook.perform_here(acts.slabs.event_act("turned"), values))

    def action_log(self) -> None:
        """Anything else."""
        if slab := self.slab_here():
            self.start_worker(choose_slab_event(self.notebook, slab))

    def _log(self, event: str) -> None:
        if slab := self.slab_here():
            self.start_worker(ask_slab_event(self.notebook, slab, event))
