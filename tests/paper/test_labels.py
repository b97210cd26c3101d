"""Labels say what a thing is, lie where the sheet has them, keep their text inside, and scan to the record."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.labels import read_labels
from claybench.ask.search import find_codes, scan_text
from claybench.errors import BadInput, CannotOpen, ClaybenchError, NotFound, OutOfRange
from claybench.paper.labels import LabelGrid, LabelSheets, write_labels
from claybench.paper.page import MM
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Firing, Piece, Slab
from claybench.work.pieces import add_firing, form_pieces
from claybench.work.recipes import add_body, mix_batch
from claybench.work.slabs import cast_slab
from tests.paper.odd import odd_names
from tests.paper.reading import LONG, NASTY, PAPERS, flat, printed_codes, said_by, scanned, sizes_of, text_of

pytestmark = pytest.mark.slow

THINGS = ("B-01", "batch/B-01-1", "P3", "K-26A", "sodium silicate", "D001", "F-01")


@pytest.fixture
def odd(lab: Lab) -> Lab:
    """A lab of names that are hard to print."""
    return odd_names(lab)


@pytest.mark.parametrize("paper", PAPERS)
def test_they_say_what_each_thing_is(sample_lab: Lab, tmp_path: Path, paper: str) -> None:
    assert write_labels(read_labels(sample_lab, THINGS), tmp_path / "x.pdf", paper=paper) == LabelSheets(1, ())
    assert sizes_of(tmp_path / "x.pdf") == [pytest.approx(PAPERS[paper], abs=0.1)]
    text = flat(text_of(tmp_path / "x.pdf"))
    for words in (
        "batch · mixed 15 Mar 2026",
        "house buff, control",
        "fire clay 45, ball clay 30, grog 15, feldspar 10",
        "dry 2 050 g, water 2 237 g, slip 1.420",
        "600 × 400 × 50 mm",
        "mix ratio 70",
        "lot · received 10 Feb 2026",
        "1.1 % moist",
        "! caustic: gloves and eye protection",
        "batch B-01-1 on slab P4",
        "cone 6, 1 222 °C",
    ):
        assert flat(words) in text, words


def test_the_code_of_each_label_opens_its_record(sample_lab: Lab, tmp_path: Path) -> None:
    write_labels(read_labels(sample_lab, THINGS), tmp_path / "x.pdf")
    said = scanned(tmp_path / "x.pdf")
    assert set(said) == {
        "CLAYBENCH:BODY/B-01",
        "CLAYBENCH:BATCH/B-01-1",
        "CLAYBENCH:SLAB/P3",
        "CLAYBENCH:LOT/K-26A",
        "CLAYBENCH:MATERIAL/SODIUM%20SILICATE",
        "CLAYBENCH:RUN/D001",
        "CLAYBENCH:FIRING/F-01",
    }
    hits = [hit for each in said for hit in find_codes(sample_lab, each)]
    assert {(hit.noun, hit.code) for hit in hits} == {
        ("body", "B-01"),
        ("batch", "B-01-1"),
        ("slab", "P3"),
        ("lot", "K-26A"),
        ("material", "sodium silicate"),
        ("run", "D001"),
        ("firing", "F-01"),
    }


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("grid", [LabelGrid(3, 8), LabelGrid(2, 4), LabelGrid(4, 11), LabelGrid(5, 8)], ids=str)
def test_every_code_can_be_scanned(sample_lab: Lab, odd: Lab, tmp_path: Path, paper: str, grid: LabelGrid) -> None:
    """ISO/IEC 18004 asks for a quiet zone of four modules; 0.4 mm a module is common practice, no source. A row drawn
    higher than a module, as one of ours once was, was misread by another decoder (OpenCV) on half of the labels."""
    things = [*read_labels(sample_lab, THINGS), *read_labels(odd, ["W", "L/1", f"body/{LONG}", f"material/{LONG}"])]
    out = tmp_path / "x.pdf"
    assert write_labels(things, out, paper=paper, grid=grid).not_scannable == ()
    assert sorted(scanned(out, 200)) == sorted(scan_text(each.kind, each.code) for each in things)
    text = said_by(out)
    codes = printed_codes(out)
    assert len(codes) == len(things)
    for code in codes:
        assert code.module >= 0.4 - 1e-3
        for _, _, wide, high in code.squares:
            assert high == pytest.approx(code.module, abs=1e-3)
            assert wide / code.module == pytest.approx(round(wide / code.module), abs=0.01)
        left, bottom, right, top = code.box
        quiet = 4 * code.module - 0.05
        for run in text:
            beside = run.right / MM < left - quiet or run.left / MM > right + quiet
            below = run.bottom / MM > top + quiet or (run.bottom + 0.7 * run.size) / MM < bottom - quiet
            assert run.page != code.page or beside or below, run


def test_a_code_too_long_for_its_label_stands_there_in_letters(lab: Lab, tmp_path: Path) -> None:
    cast_slab(lab, Slab(slab="粘土板" * 13, shape="round", length_mm=480, thickness_mm=45))
    things = read_labels(lab, ["粘土板" * 13])
    assert write_labels(things, tmp_path / "x.pdf", grid=LabelGrid(4, 12)).not_scannable == ("粘土板" * 13,)
    assert scanned(tmp_path / "x.pdf") == [] and "480" in text_of(tmp_path / "x.pdf")
    assert write_labels(things, tmp_path / "x.pdf", grid=LabelGrid(3, 8)).not_scannable == ()
    assert scanned(tmp_path / "x.pdf") == [scan_text(Slab, "粘土板" * 13)]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    "grid", [LabelGrid(3, 8), LabelGrid(2, 4), LabelGrid(4, 12), LabelGrid(1, 1), LabelGrid(5, 8, 15.1, 7.2, 2.5, 1.0)]
)
def test_no_text_leaves_its_label(odd: Lab, tmp_path: Path, paper: str, grid: LabelGrid) -> None:
    things = read_labels(odd, [f"body/{LONG}", f"batch/{NASTY[:40]}", "W", "L/1", f"material/{LONG}"] * 4)
    write_labels(things, tmp_path / "x.pdf", paper=paper, grid=grid)
    width, height = grid.label_size(paper)
    page_high = PAPERS[paper][1] / MM
    said = said_by(tmp_path / "x.pdf")
    for run in said:
        left, right, bottom = run.left / MM, run.right / MM, run.bottom / MM
        column = int((left - grid.side) / (width + grid.gap_across))
        row = int((page_high - grid.top - bottom) / (height + grid.gap_down))
        edge = grid.side + column * (width + grid.gap_across)
        foot = page_high - grid.top - row * (height + grid.gap_down) - height
        assert edge + 1 < left and right < edge + width - 1, run
        assert foot + 1 < bottom < foot + height - 2, run
    assert len(said) >= 5 * len(things)
    text = flat("".join(run.text for run in said))
    assert text.count(LONG) >= 4 and flat(NASTY[:40]) in text
    assert "!" in text


def test_a_sheet_half_used_is_used_up(sample_lab: Lab, tmp_path: Path) -> None:
    grid = LabelGrid.read("2x5", top=10, side=10)
    things = read_labels(sample_lab, ["P1"])
    assert write_labels(things, tmp_path / "x.pdf", grid=grid, start=8, copies=4).count == 2
    places = [(run.page, run.left / MM, run.bottom / MM) for run in said_by(tmp_path / "x.pdf") if run.text == "P1"]
    wide, high = 95, (297 - 20) / 5
    cells = [(page, int((left - 10) // wide), int((287 - bottom) // high)) for page, left, bottom in places]
    assert cells == [(0, 1, 3), (0, 0, 4), (0, 1, 4), (1, 0, 0)]


def test_cautions_are_on_every_label_of_what_they_are_about(odd: Lab, tmp_path: Path) -> None:
    (body,) = read_labels(odd, [f"body/{LONG}"])
    assert body.cautions == (
        f"{NASTY} {NASTY} burns",
        "barium is poisonous when swallowed or breathed; no dust, no bare hands, nothing near food",
        "read its safety data sheet",
    )
    write_labels([body], tmp_path / "x.pdf", grid=LabelGrid(2, 4))
    assert flat("barium is poisonous") in flat(text_of(tmp_path / "x.pdf"))
    assert body.hazards == (f"{NASTY} {NASTY} burns", "barium", "something that nobody knows")


def test_a_small_label_names_every_hazard_rather_than_tell_of_some(lab: Lab, tmp_path: Path) -> None:
    recipe = [
        ("red lead", 40.0),
        ("barium carbonate", 20.0),
        ("fluorspar", 10.0),
        ("copper oxide", 10.0),
        ("clay", 20.0),
    ]
    add_body(lab, Body(body="B1"), recipe)
    write_labels(read_labels(lab, ["B1"]), tmp_path / "x.pdf")
    assert flat("! lead, barium, copper, fluoride, fine silica: no dust") in flat(text_of(tmp_path / "x.pdf"))
    # of a firing it is what leaves the kiln
    mix_batch(lab, Batch(batch="B1-1", body="B1", made="slip", mixed_at=lab.now(), dry_mass_g=100.0))
    form_pieces(lab, [Piece(piece="T1", batch="B1-1", shape="bar", formed_at=lab.now())])
    add_firing(lab, Firing(firing="F1", fired_on=lab.now().date()), ["T1"])
    write_labels(read_labels(lab, ["F1"]), tmp_path / "x.pdf")
    text = flat(text_of(tmp_path / "x.pdf"))
    assert flat("! lead, copper, hydrogen fluoride, carbon dioxide, gases of clay: air the kiln's room") in text


def test_the_same_sheet_is_the_same_bytes(sample_lab: Lab, tmp_path: Path) -> None:
    for name in ("x.pdf", "y.pdf"):
        write_labels(read_labels(sample_lab, ["P1"]), tmp_path / name)
    assert (tmp_path / "x.pdf").read_bytes() == (tmp_path / "y.pdf").read_bytes()


def test_what_cannot_be_done_is_said(sample_lab: Lab, tmp_path: Path) -> None:
    things = read_labels(sample_lab, ["P1"])
    out = tmp_path / "x.pdf"

    def refused(error: type[ClaybenchError], words: str, **how: object) -> None:
        with pytest.raises(error, match=words):
            write_labels(things, out, **how)  # type: ignore[arg-type]

    refused(BadInput, "A4 or Letter", paper="A5")
    refused(OutOfRange, "36 × 19 mm", grid=LabelGrid(6, 20))
    refused(OutOfRange, "below 0", grid=LabelGrid(2, 4, top=-1))
    refused(OutOfRange, "labels 1 to 24", start=25)
    refused(OutOfRange, "1 to 500", copies=0)
    with pytest.raises(CannotOpen):
        write_labels(things, tmp_path / "nowhere" / "x.pdf")
    for grid in ("3", "0x4", "3x", "3 by 8"):
        with pytest.raises(BadInput, match="3x8"):
            LabelGrid.read(grid)
    with pytest.raises(NotFound, match="no thing 'P77'"):
        read_labels(sample_lab, ["P77"])
    with pytest.raises(NotFound, match="no batch 'P1'"):
        read_labels(sample_lab, ["batch/P1"])
    with pytest.raises(BadInput, match="Name batches"):
        read_labels(sample_lab, [])
    with pytest.raises(BadInput, match="piece gets no label"):
        read_labels(sample_lab, [scan_text(Piece, "P33")])
