"""Styles are read once, and again when the colours change."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from textual.css import stylesheet

from tests.tui.driver import opened

pytestmark = pytest.mark.slow


async def test_no_style_is_read_twice_until_the_colours_change(lab_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read: Counter[Any] = Counter()
    original = stylesheet.parse

    def parse(scope: str, css: str, read_from: Any, **how: Any) -> Any:
        read[scope, read_from, how["tie_breaker"]] += 1
        return original(scope, css, read_from, **how)

    monkeypatch.setattr(stylesheet, "parse", parse)
    monkeypatch.setattr("claybench.tui.library_patches._parsed", {})  # as in a process that has read none yet
    async with opened(lab_path) as driver:
        await driver.press("5", "1", "p")
        assert len(read) > 10 and set(read.values()) == {1}
        await driver.press("escape")
        dark = driver.app.screen.styles.background
        driver.app.theme = "textual-light"
        await driver.settle()
        light = driver.app.screen.styles.background
        assert light != dark and max(read.values()) == 2
        await driver.press("5")  # a place that was there before
        assert driver.app.screen.styles.background == light
