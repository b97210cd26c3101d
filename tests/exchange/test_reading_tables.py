"""Someone's own table, as spreadsheets of several countries write it: all of it or every fault, one act to undo."""

from __future__ import annotations

import codecs
import random
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, strategies as st

from claybench.errors import BadInput, FaultyFolder
from claybench.exchange.folder_in import import_folder
from claybench.exchange.reading.headings import suggest_target
from claybench.exchange.reading.layout import lay_out, suggest_map
from claybench.exchange.reading.mapping import ColumnMapping, TableMapping, format_mapping, parse_mapping
from claybench.exchange.reading.raw_table import read_file
from claybench.exchange.reading.row_kinds import KINDS
from claybench.exchange.reading.table_import import import_table, preview_table
from claybench.exchange.spreadsheet import DECIMALS, save_table
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.terms import Batch, BatchLine, Body, BodyLine, Fired, Firing, Material, Piece, Run, SlabEvent
from claybench.work.any_row import undo_last
from claybench.work.recipes import add_material
from tests.conftest import Ticking

pytestmark = pytest.mark.slow


@pytest.fixture
def shop(lab: Lab, tmp_path: Path, ticking: Ticking) -> Lab:
    """A lab with a body, a batch, a slab and a firing."""
    folder = tmp_path / "shop"
    folder.mkdir()
    for name, text in {
        "bodies": "body,title\nB-1,one\n",
        "batches": "batch,body,mixed_at\nX-1,B-1,2026-03-01T10:00:00+00:00\n",
        "slabs": "slab,length_mm,thickness_mm\nP1,500,45\n",
        "firings": "firing,cone\nF-1,6\n",
    }.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    import_folder(lab, folder)
    ticking.forward(days=300)
    return lab


def written(tmp_path: Path, text: str, encoding: str = "utf-8", name: str = "theirs.csv") -> Path:
    """A file as a program saved it."""
    path = tmp_path / name
    path.write_bytes(text.encode(encoding))
    return path


def rows(lab: Lab, kind: type[Any]) -> list[Any]:
    """What the lab has."""
    with lab.reading() as record:
        return record.rows(kind)


GERMAN = (
    "Prüfstäbe der dritten Reihe;;;;;\r\n\r\n"
    "Bar;Batch;Date;Wet length (cm);Dry weight;Note\r\n"
    ";;;cm;kg;\r\n"
    "3A1;X-1;03.04.2026;10,05;0,0712;weiß\r\n"
    "3A2;X-1;25.04.2026;10;;\r\n"
)
ENGLISH = (
    "Bar,Batch,Date,Wet length (in),Dry weight (oz)\n"
    '3A1,X-1,2026-04-03,"3.95669291338583",2.51150610\n'
    "3A2,X-1,04/25/2026,3.937007874015748,\n"
)


@pytest.mark.parametrize(
    ("text", "encoding"),
    [
        (GERMAN, "cp1252"),
        (GERMAN, "utf-8"),
        (GERMAN, "utf-8-sig"),
        (GERMAN, "utf-16"),
        (GERMAN, "utf-16-le"),
        (GERMAN.replace(";", "\t"), "utf-16"),
        ("sep=;\r\n" + GERMAN, "cp1252"),
        (ENGLISH, "utf-8"),
    ],
    ids=["cp1252", "utf-8", "bom", "utf-16", "utf-16 unmarked", "tabs", "sep=", "inches"],
)
def test_the_same_table_from_several_countries(shop: Lab, tmp_path: Path, text: str, encoding: str) -> None:
    raw = read_file(written(tmp_path, text, encoding))
    mapping = suggest_map(raw, "pieces")
    report = import_table(shop, raw, mapping)
    assert report.added == {"pieces": 2}
    first, second = rows(shop, Piece)
    assert (first.piece, first.batch, first.formed_at.isoformat()) == ("3A1", "X-1", "2026-04-03")
    assert first.plastic_mm == pytest.approx(100.5, abs=1e-9)
    assert first.dry_g == pytest.approx(71.2, abs=1e-4)  # an ounce is 28.349523125 g (NIST SP 811)
    assert (second.plastic_mm, second.dry_g) == (pytest.approx(100.0), None)
    assert undo_last(shop) is not None
    assert rows(shop, Piece) == []


