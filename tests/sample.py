"""The sample lab as tests use it: imported once, copied for each test that changes it."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path

from claybench import clock

FOLDER = Path(__file__).parent.parent / "sample_lab"
END = clock.read_stamp("2026-09-25T14:31:00+01:00")


def make_sample(path: Path) -> Path:
    """A lab file that holds the sample."""
    from claybench.exchange import import_folder
    from claybench.record import create_lab

    lab = create_lab(path, name="Sample", zone="UTC")
    import_folder(lab, FOLDER)
    lab.close()
    return path


def copy_lab(source: Path, target: Path) -> Path:
    """A copy of a closed lab file."""
    return Path(shutil.copy(source, target))


def at(text: str) -> datetime:
    """A moment as `--as-of` takes it."""
    return clock.as_of(text, clock.zone("Europe/Lisbon"))
