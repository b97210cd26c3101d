"""Letters outside the plotting library's own type: another type where the machine has one, said where it has none."""

from __future__ import annotations

import warnings
from pathlib import Path

import pytest
from pypdf import PdfReader

from claybench.figure.chart import Chart, Series
from claybench.figure.render import NOTE, drop_letters, font_families, save_chart

ARC = "\u2312"
"""In the plotting library's type of one width and in its mathematical one, not in the one that figures use."""
NOWHERE = "\U0010fffd"
"""Private, and of no type."""


def chart(name: str) -> Chart:
    return Chart(name, "body", "absorption, %", (Series(name, (0.0, 1.0), (1.0, 2.0)),), ticks=((0.0, name),))


def test_another_type_lends_a_letter() -> None:
    names, lacking = font_families(chart(f"body {ARC}"))
    assert len(names) == 2 and names[0] == "DejaVu Sans" and not lacking
    assert font_families(chart("körper ±5 °C Ω я")) == (["DejaVu Sans"], frozenset())


@pytest.mark.parametrize("kind", ["png", "pdf", "svg"])
def test_no_box_is_drawn_and_nobody_is_warned_in_vain(tmp_path: Path, kind: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        path = save_chart(chart(f"{ARC}{NOWHERE} clay"), tmp_path / f"it.{kind}")
    if kind == "pdf":
        text = "".join(page.extract_text() for page in PdfReader(path).pages)
        assert "? clay" in text and NOTE in text.replace("\n", " ") and NOWHERE not in text
    if kind == "svg":
        assert f"{NOWHERE} clay" in path.read_text(encoding="utf-8"), "whoever views it may have such a type"


def test_letters_are_taken_out_everywhere() -> None:
    found = drop_letters(chart(f"a{NOWHERE}"), frozenset(NOWHERE))
    assert (found.title, found.series[0].label, found.ticks[0][1], found.y_label) == ("a?", "a?", "a?", "absorption, %")
