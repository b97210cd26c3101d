"""Reports on bodies: recipe, measures with their intervals, pieces and faults; several bodies side by side."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.comparison import compare_bodies
from claybench.ask.reports import BodyReport, Comparison, read_body_report, read_comparison_report
from claybench.errors import BadInput, NotFound
from claybench.paper.body_report import write_body_report as write_body
from claybench.paper.comparison_report import write_comparison_report as write_comparison
from claybench.paper.page import file_name
from claybench.record.lab import Lab
from claybench.terms import Batch, Body
from claybench.work.recipes import add_body, mix_batch
from tests.paper.odd import MIXED, odd_pieces
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

pytestmark = pytest.mark.slow


@pytest.fixture
def measured(lab: Lab) -> Lab:
    """A body of hard names with 60 pieces: 100 mm plastic, 94 or 96 dry; one fired to 90."""
    add_body(lab, Body(body=LONG, title=NASTY, family=NASTY[:40]), [(NASTY[:40], 3.0), (LONG, 1.0)])
    mix_batch(lab, Batch(batch=NASTY[:40], body=LONG, mixed_at=MIXED, note=f"{NASTY} {LONG}"), [])
    return odd_pieces(lab)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_report_of_a_body(sample_lab: Lab, tmp_path: Path, paper: str) -> None:
    write_body(read_body_report(sample_lab, "b-07"), tmp_path / "x.pdf", paper=paper)
    assert sizes_of(tmp_path / "x.pdf")[0] == pytest.approx(PAPERS[paper], abs=0.1)
    assert outside(tmp_path / "x.pdf", paper) == []
    text = flat(text_of(tmp_path / "x.pdf"))
    for words in (
        "sixth towards 12 %",
        "buff family, control B-01, changed from B-06, test set towards 12 %",
        "fire clay 35 35.0",
        "B-07-1 18 Jun 2026 08:19 slip 2 700 2 787 1.440 2 5 m",
        "Cone 6 F-06: 1 223 °C, held 15 min, oxidation, 17 Jul 2026",
        "times that of B-01",
        "D137",
        "not fired",
        ": dust: wear a fitted mask",
        "Looked at and nothing found: 4 times.",
    ):
        assert flat(words) in text, words
    assert scanned(tmp_path / "x.pdf") == ["CLAYBENCH:BODY/B-07"]


def test_measures_stand_with_interval_spread_and_count(measured: Lab, tmp_path: Path) -> None:
    write_body(read_body_report(measured, LONG), tmp_path / "x.pdf")
    text = flat(text_of(tmp_path / "x.pdf"))
    # By hand: shrinkage 4 and 6 % in equal numbers, mean 5; standard deviation sqrt(60/59) = 1.008;
    # t(0.975, 59) = 2.001 (NIST/SEMATECH e-Handbook, table of Student's t, between 2.000 for 60 and 2.002 for 58),
    # so the interval is 5 ± 2.001 · 1.008 / sqrt(60) = 4.74 to 5.26.
    assert flat("drying shrinkage drying not noted % 5.0 4.7 to 5.3 + 1.01 60 in 1") in text
    # + marks a single batch in a lab that knows no scatter from batch to batch
    # one piece, 96 to 90 mm: 6.25 % of the dry length; 10 % of the plastic; no interval from one
    assert flat("firing shrinkage drying not noted % 6.2 1 in 1") in text
    assert flat("total shrinkage % 10.0 1 in 1") in text
    assert flat("75.0") in text  # 3 parts of 4


def test_long_tables_and_odd_names_keep_inside_and_repeat_their_heads(measured: Lab, tmp_path: Path) -> None:
    write_body(read_body_report(measured, LONG), tmp_path / "x.pdf")
    pages = flat_pages(tmp_path / "x.pdf")
    whole = "".join(pages)
    assert outside(tmp_path / "x.pdf", "A4") == []
    rows = [page for page in pages if "P58" in page or "P20" in page]
    assert len(pages) > 2 and rows and all("piecebatchrunfiring" in page for page in rows)
    assert flat(NASTY) in whole and LONG in whole
    assert "popout3" in whole and flat("nothing found: 1 times") in whole


@pytest.mark.parametrize("paper", PAPERS)
def test_bodies_side_by_side(sample_lab: Lab, tmp_path: Path, paper: str) -> None:
    held = read_comparison_report(sample_lab, ["B-07", "B-01", "b-07"])
    assert [body.body for body in held.bodies] == ["B-07", "B-01"]
    write_comparison(held, tmp_path / "x.pdf", paper=paper, figures=["bulk_density"])
    assert outside(tmp_path / "x.pdf", paper) == []
    text = flat(text_of(tmp_path / "x.pdf"))
    assert flat("fire clay 35.0 45.0") in text
    assert flat("feldspar 23.0 10.0") in text
    found = {(each.body, each.firing): each for each in compare_bodies(sample_lab, ["B-07", "B-01"])}
    for code in ("B-07", "B-01"):
        summary = found[code, "F-06"].properties["total_shrinkage_pct"]
        assert summary.low is not None and summary.high is not None
        half = (summary.high - summary.low) / 2
        assert flat(f"{summary.mean:.1f} ±{half:.1f} * n {summary.n} in {summary.batches}") in text
    # worked out on the logarithm of the odds, it lies unevenly about the mean: both ends as everywhere else, no ±
    absorbed = found["B-01", "F-06"].properties["absorption_pct"]
    assert absorbed.low is not None and absorbed.high is not None
    assert absorbed.high - absorbed.mean > 1.1 * (absorbed.mean - absorbed.low)
    assert flat(f"{absorbed.mean:.1f} ({absorbed.low:.1f}–{absorbed.high:.1f}) * n {absorbed.n}") in text
    new = held.beside.new_firings().of_body("B-01")
    assert new and "Whatanewfiringgives" in text
    assert all(flat(f"{one.mean:.{one.declared.digits}f} {one.interval_text()} {one.firings}") in text for one in new)
    assert "theyardstick" in text
    assert pictures(tmp_path / "x.pdf") == 3


def test_many_bodies_go_into_further_tables(sample_lab: Lab, tmp_path: Path) -> None:
    with sample_lab.reading() as record:
        codes = record.codes(Body)
    write_comparison(read_comparison_report(sample_lab, codes), tmp_path / "x.pdf")
    whole = "".join(flat_pages(tmp_path / "x.pdf"))
    assert all(code in whole for code in codes)
    assert "30bodiessidebyside" in whole and "(further)" in whole
    assert outside(tmp_path / "x.pdf", "A4") == []


def test_odd_names_side_by_side(measured: Lab, tmp_path: Path) -> None:
    add_body(measured, Body(body=NASTY[:40]), [("kaolin", 1.0)])
    write_comparison(read_comparison_report(measured, [NASTY[:40], LONG]), tmp_path / "x.pdf")
    whole = "".join(flat_pages(tmp_path / "x.pdf"))
    assert outside(tmp_path / "x.pdf", "A4") == []
    assert flat(NASTY) in whole and LONG in whole
    assert pictures(tmp_path / "x.pdf") == 1  # nobody measured absorption


def test_bodies_without_anything_are_printed_too(lab: Lab, tmp_path: Path) -> None:
    for code in ("W-1", "W-2"):
        add_body(lab, Body(body=code))
    write_body(read_body_report(lab, "W-1"), tmp_path / "x.pdf")
    text = text_of(tmp_path / "x.pdf")
    for words in ("none yet", "no piece measured yet", "no layer poured yet", "none formed yet", "nobody looked"):
        assert words in text
    write_comparison(read_comparison_report(lab, ["W-1", "W-2"]), tmp_path / "y.pdf")
    assert "no piece of theirs is measured yet" in text_of(tmp_path / "y.pdf")


def test_what_cannot_be_reported_is_said(sample_lab: Lab, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="two bodies"):
        read_comparison_report(sample_lab, ["B-01", "b-01"])
    with pytest.raises(NotFound):
        read_comparison_report(sample_lab, ["B-01", "B-99"])
    with pytest.raises(NotFound):
        read_body_report(sample_lab, "B-99")
    held: Comparison | BodyReport = read_comparison_report(sample_lab, ["B-01", "B-02"])
    assert isinstance(held, Comparison)
    with pytest.raises(BadInput, match="not a property"):
        write_comparison(held, tmp_path / "x.pdf", figures=["weight"])


def test_a_file_name_is_one_everywhere() -> None:
    assert file_name("a/b\\c:d*e?f") == "a-b-c-d-e-f.pdf"
    assert len(file_name("x" * 300)) < 110


def test_differences_and_heat_are_printed(sample_lab: Lab, tmp_path: Path) -> None:
    held = read_comparison_report(sample_lab, ["W-07", "R-01"], against="W-01")
    assert [body.body for body in held.bodies] == ["W-07", "R-01", "W-01"]
    write_comparison(held, tmp_path / "x.pdf", limit_pct=1.0)
    assert outside(tmp_path / "x.pdf", "A4") == []
    text = flat(text_of(tmp_path / "x.pdf"))
    (one,) = [
        one
        for each in held.results
        if (each.body, each.firing) == ("W-07", "F-08")
        for one in held.beside.differences_of(each)
        if one.name == "firing_shrinkage_pct"
    ]
    words = (
        f"{one.mean:+.2f} ({one.lab_low:+.2f} to {one.lab_high:+.2f}*) {one.direction}; {one.minimum_detectable:.2f}"
    )
    assert flat(words) in text
    assert flat("How far from W-01") in text
    assert flat("* of one batch: its interval takes the scatter from batch to batch from the lab's other") in text
    assert flat("W-07 under 1 % from about 1248 °C (between cone 6 and cone 9); sound at cone 9") in text
    assert pictures(tmp_path / "x.pdf") == 3  # shrinkage, absorption, heat


def test_a_body_is_held_against_its_control(sample_lab: Lab, tmp_path: Path) -> None:
    held = read_body_report(sample_lab, "W-07")
    write_body(held, tmp_path / "x.pdf")
    text = flat(text_of(tmp_path / "x.pdf"))
    for words in (
        "How far from W-01",
        "absorption boiled (as in ASTM C373); as tile group BIb % 1.8 1.5 to 2.1 *",
        "usual in its family",
        "under 3 % from cone 6 or below, the coolest fired; sound at cone 9, the hottest fired",
        "the smallest true difference that so many batches would show four times in five",
    ):
        assert flat(words) in text, words
    assert pictures(tmp_path / "x.pdf") == 1
