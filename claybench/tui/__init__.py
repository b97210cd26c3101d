"""The notebook on the screen. Only this package imports textual; from outside, `main` is asked for, and loads when it is."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.tui import main as main
else:
    __getattr__ = modules_of(__name__)
