"""Starting the notebook on the screen."""

from __future__ import annotations

import os
import sys
import time
from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING

from claybench import ask, record
from claybench.tui.app import NotebookApp

if TYPE_CHECKING:
    from claybench.record.lab import Lab


def run_notebook(lab: str | None = None, *, follow_record: bool = False) -> int:
    """Open a lab on the screen: a path or address, or the default lab; returns the exit code.

    `follow_record` starts the clock at the lab's newest entry, so that a demonstration does not
    find its layers lying for months.
    """
    if os.environ.get("TERM") == "dumb" or not sys.stdout.isatty():
        sys.stderr.write("claybench needs a terminal that can draw. `claybench --help` lists what works without one.\n")
        return 1
    app = NotebookApp(lab, opener=partial(_lab_at_its_newest_entry, lab) if follow_record and lab else None)
    app.run()
    if app.failed is not None:
        sys.stderr.write(f"{app.failed.title}: {app.failed}\n")
        return app.failed.exit_code
    return app.return_code or 0


def _lab_at_its_newest_entry(path: str) -> Lab:
    """The lab, its clock running from its newest entry."""
    lab = record.opening.open_lab(path)
    newest, begun = ask.history.newest_entry(lab), time.monotonic()
    if newest is not None:
        lab.now = lambda: newest + timedelta(seconds=time.monotonic() - begun)
    return lab