_COLUMNS = ("Bar", "Batch", "Date", "plastic (mm)", "Firing", "fired (mm)")


def _by_row_and_column(said: tuple[int, str, str]) -> tuple[int, int]:
    return said[0], _COLUMNS.index(said[1])


def test_every_fault_is_listed_with_row_heading_and_what_is_typed(shop: Lab, tmp_path: Path) -> None:
    text = (
        "Bar;Batch;Date;plastic (mm);Firing;fired (mm)\n"
        "1;X-1;3.4.2026;100,0;F-1;88\n"
        "2;X-9;;1OO;F-1;88\n"
        ";X-1;;99;;\n"
        "1;X-1;;100;;\n"
        "4;X-1;;100;;88\n"
        "5;X-1;4.3.2026;0;F-1;9.5\n"
    )
    raw = read_file(written(tmp_path, text))
    found = preview_table(shop, raw, suggest_map(raw, "pieces")).understood
    said = sorted(((fault.line, fault.column, fault.typed) for fault in found.faults), key=_by_row_and_column)
    assert said == [
        (2, "Date", "3.4.2026"),
        (3, "Batch", "X-9"),
        (3, "plastic (mm)", "1OO"),
        (4, "Bar", ""),
        (5, "Bar", "1"),
        (6, "Firing", ""),
        (7, "Date", "4.3.2026"),
        (7, "plastic (mm)", "0"),
        (7, "fired (mm)", "9.5"),  # no bar is so short: a doubt
    ]
    assert all(fault.file == "theirs.csv" for fault in found.faults)
    before = len(rows_of_history(shop))
    with pytest.raises(FaultyFolder) as refused:
        import_table(shop, raw, suggest_map(raw, "pieces"))
    assert len(refused.value.faults) == len(said)
    assert rows(shop, Piece) == [] and len(rows_of_history(shop)) == before


def rows_of_history(lab: Lab) -> list[Any]:
    """All acts."""
    with lab.reading() as record:
        return list_acts(record, limit=1000)


def test_recipes_with_a_column_for_each_material(shop: Lab, tmp_path: Path) -> None:
    text = "Set,,,\nBody,Title,Kaolin,Ball clay,Frit 0-9,Total\nN-1,first,40,60,0,100\nN-2,,55.5,,44.5,100\n"
    raw = read_file(written(tmp_path, text))
    import_table(shop, raw, suggest_map(raw, "bodies"))
    lines = [(line.body, line.position, line.material, line.parts) for line in rows(shop, BodyLine)]
    assert lines == [
        ("N-1", 1, "Kaolin", 40.0), ("N-1", 2, "Ball clay", 60.0),
        ("N-2", 1, "Kaolin", 55.5), ("N-2", 2, "Frit 0-9", 44.5),
    ]  # fmt: skip
    assert {row.material for row in rows(shop, Material)} == {"Kaolin", "Ball clay", "Frit 0-9"}


def test_recipes_with_a_row_for_each_material(shop: Lab, tmp_path: Path) -> None:
    text = "Recipe\tFamily\tIngredient\tPercent\nN-1\tbuff\tkaolin\t40\n\t\tball clay\t60\nN-2\tbuff\tkaolin\t100\n"
    raw = read_file(written(tmp_path, text))
    mapping = suggest_map(raw, "recipe-lines")
    assert {heading: to.to for heading, to in mapping.columns.items()} == {
        "Recipe": "body", "Family": "family", "Ingredient": "material", "Percent": "parts",
    }  # fmt: skip
    mapping = mapping.with_column("Recipe", ColumnMapping("body", fill_down=True))
    import_table(shop, raw, mapping)
    assert [(line.body, line.position, line.parts) for line in rows(shop, BodyLine)] == [
        ("N-1", 1, 40.0), ("N-1", 2, 60.0), ("N-2", 1, 100.0),
    ]  # fmt: skip
    assert {body.body: body.family for body in rows(shop, Body)} == {"B-1": None, "N-1": "buff", "N-2": "buff"}


