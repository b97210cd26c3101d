"""Drafts and papers of the screen's tests go to folders of their own."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def _own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CLAYBENCH_STATE", str(tmp_path / "state"))
    monkeypatch.setattr("platformdirs.user_documents_path", lambda: tmp_path / "documents")
    # No key waits for the disk here; that drafts outlive a killed program is held in a process of its own.
    monkeypatch.setattr("claybench.exchange.files.os.fsync", lambda _: None)
