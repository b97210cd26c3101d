"""Printing reads answers, not the record: what is on paper is tested on SQLite, and once on both databases."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from claybench.record.lab import Lab
from tests.conftest import Ticking, frozen


@pytest.fixture
def lab(lab_path: Path, ticking: Ticking) -> Iterator[Lab]:
    """A fresh empty lab on SQLite, its clock frozen."""
    with frozen(lab_path, ticking) as opened:
        yield opened
