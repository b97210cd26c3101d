"""What came with format 2, in and out of a lab folder: all of it, with every fault in its place; format 1 as well."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.history import act_page
from claybench.errors import FaultyFolder
from claybench.exchange.folder_in import import_folder
from claybench.exchange.folder_out import export_folder
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.record.opening import create_lab
from claybench.record.undoing import undo_act
from claybench.terms import FORMAT, DeclaredProperty, Measurement, Person, ProfileTarget
from tests.exchange.test_folder import folder
from tests.odd.small_lab import fill

AT = "2026-03-01T10:00:00+00:00"
STRENGTH = {
    "properties": "property,of,kind,unit,formula,better\nstrength,fired,number,N/mm,load_n / breadth_mm,more\n",
    "property_inputs": (
        "property,position,input,unit,low,high\nstrength,1,load_n,N,0,5000\nstrength,2,breadth_mm,mm,1,200\n"
    ),
}
BARS = {
    "bodies": "body\nA\n",
    "batches": f"batch,body,mixed_at\nX,A,{AT}\n",
    "firings": "firing\nF\n",
    "pieces": "piece,batch\nK,X\n",
}


def reading(header: str, *rows: str) -> str:
    return "\n".join([f"at,{header}", *(f"{AT},{row}" for row in rows)]) + "\n"


def faults_of(lab: Lab, source: Path) -> list[tuple[str, int, str, str]]:
    with pytest.raises(FaultyFolder) as refused:
        import_folder(lab, source)
    return [(fault.file, fault.line, fault.column, fault.reason) for fault in refused.value.faults]


def test_everything_goes_out_and_in_and_out_again_byte_for_byte(lab: Lab, tmp_path: Path) -> None:
    fill(lab)
    first = export_folder(lab, tmp_path / "one")
    assert all(path.read_bytes().count(b"\n") > 1 for path in first), "a table without a row shows nothing"
    other = create_lab(tmp_path / "other.claybench", name="other", zone="UTC")
    import_folder(other, tmp_path / "one")
    again = import_folder(other, tmp_path / "one")
    assert (again.added, again.changed) == ({}, {})
    for path, before in zip(export_folder(other, tmp_path / "two"), first, strict=True):
        assert path.read_bytes() == before.read_bytes(), path.name
    other.close()


def test_a_folder_of_format_1_is_read_and_leaves_the_lab_at_its_own(lab: Lab, tmp_path: Path) -> None:
    source = folder(
        tmp_path / "in",
        settings="name,value\nformat,1\nname,Old bench\nzone,Europe/Lisbon\n",
        **BARS,
        readings=f"piece,batch,firing,at,what,value,count,wet_g,dry_g,by,note\nK,,,{AT},dry_mm,94.2,,,,m,\n",
    )
    import_folder(lab, source)
    assert lab.setting("format") == str(FORMAT)
    assert lab.setting("name") == "Old bench"
    assert import_folder(lab, source).added == {}, "and it is no fault that the lab says another format"
    with lab.reading() as record:
        assert [(row.piece, row.value, row.run) for row in record.rows(Measurement)] == [("K", 94.2, None)]


def test_declared_in_one_folder_read_in_another_in_any_case(lab: Lab, tmp_path: Path) -> None:
    import_folder(lab, folder(tmp_path / "one", **STRENGTH, **BARS))
    readings = reading("piece,firing,what,value,together", "K,F,LOAD_N,512,1", "K,F,Strength,21.2,")
    report = import_folder(lab, folder(tmp_path / "two", readings=readings))
    assert report.added == {"readings": 2}
    with lab.reading() as record:
        assert {row.what for row in record.rows(Measurement)} == {"load_n", "strength"}
    assert import_folder(lab, tmp_path / "two").unchanged == {"readings": 2}


@pytest.mark.parametrize(
    ("header", "row", "column", "said"),
    [
        ("piece,what,value", "K,shine,1", "what", "no measured column, property or input"),
        ("piece,what,value", "K,strength,20", "what", "of a piece after a firing, which is not named"),
        ("piece,firing,what,value", "K,F,strength,", "value", "no value is given"),
        ("piece,firing,what,value", "K,F,load_n,6000", "value", "at most 5 000"),
        ("piece,what,value,value_high", "K,dry_mm,94,93", "value_high", "below value"),
        ("piece,what,value_high", "K,dry_mm,93", "value_high", "says nothing without value"),
        ("piece,what,value,sign", "K,dry_mm,94,≈", "sign", "Use one of <, >, ~"),
        ("piece,what,value,instrument", "K,dry_mm,94,caliper", "instrument", "no instrument 'caliper'"),
        ("piece,batch,what,value", "K,X,other,1", "piece", "exactly one of piece, batch"),
        ("what,value", "other,1", "piece", "or firing alone"),
        ("piece,what,value", f"K,{'x' * 41},1", "what", "Use 40 at most"),
    ],
)
def test_readings_are_held_to_what_is_declared(
    lab: Lab, tmp_path: Path, header: str, row: str, column: str, said: str
) -> None:
    source = folder(tmp_path / "in", **STRENGTH, **BARS, readings=reading(header, row))
    (fault,) = faults_of(lab, source)
    assert fault[:3] == ("readings.csv", 2, column) and said in fault[3]


@pytest.mark.parametrize(
    ("properties", "inputs", "file", "column", "said"),
    [
        ("absorption_pct,fired,number,,", "", "properties", "property", "is there already"),
        ("dry_mm,piece,number,mm,", "", "properties", "property", "is read off every piece already"),
        ("a b,piece,number,mm,", "", "properties", "property", "cannot stand in a formula"),
        ("p,kiln,number,mm,", "", "properties", "of", "Use one of piece, fired"),
        ("p,piece,number,furlongs per fortnight!,", "", "properties", "unit", "furlongs"),
        ("p,piece,number,mm,dry_mm / dry_g", "p,1,dry_mm\np,2,dry_g", "properties", "formula", "comes to"),
        ("p,piece,number,mm,dry_mm + q", "p,1,dry_mm", "properties", "formula", "'q'"),
        ("p,piece,number,mm,dry_mm", "p,1,dry_mm\np,2,dry_g", "properties", "formula", "does not stand in the formula"),
        ("p,piece,number,mm,__import__('os')", "p,1,dry_mm", "properties", "formula", ""),
        ("p,piece,number,,2 * q\nq,piece,number,,2 * p", "p,1,q\nq,1,p", "properties", "formula", "rests on itself"),
        ("p,piece,word,,dry_mm", "p,1,dry_mm", "properties", "formula", "no formula"),
        ("p,piece,number,mm,fired_mm", "p,1,fired_mm", "property_inputs", "input", "read off a fired piece"),
        ("p,piece,number,mm,x-y", "p,1,x-y", "property_inputs", "input", "a letter, then letters"),
    ],
)
def test_a_declaration_that_means_nothing_is_refused_where_it_stands(
    lab: Lab, tmp_path: Path, properties: str, inputs: str, file: str, column: str, said: str
) -> None:
    source = folder(
        tmp_path / "in",
        properties=f"property,of,kind,unit,formula\n{properties}\n",
        property_inputs=f"property,position,input\n{inputs}\n",
    )
    found = faults_of(lab, source)
    assert any(fault[0] == f"{file}.csv" and fault[2] in (column, "") and said in fault[3] for fault in found), found


def test_scores_words_and_targets_are_held_to_their_property(lab: Lab, tmp_path: Path) -> None:
    source = folder(
        tmp_path / "in",
        **BARS,
        slabs="slab,length_mm,thickness_mm\nP,400,50\n",
        properties="property,of,kind\nthrown,batch,score\nface,slab,word\nmass,piece,number\n",
        property_words="property,score,words\nthrown,1,tears\nthrown,2,plastic\nmass,1,light\n",
        profiles="profile\ntight\n",
        profile_targets="profile,property,low,high\ntight,absorption_pct,2,1\ntight,shine,,\n",
        readings=reading(
            "batch,slab,what,value,word,together",
            *("X,,thrown,3,,1", "X,,thrown,1.5,,2", "X,,thrown,2,,3", ",P,face,,,1", ",P,face,,worn,2"),
        ),
    )
    assert [(file, line, column) for file, line, column, _ in faults_of(lab, source)] == [
        ("property_words.csv", 4, "property"),
        ("profile_targets.csv", 2, "high"),
        ("profile_targets.csv", 3, "property"),
        ("readings.csv", 2, "value"),
        ("readings.csv", 3, "value"),
        ("readings.csv", 5, "word"),
    ]


def test_a_score_between_two_that_have_words_is_one_too(lab: Lab, tmp_path: Path) -> None:
    source = folder(
        tmp_path / "in",
        **BARS,
        properties="property,of,kind\nthrown,batch,score\n",
        property_words="property,score,words\nthrown,1,tears\nthrown,5,plastic\n",
        readings=reading("batch,what,value,together", "X,thrown,3,1", "X,thrown,0,2", "X,thrown,6,3"),
    )
    assert [(line, column) for _, line, column, _ in faults_of(lab, source)] == [(3, "value"), (4, "value")]


def test_what_no_form_writes_is_in_the_history_and_taken_back(lab: Lab, tmp_path: Path) -> None:
    source = folder(
        tmp_path / "in",
        people="person,name,role,until\nk,Kim,record,2027-01-01\n",
        reminders=f'reminder,at,every_h,text\nturn,{AT},12,"turn, and look"\n',
        profiles="profile,cone\ntight,6\n",
        profile_targets="profile,property,high\ntight,absorption_pct,2\n",
        instruments="instrument,kind,step,unit\nscale 1,scale,0.1,g\n",
    )
    import_folder(lab, source)
    with lab.reading() as record:
        (entry, *_) = list_acts(record, limit=1)
        assert record.one(Person, "K").name == "Kim"
        assert record.rows(ProfileTarget)[0].high == 2.0
    lines = act_page(lab, entry.id).lines()
    assert any("reminder turn" in line and "turn, and look" in line for line in lines)
    assert any("person k" in line and "role record" in line for line in lines)
    undo_act(lab, entry.id)
    with lab.reading() as record:
        assert record.rows(Person) == [] == record.rows(ProfileTarget)
        assert record.retired(DeclaredProperty) == []