def test_batches_runs_and_weighings(shop: Lab, tmp_path: Path) -> None:
    raw = read_file(written(tmp_path, "Mix,Clay,Date,Kaolin (kg),Water (L)\nX-2,B-1,2026-03-02,1.2,3\n"))
    mapping = replace(suggest_map(raw, "batches"), time_of_day="8:00")
    with pytest.raises(FaultyFolder) as told:
        import_table(shop, raw, replace(mapping, time_of_day="2026-03-02"))
    (fault,) = told.value.faults  # once, not on every row
    assert fault.column == "time_of_day" and "'2026-03-02' is not a time of day" in fault.reason
    assert "Water (L)" not in mapping.columns  # a volume is no mass
    import_table(shop, raw, mapping)
    batch = next(row for row in rows(shop, Batch) if row.batch == "X-2")
    assert batch.mixed_at.isoformat() == "2026-03-02T08:00:00+00:00"
    assert [(line.material, line.mass_g) for line in rows(shop, BatchLine)] == [("Kaolin", 1200.0)]

    raw = read_file(written(tmp_path, "Run,Batch,Date,Time,Depth (cm)\nD1,X-2,02.03.2026,14:05,1\n"))
    mapping = replace(suggest_map(raw, "runs"), dates="day first").with_constant("slab", "P1")
    import_table(shop, raw, mapping)
    (run,) = rows(shop, Run)
    assert (run.slab, run.layer_mm, run.started_at.isoformat()) == ("P1", 10.0, "2026-03-02T14:05:00+00:00")

    raw = read_file(written(tmp_path, "Slab,Date,Weight (kg)\nP1,2026-06-02 09:30,12.34\n"))
    import_table(shop, raw, suggest_map(raw, "weighings"))
    (event,) = rows(shop, SlabEvent)
    assert (event.event, event.mass_g, event.at.isoformat()) == ("weighed", 12340.0, "2026-06-02T09:30:00+01:00")


def test_later_measurements_of_pieces_that_are_there(shop: Lab, tmp_path: Path) -> None:
    first = read_file(written(tmp_path, "Bar,Batch,Wet length\n1,X-1,100\n2,X-1,100\n"))
    import_table(shop, first, suggest_map(first, "pieces"))
    later = read_file(written(tmp_path, "Bar,Dry length,Firing,Fired length\n1,94,F-2,88\n2,,,\n"))
    mapping = replace(suggest_map(later, "pieces"), name_new=True)
    refused = preview_table(shop, later, mapping).understood.faults
    assert [(fault.line, fault.column) for fault in refused] == [(2, "Dry length")]
    assert "the lab has nothing here, the file 94" in refused[0].reason
    import_table(shop, later, mapping, update=True)
    assert [(row.dry_mm, row.plastic_mm) for row in rows(shop, Piece)] == [(94.0, 100.0), (None, 100.0)]
    assert [(row.piece, row.firing, row.fired_mm) for row in rows(shop, Fired)] == [("1", "F-2", 88.0)]
    assert [row.firing for row in rows(shop, Firing)] == ["F-1", "F-2"]
    missing = read_file(written(tmp_path, "Bar,Dry length\n9,94\n"))
    (fault,) = preview_table(shop, missing, suggest_map(missing, "pieces")).understood.faults
    assert "batch" in fault.reason


