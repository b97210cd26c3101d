"""Drafts of the screen's tests go to a folder of their own."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def _own_drafts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CLAYBENCH_STATE", str(tmp_path / "state"))
