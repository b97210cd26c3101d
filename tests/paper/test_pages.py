"""What all printed pages share: any script in a type that has it, pages counted, no heading torn from its table."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from claybench.ask.batches import batch_page
from claybench.ask.labels import read_labels
from claybench.ask.reports import read_body_report as ask_body
from claybench.paper.bench_sheet import write_bench_sheet
from claybench.paper.body_report import write_body_report
from claybench.paper.labels import write_labels
from claybench.paper.page import FONT, use_fonts
from claybench.paper.text_fit import font_runs
from claybench.record.lab import Lab
from claybench.terms import Batch, Body
from claybench.work.recipes import add_body, mix_batch
from tests.paper.reading import PAPERS, flat, outside, pages_of, scanned, sizes_of, text_of

SCRIPTS = ("weißbrennend", "καολίνης", "чамот", "粘土", "カオリン", "백토")


@pytest.fixture
def odd(lab: Lab) -> Lab:
    """A lab of many scripts, and a recipe longer than a page."""
    recipe = [(name, 10.0) for name in SCRIPTS] + [(f"oxide {number}", 0.5) for number in range(14)]
    add_body(lab, Body(body="粘土 Ω-1", title="磁器土 σώμα", family="weiß 粘土"), recipe)
    mixed = Batch(batch="粘土-1", body="粘土 Ω-1", mixed_at=datetime(2026, 3, 12, 9, tzinfo=UTC), slip_sg=1.45)
    mix_batch(lab, mixed, [(name, None, 100.0) for name, _ in recipe])
    return lab


@pytest.mark.parametrize("paper", PAPERS)
def test_every_script_is_set_in_a_type_that_has_it(odd: Lab, tmp_path: Path, paper: str) -> None:
    write_bench_sheet(batch_page(odd, "粘土-1"), tmp_path / "sheet.pdf", paper=paper)
    write_body_report(ask_body(odd, "粘土 Ω-1"), tmp_path / "body.pdf", paper=paper)
    write_labels(read_labels(odd, ["body/粘土 Ω-1", "material/백토"]), tmp_path / "labels.pdf", paper=paper)
    for name, wanted in (("sheet", SCRIPTS), ("body", SCRIPTS), ("labels", ("粘土", "σώμα", "백토"))):
        text = flat(text_of(tmp_path / f"{name}.pdf"))
        assert all(words in text for words in wanted) and "\x00" not in text
        if name != "labels":
            assert outside(tmp_path / f"{name}.pdf", paper) == []


def test_only_what_the_embedded_type_lacks_is_set_in_another() -> None:
    use_fonts()
    assert font_runs("kaolin", FONT) == [(FONT, "kaolin")]
    assert font_runs("Ω ½ ☐", FONT) == [(FONT, "Ω ½ ☐")]
    assert [part for _, part in font_runs("ab粘土c", FONT)] == ["ab", "粘土", "c"]
    assert font_runs("粘土", FONT)[0][0] != font_runs("カオリン粘土", FONT)[0][0]  # Japanese by its own letters


@pytest.mark.parametrize("paper", PAPERS)
def test_pages_are_counted_and_no_heading_stands_alone(odd: Lab, tmp_path: Path, paper: str) -> None:
    write_bench_sheet(batch_page(odd, "粘土-1"), tmp_path / "x.pdf", paper=paper)
    pages = pages_of(tmp_path / "x.pdf")
    assert len(pages) == 2
    for number, text in enumerate(pages, 1):
        assert f"page {number} of 2" in text
    with_heading = next(text for text in pages if "Pieces" in text)
    assert "plastic" in with_heading


def test_a_bench_sheet_can_be_scanned(sample_lab: Lab, tmp_path: Path) -> None:
    for paper in PAPERS:
        write_bench_sheet(batch_page(sample_lab, "B-01-1"), tmp_path / "x.pdf", paper=paper)
        assert scanned(tmp_path / "x.pdf") == ["CLAYBENCH:BATCH/B-01-1"]
        assert len(sizes_of(tmp_path / "x.pdf")) == 1
