"""Charts in the terminal. The plot library is loaded when the first chart is drawn."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.tui.charts import drawing as drawing
else:
    __getattr__ = modules_of(__name__)
