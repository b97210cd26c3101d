"""The lab folder: exact bytes, all or nothing, every fault with its place."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings, strategies as st

from claybench.errors import BadInput, FaultyFolder
from claybench.exchange.cells import format_value
from claybench.exchange.folder_in import import_folder
from claybench.exchange.folder_out import export_folder
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.record.opening import create_lab, open_lab
from claybench.terms import Body, Family, Lot, Material, Slab
from claybench.work.any_row import undo_last

pytestmark = pytest.mark.slow


def folder(path: Path, **files: str) -> Path:
    """A lab folder with these files."""
    path.mkdir(exist_ok=True)
    for name, text in files.items():
        (path / f"{name}.csv").write_text(text, encoding="utf-8", newline="")
    return path


def counts(lab: Lab) -> tuple[int, int]:
    """Acts and bodies of a lab."""
    with lab.reading() as record:
        return len(list_acts(record, limit=1000)), record.count(Body)


def test_named_but_not_listed_is_made(lab: Lab, tmp_path: Path) -> None:
    source = folder(
        tmp_path / "in",
        bodies="body,family,parent\nB-2,buff,B-1\nB-1,buff,\n",
        body_lines="body,position,material,parts\nB-1,1,kaolin,40\n",
        batches="batch,body,mixed_at\nX,B-1,2026-03-01T10:00:00+00:00\n",
        batch_lines="batch,position,material,lot,mass_g\nX,1,kaolin,K-1,400\n",
    )
    report = import_folder(lab, source)
    assert report.added["bodies"] == 2
    with lab.reading() as record:
        assert record.codes(Family) == ["buff"]
        assert record.codes(Material) == ["kaolin"]
        assert record.one(Lot, "K-1").material == "kaolin"
        assert record.one(Body, "B-2").parent == "B-1"


@pytest.mark.parametrize(
    ("file", "text", "line", "column", "said"),
    [
        ("bodies", "body,slip_sg\nA,1.4\nB,1,4\n", 3, "", "3 cells"),
        ("bodies", "body,slip_sg\nA,thick\n", 2, "slip_sg", "not a number"),
        ("bodies", 'body,slip_sg\nA,"1,4"\n', 2, "slip_sg", "1.4"),
        ("bodies", "body,slip_sg\nA,9\n", 2, "slip_sg", "at most 3"),
        ("bodies", "body,control\nA,maybe\n", 2, "control", "yes or no"),
        ("bodies", "body,parent\nA,Z\n", 2, "parent", "no body 'Z'"),
        ("bodies", "body,parent\nA,B\nB,A\n", 2, "parent", "from itself"),
        ("bodies", "body\nA\na\n", 3, "body", "line 2"),
        ("bodies", "body,glaze\nA,x\n", 1, "glaze", "no such column"),
        ("bodies", "body,body\nA,B\n", 1, "body", "twice"),
        ("bodies", "title\nx\n", 1, "body", "has to be there"),
        ("bodies", 'body\n"A\n', 2, "", "not CSV"),
        ("slabs", "slab,length_mm,thickness_mm,shape\nP,1,1,star\n", 2, "shape", "rectangle, round"),
        ("air", "at\n2026-03-01T10:00:00\n", 2, "at", "offset"),
        ("batches", "batch,body,mixed_at\nX,Z,2026-03-01T10:00:00+00:00\n", 2, "body", "no body 'Z'"),
        ("photographs", "file\nx\n", 0, "", "no such table"),
        ("settings", "name,value\nzone,Moon/Crater\n", 2, "value", "time zone"),
    ],
)
def test_every_fault_has_its_place_and_nothing_is_written(
    lab: Lab, tmp_path: Path, file: str, text: str, line: int, column: str, said: str
) -> None:
    before = counts(lab)
    source = folder(tmp_path / "in", families="family\nbuff\n", **{file: text})
    with pytest.raises(FaultyFolder) as refused:
        import_folder(lab, source)
    found = [fault for fault in refused.value.faults if (fault.line, fault.column) == (line, column)]
    assert found, [str(fault) for fault in refused.value.faults]
    assert found[0].file == f"{file}.csv"
    assert said in found[0].reason
    assert counts(lab) == before


def test_the_exactly_one_of_columns(lab: Lab, tmp_path: Path) -> None:
    source = folder(tmp_path / "in", readings="piece,batch,at,what\n,,2026-03-01T10:00:00+00:00,dry_mm\n")
    with pytest.raises(FaultyFolder, match="1 fault"):
        import_folder(lab, source)


def test_update_changes_what_is_there_and_leaves_absent_columns(lab: Lab, tmp_path: Path) -> None:
    import_folder(lab, folder(tmp_path / "one", bodies="body,title,note\nA,first,keep\n"))
    again = import_folder(lab, folder(tmp_path / "same", bodies="body,title\nA,first\n"))
    assert again.unchanged["bodies"] == 1
    other = folder(tmp_path / "two", bodies="body,title\nA,\n")
    with pytest.raises(FaultyFolder) as refused:
        import_folder(lab, other)
    assert "--update" in refused.value.faults[0].reason
    import_folder(lab, other, update=True)
    with lab.reading() as record:
        assert (record.one(Body, "A").title, record.one(Body, "A").note) == (None, "keep")
    undo_last(lab)
    with lab.reading() as record:
        assert record.one(Body, "A").title == "first"


def test_newer_formats_are_refused_in_one_sentence(lab: Lab, tmp_path: Path) -> None:
    source = folder(tmp_path / "in", settings="name,value\nformat,3\n")
    with pytest.raises(BadInput, match="format 3, and this claybench reads format 2"):
        import_folder(lab, source)


def test_marks_line_ends_and_other_files_are_passed_over(lab: Lab, tmp_path: Path) -> None:
    source = folder(tmp_path / "in", bodies="\ufeffbody,title\r\nA,x\r\n\r\nB,y\r\n")
    (source / "notes.txt").write_text("not a table")
    assert import_folder(lab, source).added["bodies"] == 2


def test_an_export_never_touches_what_is_there(lab: Lab, tmp_path: Path) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "x").write_text("mine")
    with pytest.raises(BadInput, match="not empty"):
        export_folder(lab, tmp_path / "full")
    assert [path.name for path in (tmp_path / "full").iterdir()] == ["x"]
    assert not [path for path in tmp_path.iterdir() if path.name.startswith(".full")]


def test_golden_bytes(lab: Lab, tmp_path: Path) -> None:
    source = folder(
        tmp_path / "in",
        slabs=(
            'slab,length_mm,thickness_mm,dry_mass_g,note\n"P,1",500.50,45.0,,"say ""hi""\n=1+1"\nA,20,1e2,0.00001,\n'
        ),
    )
    import_folder(lab, source)
    export_folder(lab, tmp_path / "out")
    lines = (tmp_path / "out" / "slabs.csv").read_bytes().decode().split("\n", 1)
    assert lines[1] == ('A,,,20,,100,,,,,,,,,,0.00001,\n"P,1",,,500.5,,45,,,,,,,,,,,"say ""hi""\n=1+1"\n')


_texts = st.text(st.characters(exclude_categories=("Cs", "Cc")) | st.sampled_from("\n\r\",=;'"), max_size=20)
_codes = st.text(st.characters(categories=("Lu", "Ll", "Nd", "Pd")), min_size=1, max_size=12)


@pytest.fixture(scope="module")
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """An empty lab of another name and zone, made once."""
    path = tmp_path_factory.mktemp("elsewhere") / "b.claybench"
    create_lab(path, name="other", zone="UTC").close()
    return path.read_bytes()


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    st.dictionaries(
        _codes,
        st.tuples(st.floats(1, 9999), st.floats(1, 999), _texts, st.datetimes(timezones=st.timezones())),
        max_size=6,
    )
)
def test_round_trip_of_anything(
    empty_lab_file: Path,
    elsewhere: bytes,
    tmp_path_factory: pytest.TempPathFactory,
    rows: dict[str, tuple[float, float, str, object]],
) -> None:
    from claybench.errors import ClaybenchError

    place = tmp_path_factory.mktemp("trip")
    (place / "a.claybench").write_bytes(empty_lab_file.read_bytes())
    lab = open_lab(place / "a.claybench")
    with lab.acting("made up") as act:
        for code, (length, thickness, note, _) in rows.items():
            try:
                act.add(Slab(slab=code, length_mm=length, thickness_mm=thickness, note=note or None))
            except ClaybenchError:
                continue  # the same code in another case, or one no code can be
    export_folder(lab, place / "one")
    (place / "b.claybench").write_bytes(elsewhere)
    other = open_lab(place / "b.claybench")
    import_folder(other, place / "one")
    export_folder(other, place / "two")
    for path in (place / "one").iterdir():
        assert path.read_bytes() == (place / "two" / path.name).read_bytes()
    lab.close()
    other.close()


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e12, max_value=1e12))
def test_numbers_have_no_exponent_and_come_back(value: float) -> None:
    text = format_value(value)
    assert "e" not in text.lower() and not text.endswith(".0")
    assert float(text) == value


def test_a_bar_fired_twice_is_asked_about_once(lab: Lab, tmp_path: Path) -> None:
    source = folder(
        tmp_path / "in",
        bodies="body,family\nB-1,buff\n",
        batches="batch,body,mixed_at\nX,B-1,2026-03-01T10:00:00+00:00\n",
        firings="firing,fired_on\nF1,2026-03-20\nF2,2026-04-20\n",
        pieces="piece,batch,formed_at,plastic_mm,dry_at,dry_mm\nK1,X,2026-03-02,100,2026-03-09,49\n",
        fired="piece,firing,fired_mm\nK1,F1,48\nK1,F2,45\n",
    )
    notes = import_folder(lab, source).notes
    assert [note for note in notes if "in drying" in note and "firing" not in note] == [
        "K1: It shrank 51 % in drying. Is that right?"
    ]


def test_new_names_near_to_the_labs_are_noted_and_taken(lab: Lab, tmp_path: Path) -> None:
    first = folder(tmp_path / "first", materials="material\nkaolin\nball clay\n", families="family\nwhite\n")
    assert import_folder(lab, first).notes == []
    more = folder(
        tmp_path / "more",
        materials="material\nball-clay\ntalc 325\ntalc 200\n",
        bodies="body,family\nB-1,whit\nB-2,white\n",
        body_lines="body,position,material,parts\nB-1,1,kaol,40\nB-1,2,quartz,40\nB-2,1,qaurtz,40\n",
    )
    assert import_folder(lab, more).notes == [
        "New family: whit; did you mean white?",
        "New material: ball-clay; did you mean ball clay?",
        "New material: kaol; did you mean kaolin?",
        "New material: qaurtz; did you mean quartz?",
        "materials: kaol, qaurtz: nobody said what they are; read their safety data sheets",
    ]
    with lab.reading() as record:
        assert {"kaol", "ball-clay"} <= set(record.codes(Material))
