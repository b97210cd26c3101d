"""Starting the notebook on the screen."""

from __future__ import annotations

import os
import sys


def run(lab: str | None = None) -> int:
    """Open a lab on the screen: a path or address, or the default lab; returns the exit code."""
    if os.environ.get("TERM") == "dumb" or not sys.stdout.isatty():
        sys.stderr.write("claybench needs a terminal that can draw. `claybench --help` lists what works without one.\n")
        return 1
    from claybench.tui.app import Notebook

    app = Notebook(lab)
    app.run()
    if app.failed is not None:
        sys.stderr.write(f"{app.failed.title}: {app.failed}\n")
        return app.failed.exit_code
    return app.return_code or 0
