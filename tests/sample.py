"""The sample lab as tests use it: imported once, copied for each test that changes it."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path

from claybench import clock

FOLDER = Path(__file__).parent.parent / "sample_lab"
END = clock.parse_stamp("2026-09-25T14:31:00+01:00")


BUFF = {"fire clay": (30, 50), "ball clay": (20, 45), "feldspar": (8, 25), "grog": (5, 20)}
"""Bounds in parts of 100 that several bodies of the sample's buff family lie within."""


def buff_plan(
    title: str, count: int, targets: dict[str, tuple[float, float]], bounds: dict[str, tuple[float, float]] = BUFF
) -> str:
    """A plan file for that family, fired to cone 6."""
    asked = [f'title = "{title}"', 'family = "buff"', f"count = {count}", 'cone = "6"']
    for heading, spans in (("materials", bounds), ("targets", targets)):
        asked += [f"[{heading}]", *(f'"{name}" = [{low}, {high}]' for name, (low, high) in spans.items())]
    return "\n".join(asked) + "\n"


def make_sample(path: Path) -> Path:
    """A lab file that holds the sample."""
    from claybench.exchange.folder_in import import_folder
    from claybench.record.opening import create_lab

    lab = create_lab(path, name="Sample", zone="UTC")
    import_folder(lab, FOLDER)
    lab.close()
    return path


def copy_lab(source: Path, target: Path) -> Path:
    """A copy of a closed lab file."""
    return Path(shutil.copy(source, target))


def at(text: str) -> datetime:
    """A moment as `--as-of` takes it."""
    return clock.parse_as_of(text, clock.in_zone(END, clock.parse_zone("Europe/Lisbon")))