def test_words_of_another_tongue(shop: Lab, tmp_path: Path) -> None:
    raw = read_file(written(tmp_path, "Bar,Batch,Shape,Dried in\n1,X-1,Stab,oven\n2,X-1,Fliese,Luft\n"))
    mapping = suggest_map(raw, "pieces")
    faults = preview_table(shop, raw, mapping).understood.faults
    assert [(fault.column, fault.typed) for fault in faults] == [
        ("Shape", "Stab"),
        ("Dried in", "Luft"),
        ("Shape", "Fliese"),
    ]
    mapping = mapping.with_column("Shape", ColumnMapping("shape", words={"Stab": "bar", "fliese": "tile"}))
    mapping = mapping.with_column("Dried in", ColumnMapping("dry_how", words={"Luft": "air"}))
    import_table(shop, raw, mapping)
    assert [(row.shape, row.dry_how) for row in rows(shop, Piece)] == [("bar", "oven"), ("tile", "air")]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "is empty"),
        (b"\xef\xbb\xbf\r\n\r\n", "is empty"),
        (b";;;\r\n;;;\r\n", "is empty"),
        (b"PK\x03\x04\x14\x00", "spreadsheet program's own file"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "old spreadsheet"),
        (b"%PDF-1.7", "PDF"),
        (b"SQLite format 3\x00", "database"),
        (b"<html><table>", "web page"),
        (random.Random(1).randbytes(5000), "is not text"),
        (b"a,b\n" + b"x" * 5_000_000, "more than 100 000 characters"),
        (b"a,b\n" + b"x," * 2_500_000, "no table here has more than 500"),
        (b'a,b\n1,"2\n3,4\n', "none closes it"),
        (b'a,b\n1,"2"2\n', "quotation marks"),
    ],
)
def test_a_file_that_is_no_table_says_what_it_is(tmp_path: Path, data: bytes, said: str) -> None:
    path = tmp_path / "bad.csv"
    path.write_bytes(data)
    with pytest.raises(BadInput, match=said):
        read_file(path)


def test_a_file_that_is_not_there_and_an_encoding_that_does_not_fit(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="cannot be read"):
        read_file(tmp_path / "none.csv")
    with pytest.raises(BadInput, match="is a folder"):
        read_file(tmp_path)
    path = written(tmp_path, "a;ö\n1;2\n", "cp1252")
    with pytest.raises(BadInput, match="row 1"):
        read_file(path, encoding="utf-8")
    with pytest.raises(BadInput, match="not an encoding"):
        read_file(path, encoding="klingon")
    assert codecs.lookup(read_file(path).encoding).name == "cp1252"


def test_ragged_rows_and_headings_twice(shop: Lab, tmp_path: Path) -> None:
    raw = read_file(written(tmp_path, "Bar,Batch,Note,Note\n1,X-1,a,b\n2,X-1\n3,X-1,a,b,c\n"))
    mapping = suggest_map(raw, "pieces")
    assert mapping.columns["Note"].to == "note" and "Note (2)" not in mapping.columns
    found = preview_table(shop, raw, mapping).understood
    assert [(fault.line, fault.column) for fault in found.faults] == [(4, "")]
    assert "more cells than the 4 headings" in found.faults[0].reason
    assert "1 row has fewer cells" in found.notes[0] and "Note (2)" in found.notes[1]


