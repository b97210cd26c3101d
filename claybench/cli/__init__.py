"""Commands for scripts and the shell. Data goes to stdout, everything else to stderr."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.cli import app as app
else:
    __getattr__ = modules_of(__name__)
