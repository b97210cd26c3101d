"""An import refuses nothing that has happened: what a form would ask about stands in one list of notes."""

from __future__ import annotations

from pathlib import Path

from claybench.exchange.folder_in import import_folder
from claybench.record.lab import Lab
from claybench.terms import Run

FILES = {
    "families": "family,stain_rank\nwhite,0\nred,3\n",
    "materials": "material\nkaolin\n",
    "bodies": "body,family\nW-1,white\nR-1,red\n",
    "body_lines": "body,position,material,parts\nW-1,1,kaolin,100\nR-1,1,kaolin,100\n",
    "slabs": "slab,family,length_mm,width_mm,thickness_mm,in_service_on,retired_on\n"
    "P1,white,500,400,45,2026-01-01,2026-03-05\nP2,white,40,30,5,2026-01-01,\n",
    "batches": "batch,body,mixed_at\nW-1-1,W-1,2026-03-01T08:00+00:00\nR-1-1,R-1,2026-03-01T08:00+00:00\n",
    "runs": "run,batch,slab,started_at,ended_at,outcome,layer_mm\n"
    "A1,W-1-1,P1,2026-03-02T09:00+00:00,2026-03-02T10:00+00:00,workable,10\n"
    "A2,R-1-1,P1,2026-03-03T09:00+00:00,2026-03-03T10:00+00:00,lifted_early,10\n"
    "A3,R-1-1,P1,2026-03-04T09:00+00:00,2026-03-04T10:00+00:00,workable,10\n"
    "A4,W-1-1,P1,2026-03-06T09:00+00:00,2026-03-06T10:00+00:00,workable,10\n",
    "checks": "run,at,feel\nA1,2026-03-02T09:30+00:00,workable\nA1,2026-03-02T09:50+00:00,fluid\n"
    "A2,2026-03-03T09:50+00:00,workable\n",
    "pieces": "piece,batch,plastic_mm,dry_mm\nK1,W-1-1,100,104\nK2,W-1-1,100,94\n",
}


def test_one_list_of_notes(lab: Lab, tmp_path: Path) -> None:
    for name, text in FILES.items():
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    notes = import_folder(lab, tmp_path).notes
    with lab.reading() as record:
        assert len(record.rows(Run)) == 4
    for expected in (
        "slabs: P2: the length or diameter is 40 mm; 100 to 1 500 mm is usual.",
        "slabs: P2: the thickness is 5 mm; 12 to 120 mm is usual.",
        "A1 felt workable at 09:30, and a layer does not get softer: fluid?",
        "A2: A2 felt workable, and is lifted early?",
        "A2 and 1 later layer: P1 is kept for white, this is red.",
        "A4: P1 is retired since 5 Mar 2026.",
    ):
        assert any(expected.removeprefix("A2: ") in note for note in notes), (expected, notes)
    assert any(note.startswith("K1") and "104" in note for note in notes)
    # What nothing speaks against is not noted.
    assert not any("K2" in note or note.startswith(("A3", "W-1")) for note in notes)


def test_taking_the_same_in_again_notes_nothing(lab: Lab, tmp_path: Path) -> None:
    for name, text in FILES.items():
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    import_folder(lab, tmp_path)
    assert import_folder(lab, tmp_path).notes == []
