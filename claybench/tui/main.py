"""Starting the notebook on the screen."""

from __future__ import annotations

import gc
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
    app = NotebookApp(lab, opener=partial(_open_and_keep_modules, lab, follow_record=follow_record))
    gc.disable()
    try:
        app.run()
    finally:
        gc.enable()
    if app.failed is not None:
        sys.stderr.write(f"{app.failed.title}: {app.failed}\n")
        return app.failed.exit_code
    return app.return_code or 0


def _open_and_keep_modules(path: str | None, *, follow_record: bool) -> Lab:
    """The lab; what was loaded for it is left out of every search for garbage, which would hold a key up for 0.15 s."""
    try:
        return _lab_at_its_newest_entry(path) if follow_record and path else record.opening.open_named(path)
    finally:
        gc.freeze()
        gc.enable()


def _lab_at_its_newest_entry(path: str) -> Lab:
    """The lab, its clock running from its newest entry."""
    lab = record.opening.open_lab(path)
    newest, begun = ask.history.newest_entry(lab), time.monotonic()
    if newest is not None:
        lab.now = lambda: newest + timedelta(seconds=time.monotonic() - begun)
    return lab
