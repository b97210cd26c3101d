"""Where the sample lab lies: inside the installed package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path

from claybench.errors import CannotOpen


def sample_folder() -> Path:
    """The folder of the sample lab."""
    package = Path(__file__).parent.parent
    for folder in (package / "sample_lab", package.parent / "sample_lab"):
        if (folder / "settings.csv").is_file():
            return folder
    raise CannotOpen("The sample lab was not installed with claybench.", "Install claybench again, from its wheel.")
