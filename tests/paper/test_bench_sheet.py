"""The bench sheet says what to weigh, on either paper, with text as typed."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from claybench.ask.batches import batch_page
from claybench.errors import BadInput
from claybench.paper.bench_sheet import write_bench_sheet
from claybench.paper.page import MM
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Lot, Piece
from claybench.work.pieces import form_pieces
from claybench.work.recipes import add_body, add_lot, mix_batch
from tests.paper.reading import LONG, PAPERS, outside, said_by, sizes_of, text_of

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
    return text_of(path), sizes_of(path)


# ISO 216: A4 is 210 × 297 mm; ANSI/ASME Y14.1: Letter is 8.5 × 11 in. A point is 1/72 in.
@pytest.mark.parametrize(("paper", "size"), [("A4", (595.28, 841.89)), ("Letter", (612.0, 792.0))])
def test_it_says_what_to_weigh(mixed: Lab, tmp_path: Path, paper: str, size: tuple[float, float]) -> None:
    write_bench_sheet(batch_page(mixed, "W-01-1"), tmp_path / "sheet.pdf", paper=paper)
    text, sizes = read(tmp_path / "sheet.pdf")
    assert sizes[0] == pytest.approx(size, abs=0.1)
    for words in ("W-01-1", "kaolin", "K-1", "606", "408", "1 014", "900", "workable", "page 1"):
        assert words in text
    assert "[/b] & <x>" in text and "½" in text


@pytest.mark.parametrize("paper", PAPERS)
def test_the_sheet_of_a_usual_batch_is_one_page(sample_lab: Lab, tmp_path: Path, paper: str) -> None:
    write_bench_sheet(batch_page(sample_lab, "B-01-1"), tmp_path / "sheet.pdf", paper=paper)
    text, sizes = read(tmp_path / "sheet.pdf")
    assert len(sizes) == 1 and "P3A" in text and "fine silica, which" in text
    assert outside(tmp_path / "sheet.pdf", paper) == []


def test_the_time_of_mixing_is_that_of_the_lab(mixed: Lab, tmp_path: Path) -> None:
    mix_batch(mixed, Batch(batch="SUMMER", body="W-01", mixed_at=datetime(2026, 7, 1, 22, 30, tzinfo=UTC)), [])
    write_bench_sheet(batch_page(mixed, "SUMMER"), tmp_path / "sheet.pdf")
    assert "mixed 1 Jul 2026 23:30" in text_of(tmp_path / "sheet.pdf")  # Lisbon is an hour ahead of UTC in summer


def test_a_long_code_of_a_piece_is_broken_in_its_column(mixed: Lab, tmp_path: Path) -> None:
    form_pieces(mixed, [Piece(piece=LONG, batch="W-01-1", plastic_mm=100)])
    write_bench_sheet(batch_page(mixed, "W-01-1"), tmp_path / "sheet.pdf")
    broken = [run for run in said_by(tmp_path / "sheet.pdf") if run.text.startswith("WW")]
    assert "".join(run.text for run in broken).replace("\n", "") == LONG
    assert all(run.right - run.left < 20 * MM for run in broken)


def test_a_long_recipe_goes_to_further_pages(mixed: Lab, tmp_path: Path) -> None:
    lines = [(f"material {n}", None, 10.0) for n in range(90)]
    mix_batch(mixed, Batch(batch="LONG", body="W-01", mixed_at=datetime(2026, 3, 12, 9, tzinfo=UTC)), lines)
    write_bench_sheet(batch_page(mixed, "LONG"), tmp_path / "long.pdf")
    text, sizes = read(tmp_path / "long.pdf")
    assert len(sizes) > 1
    assert "material 89" in text and "page 2" in text


def test_other_paper_is_refused(mixed: Lab, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="A4 or Letter"):
        write_bench_sheet(batch_page(mixed, "W-01-1"), tmp_path / "x.pdf", paper="A5")
