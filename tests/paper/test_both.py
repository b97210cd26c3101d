"""What is printed from PostgreSQL is what is printed from SQLite, to the last byte; odd names are found on both."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.batches import batch_page
from claybench.ask.labels import read_labels
from claybench.ask.reports import read_body_report, read_comparison_report, read_passport
from claybench.ask.search import find_codes, read_scan, scan_text
from claybench.errors import BadInput
from claybench.paper.bench_sheet import write_bench_sheet
from claybench.paper.body_report import write_body_report as write_body
from claybench.paper.comparison_report import write_comparison_report as write_comparison
from claybench.paper.labels import write_labels
from claybench.paper.passport import write_slab_passport
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Lot
from claybench.work.recipes import add_body
from claybench.work.settings import set_setting
from tests.conftest import BACKENDS, SERVER, Ticking, frozen
from tests.paper.odd import odd_names, odd_pieces
from tests.paper.reading import LONG, NASTY


def printed(lab: Lab, folder: Path) -> dict[str, bytes]:
    """Every kind of sheet there is, of odd names."""
    add_body(odd_pieces(odd_names(lab)), Body(body=NASTY[:40]), [("kaolin", 1.0)])
    set_setting(lab, "paper", "letter")
    folder.mkdir()
    write_bench_sheet(batch_page(lab, NASTY[:40]), folder / "sheet.pdf")
    write_labels(read_labels(lab, [f"body/{LONG}", f"batch/{NASTY[:40]}", "W", "L/1"]), folder / "labels.pdf")
    write_body(read_body_report(lab, LONG), folder / "body.pdf")
    write_comparison(read_comparison_report(lab, [f"{NASTY[:40]}", LONG]), folder / "side.pdf")
    write_slab_passport(read_passport(lab, "w"), folder / "slab.pdf")
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.mark.skipif(not SERVER, reason="needs a PostgreSQL server")
def test_both_databases_print_the_same(lab: Lab, lab_url: str, ticking: Ticking, tmp_path: Path) -> None:
    with frozen(lab_url, ticking) as other:
        assert printed(lab, tmp_path / "one") == printed(other, tmp_path / "other")


@pytest.mark.parametrize("backend", BACKENDS)
def test_odd_names_are_found(backend: str, request: pytest.FixtureRequest, ticking: Ticking) -> None:
    with frozen(request.getfixturevalue("lab_url" if backend == "postgresql" else "lab_path"), ticking) as odd:
        odd_names(odd)
        nasty = NASTY[:40]
        assert [(hit.noun, hit.code) for hit in find_codes(odd, scan_text(Batch, nasty))] == [("batch", nasty)]
        assert scan_text(Batch, nasty).isascii() and "[" not in scan_text(Batch, nasty)
        assert [hit.code for hit in find_codes(odd, scan_text(Lot, "L/1"))] == ["L/1"]
        assert [hit.code for hit in find_codes(odd, "  Claybench:LOT/l%2F1 \n")] == ["L/1"]
        assert [hit.code for hit in find_codes(odd, "claybench:lot/L/1")] == ["L/1"]
        assert find_codes(odd, "claybench:lot/L") == []  # the beginning of a code is another thing
        assert find_codes(odd, "claybench:body/L%2F1") == []
        assert read_scan("claybench:shoe/L") is None and read_scan("claybench:lot/") is None
        with pytest.raises(BadInput, match="more than one thing") as found:
            read_labels(odd, [LONG])
        assert f"body/{LONG} or material/{LONG}" in str(found.value)
