"""The passport of a slab holds its size, mix, mass, verdict with evidence, figure, and all that happened to it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from claybench.ask.reports import read_passport
from claybench.errors import BadInput, NotFound
from claybench.paper.passport import write_slab_passport
from claybench.record.lab import Lab
from claybench.terms import Slab, SlabEvent
from claybench.work.settings import set_setting
from claybench.work.slabs import cast_slab, log_slab
from tests.paper.reading import (
    LONG,
    NASTY,
    PAPERS,
    flat,
    flat_pages,
    outside,
    pictures,
    scanned,
    sizes_of,
    text_of,
)

START = datetime(2026, 3, 1, 9, tzinfo=UTC)


@pytest.mark.parametrize("paper", PAPERS)
def test_it_holds_what_is_known_of_the_slab(sample_lab: Lab, tmp_path: Path, paper: str) -> None:
    write_slab_passport(read_passport(sample_lab, "P3"), tmp_path / "x.pdf", paper=paper)
    assert sizes_of(tmp_path / "x.pdf")[0] == pytest.approx(PAPERS[paper], abs=0.1)
    assert outside(tmp_path / "x.pdf", paper) == []
    text = flat(text_of(tmp_path / "x.pdf"))
    for words in (
        "P3",
        "slab for the buff family",
        "600 × 400 × 50 mm",
        "70 of water to 100",
        "11 240 g of plaster, 7 870 g of water",
        "13 290 g, weighed dry 22 Sep",
        "cast 17 Feb 2026, in service since 9 Mar 2026",
        "Layers dried on it (30, newest first)",
        "more than 496 min",
        "weighed dry",
        "page 1",
    ):
        assert flat(words) in text, words
    assert pictures(tmp_path / "x.pdf") == 1
    assert scanned(tmp_path / "x.pdf") == ["CLAYBENCH:SLAB/P3"]


def test_a_slab_out_of_use_is_not_called_ready(sample_lab: Lab, tmp_path: Path) -> None:
    write_slab_passport(read_passport(sample_lab, "P8"), tmp_path / "x.pdf")
    text = text_of(tmp_path / "x.pdf")
    assert "OUT OF USE" in text and "Since 29 May 2026" in text and "READY" not in text
    assert "broken 28 May" in text  # the evidence against it


def test_the_verdict_stands_with_its_evidence(sample_lab: Lab, tmp_path: Path) -> None:
    held = read_passport(sample_lab, "P4")
    write_slab_passport(held, tmp_path / "x.pdf")
    text = flat(text_of(tmp_path / "x.pdf"))
    assert (held.page.verdict.verdict or "").upper() in text
    assert flat(held.page.verdict.advice) in text
    for one in held.page.verdict.evidence:
        assert flat(one.text) in text


def test_a_long_life_goes_over_pages_with_heads_and_keeps_inside(lab: Lab, tmp_path: Path) -> None:
    cast_slab(
        lab, Slab(slab=LONG, family=NASTY[:40], length_mm=500, width_mm=400, thickness_mm=45, note=NASTY, cast_at=START)
    )
    for day in range(90):
        log_slab(
            lab, SlabEvent(slab=LONG, at=START + timedelta(hours=day), event="note", by=LONG, note=f"{day} {NASTY}")
        )
    log_slab(lab, SlabEvent(slab=LONG, at=START + timedelta(days=5), event="note", note="word " * 780))
    write_slab_passport(read_passport(lab, LONG), tmp_path / "x.pdf")
    pages = flat_pages(tmp_path / "x.pdf")
    assert len(pages) > 4
    assert all("whenwhatfiguresbynote" in page for page in pages[1:])
    whole = "".join(pages)
    assert whole.count(flat(NASTY)) >= 91 and flat(f"89 {NASTY}") in whole
    assert whole.count("word") == 780
    assert outside(tmp_path / "x.pdf", "A4") == []


def test_a_slab_never_weighed_says_so_instead_of_a_figure(lab: Lab, tmp_path: Path) -> None:
    cast_slab(lab, Slab(slab="W", length_mm=500, width_mm=400, thickness_mm=45))
    write_slab_passport(read_passport(lab, "W"), tmp_path / "x.pdf")
    assert pictures(tmp_path / "x.pdf") == 0
    assert "never weighed" in text_of(tmp_path / "x.pdf")


def test_it_is_printed_on_the_paper_of_the_lab(lab: Lab, tmp_path: Path) -> None:
    cast_slab(lab, Slab(slab="W", length_mm=500, width_mm=400, thickness_mm=45))
    set_setting(lab, "paper", "letter")
    write_slab_passport(read_passport(lab, "w"), tmp_path / "x.pdf")
    assert sizes_of(tmp_path / "x.pdf")[0] == pytest.approx(PAPERS["Letter"], abs=0.1)
    with pytest.raises(BadInput, match="A4 or Letter"):
        set_setting(lab, "paper", "A5")
    with pytest.raises(NotFound, match="no slab"):
        read_passport(lab, "P99")