def test_a_mapping_is_written_and_read_again(tmp_path: Path) -> None:
    held = TableMapping(
        "pieces",
        {
            'Länge "feucht"': ColumnMapping("plastic_mm", "cm"),
            "Bar": ColumnMapping("piece", fill_down=True, words={"a b": "c"}),
        },
        {"batch": "X-1"},
        headings_in=3,
        last_row=9,
        decimal="comma",
        dates="day first",
        zone="Europe/Berlin",
        time_of_day="12:00",
        missing=("keine",),
        name_new=True,
        units=("in", "kg"),
        left_out=("Page", "Year"),
        skip=(7, 12),
        names={"Ball caly": "ball clay"},
        anyway=True,
        guessed=True,
    )
    assert parse_mapping(format_mapping(held)) == held


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("rows = 3", "has to be a text"),
        ("rows = 'glazes'", "Say one of"),
        ("rows = 'pieces'\ndecimal = 'dot'", "point, comma"),
        ("rows = 'pieces'\n[columns]\na = 'plastik_mm'", "plastic_mm is meant"),
        ("rows = 'pieces'\n[columns]\na = { to = 'piece', units = 'g' }", "unit is meant"),
        ("rows = 'pieces'\nheading_in = 3", "headings_in is meant"),
        ("rows = 'pieces'\n[constants]\npeice = 3", "piece is meant"),
        ("rows = 'pieces'\nskip = 7", "list of row numbers"),
        ("rows = ", "not TOML"),
    ],
)
def test_a_mapping_with_a_fault_says_which(text: str, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        parse_mapping(text)


@pytest.mark.parametrize(
    ("mapping", "said"),
    [
        (TableMapping("pieces", {"Baar": ColumnMapping("piece")}), "Perhaps 'Bar' is meant"),
        (
            TableMapping("pieces", {"Bar": ColumnMapping("piece"), "wet": ColumnMapping("plastic_mm", "kg")}),
            "'kg' is no unit",
        ),
        (TableMapping("pieces", {"Bar": ColumnMapping("note"), "wet": ColumnMapping("note")}), "both go to note"),
        (TableMapping("pieces", {"wet": ColumnMapping("plastic_mm")}), "No column goes to piece"),
        (TableMapping("pieces", {"Bar": ColumnMapping("piece")}, zone="Moon/Base"), "not a time zone"),
    ],
)
def test_a_mapping_that_does_not_fit_the_file_says_why(
    shop: Lab, tmp_path: Path, mapping: TableMapping, said: str
) -> None:
    raw = read_file(written(tmp_path, "Bar,wet\n1,100\n"))
    (fault,) = preview_table(shop, raw, mapping).understood.faults
    assert said in fault.reason


def test_a_table_saved_from_a_screen_is_read_again(shop: Lab, tmp_path: Path) -> None:
    """The round trip, in both ways of writing numbers, with a text that would run as a formula."""
    headings = ["piece", "body", "batch", "firing", "plastic (mm)", "dry (mm)", "fired (mm)", "total (%)", "note"]
    lines = [
        ["3A", "B-1", "X-1", None, 100.123456789, None, None, None, "=1+1; -2"],
        ["3C", "B-1", "X-1", "F-1", 100.0, 94.2, 88.05, 11.95, "-"],
    ]
    for decimal in ("point", "comma"):
        path = save_table(tmp_path / f"{decimal}.csv", headings, lines, decimal=decimal)
        raw = read_file(path)
        import_table(shop, raw, suggest_map(raw, "pieces"))
        first, second = rows(shop, Piece)
        assert (first.plastic_mm, first.note, second.dry_mm, second.note) == (100.123456789, "=1+1; -2", 94.2, "-")
        assert [row.fired_mm for row in rows(shop, Fired)] == [88.05]
        undo_last(shop)


def test_many_rows_and_an_answer_that_nobody_waits_for(shop: Lab, tmp_path: Path) -> None:
    from claybench.exchange.reading.row_parser import Stopped

    text = "Slab,Date,Weight\n" + "".join(
        f"P1,2026-{1 + n // 5_000:02d}-{1 + n // 1440 % 28:02d} {n % 1440 // 60:02d}:{n % 60:02d},{12000 + n % 100}\n"
        for n in range(5_000)
    )
    raw = read_file(written(tmp_path, text))
    asked: list[int] = []

    def stop() -> bool:
        asked.append(1)
        return len(asked) > 3

    with pytest.raises(Stopped):
        preview_table(shop, raw, suggest_map(raw, "weighings"), stop=stop)
    assert len(asked) == 4
    found = preview_table(shop, raw, suggest_map(raw, "weighings"))
    assert len(found.understood.rows["slab_log"]) == 5_000 and not found.understood.faults


@given(st.text(alphabet=st.characters(exclude_categories=["Cs", "Cc"]) | st.sampled_from("=+-@;,'\"\t\n"), max_size=15))
@example("=1+1;@x")
def test_any_note_comes_back_from_a_saved_table(note: str) -> None:
    """What is saved for a spreadsheet says the same when it is read again, whatever a note holds."""
    with tempfile.TemporaryDirectory() as folder:
        for decimal in DECIMALS:
            path = save_table(
                Path(folder) / f"{decimal}.csv", ["piece", "note", "n"], [["A", note, 1.5]], decimal=decimal
            )
            ((_, cells),) = lay_out(read_file(path), TableMapping("pieces", headings_in=1)).rows
            assert cells[:2] == ("A", note)


def test_recipes_in_one_cell(shop: Lab, tmp_path: Path) -> None:
    raw = read_file(written(tmp_path, 'body;recipe\nN-1;"kaolin 40, ball clay 60"\nN-2;kaolin\n'))
    mapping = suggest_map(raw, "bodies")
    (fault,) = preview_table(shop, raw, mapping).understood.faults
    assert (fault.line, fault.column, fault.typed) == (3, "recipe", "kaolin")
    import_table(shop, raw, replace(mapping, last_row=2))
    assert [(row.position, row.material, row.parts) for row in rows(shop, BodyLine)] == [
        (1, "kaolin", 40.0), (2, "ball clay", 60.0),
    ]  # fmt: skip


def test_a_unit_that_is_said_goes_before_that_of_the_heading(shop: Lab, tmp_path: Path) -> None:
    raw = read_file(written(tmp_path, "Bar,Batch,Wet length (cm)\n1,X-1,4\n"))
    mapping = suggest_map(raw, "pieces").with_column("Wet length (cm)", ColumnMapping("plastic_mm", "in"))
    import_table(shop, raw, mapping)
    assert [row.plastic_mm for row in rows(shop, Piece)] == [101.6]


def test_a_recipe_in_a_cell_is_read_by_the_labs_names_and_near_ones_are_asked_about(shop: Lab, tmp_path: Path) -> None:
    for name in ("kaolin", "ball clay 2"):
        add_material(shop, Material(material=name))
    raw = read_file(written(tmp_path, 'body;recipe\nN-1;"Ball clay 2 40, kaol 30, ball clya 2 30"\n'))
    mapping = suggest_map(raw, "bodies")
    found = preview_table(shop, raw, mapping)
    assert [question.text for question in found.questions] == [
        "Is 'kaol' kaolin, or another material?",
        "Is 'ball clya 2' ball clay 2, or another material?",
    ]
    assert [each.option for each in found.questions[0].answers] == ['--same "kaol=kaolin"', '--same "kaol=kaol"']
    with pytest.raises(FaultyFolder):
        import_table(shop, raw, mapping)
    mapping = replace(mapping, names={"kaol": "kaol", "ball clya 2": "ball clay 2"})
    raw = read_file(written(tmp_path, 'body;recipe\nN-1;"kaolin 40, kaol 30, ball clya 2 30"\n'))
    import_table(shop, raw, mapping)
    assert [(row.material, row.parts) for row in rows(shop, BodyLine)] == [
        ("kaolin", 40.0), ("kaol", 30.0), ("ball clay 2", 30.0),
    ]  # fmt: skip


def test_hours_of_a_soak_are_found_by_what_people_call_them() -> None:
    heads = ("Bar", "Firing", "Fired mass (g)", "Boiled mass", "Soaked by", "Boiled for (h)")
    assert tuple(suggest_target(heads, KINDS["fired"]).values()) == (
        "piece", "firing", "fired_g", "soaked_g", "soak_method", "soak_hours",
    )  # fmt: skip
