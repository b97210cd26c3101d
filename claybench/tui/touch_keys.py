"""The keys that note how a layer felt, the same in every place where one can be touched."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench import acts

if TYPE_CHECKING:
    from claybench.tui.place import Place

    _Base = Place
else:
    _Base = object


class TouchKeys(_Base):
    """Notes a touch of the layer that the place is about, with the time it was felt."""

    def layers_here(self) -> list[str]:
        """The runs that a touch may mean."""
        return []

    def no_layer(self) -> str:
        """What is said where no layer is meant."""
        return "No layer lies here."

    def action_feel(self, feel: str) -> None:
        """It felt so just now."""
        runs = self.layers_here()
        if len(runs) == 1:
            values = {**dict.fromkeys(acts.layers.TOUCH.names), "run": runs[0], "feel": feel, "at": self.notebook.now()}
            self.start_worker(self.notebook.perform_here(acts.layers.TOUCH, values))
        elif runs:
            self.notify(
                f"Layers {', '.join(runs)} lie here: touch each on the bench, or on its own page.", markup=False
            )
        else:
            self.notify(self.no_layer())
