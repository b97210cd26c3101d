"""The bench sheet says what to weigh, on either paper, with text as typed."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from pypdf import PdfReader

from claybench.ask.batches import batch_page
from claybench.errors import BadInput
from claybench.paper import bench_sheet
from claybench.record import Lab
from claybench.terms import Batch, Body, Lot
from claybench.work.recipes import add_body, add_lot, mix_batch

NASTY = "[/b] & <x> Ünïcode °½"


@pytest.fixture
def mixed(lab: Lab) -> Lab:
    """A lab with one batch of two materials."""
    add_lot(lab, Lot(lot="K-1", material="kaolin", moisture_pct=1.0))
    add_body(lab, Body(body="W-01", title=NASTY, family="white"), [("kaolin", 60.0), (NASTY, 40.0)])
    batch = Batch(
        batch="W-01-1",
        body="W-01",
        mixed_at=datetime(2026, 3, 12, 9, tzinfo=UTC),
        dry_mass_g=1000,
        water_g=900,
        slip_sg=1.4,
    )
    mix_batch(lab, batch, [("kaolin", "K-1", 606.0), (NASTY, None, 408.0)])
    return lab


def read(path: Path) -> tuple[str, list[tuple[float, float]]]:
    """Text and sizes of the pages."""
    pages = PdfReader(path).pages
    sizes = [(float(page.mediabox.width), float(page.mediabox.height)) for page in pages]
    return "\n".join(page.extract_text() for page in pages), sizes


# ISO 216: A4 is 210 × 297 mm; ANSI/ASME Y14.1: Letter is 8.5 × 11 in. A point is 1/72 in.
@pytest.mark.parametrize(("paper", "size"), [("A4", (595.28, 841.89)), ("Letter", (612.0, 792.0))])
def test_it_says_what_to_weigh(mixed: Lab, tmp_path: Path, paper: str, size: tuple[float, float]) -> None:
    bench_sheet(batch_page(mixed, "W-01-1"), tmp_path / "sheet.pdf", paper=paper)
    text, sizes = read(tmp_path / "sheet.pdf")
    assert sizes[0] == pytest.approx(size, abs=0.1)
    for words in ("W-01-1", "kaolin", "K-1", "606", "408", "1 014", "900", "workable", "page 1"):
        assert words in text
    assert "[/b] & <x>" in text and "½" in text


def test_a_long_recipe_goes_to_further_pages(mixed: Lab, tmp_path: Path) -> None:
    lines = [(f"material {n}", None, 10.0) for n in range(90)]
    mix_batch(mixed, Batch(batch="LONG", body="W-01", mixed_at=datetime(2026, 3, 12, 9, tzinfo=UTC)), lines)
    bench_sheet(batch_page(mixed, "LONG"), tmp_path / "long.pdf")
    text, sizes = read(tmp_path / "long.pdf")
    assert len(sizes) > 1
    assert "material 89" in text and "page 2" in text


def test_other_paper_is_refused(mixed: Lab, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="A4 or Letter"):
        bench_sheet(batch_page(mixed, "W-01-1"), tmp_path / "x.pdf", paper="A5")
