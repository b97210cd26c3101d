"""The dictionary agrees with itself: what other parts derive from it can rely on it."""

from __future__ import annotations

import dataclasses
import re

import pytest

from claybench.quantity import canonical_unit
from claybench.terms import (
    FOLDER_ORDER,
    SETTINGS,
    TABLE_OF,
    TABLES,
    TEXT_UNITS,
    Column,
    Run,
    Slab,
    Table,
)

ALL = [(table, column) for table in TABLES.values() for column in table.columns]
KINDS = {"code", "text", "number", "whole", "time", "day", "word", "yesno"}


def test_the_tables_are_those_of_the_lab_folder_each_after_what_it_refers_to() -> None:
    assert tuple(TABLES) == FOLDER_ORDER
    for place, name in enumerate(FOLDER_ORDER):
        for column in TABLES[name].references():
            assert FOLDER_ORDER.index(column.refers) <= place, (name, column.name)


@pytest.mark.parametrize("table", TABLES.values(), ids=TABLES)
def test_a_table_names_only_its_own_columns(table: Table) -> None:
    assert TABLE_OF[table.row] is table
    assert table.names == tuple(field.name for field in dataclasses.fields(table.row))
    for name in (
        *table.key,
        *table.one_of,
        *table.known,
        *table.parent,
        *(each for pair in (*table.order, *table.needs) for each in pair),
        *filter(None, [table.alone]),
    ):
        assert table[name].name == name
    assert all(table[name].refers for name in table.parent)
    assert all(table[name].kind in ("time", "day") for name in table.known)
    assert all(table[name].refers and not table[name].required for name in table.one_of)
    with pytest.raises(KeyError):
        table["nonsense"]


@pytest.mark.parametrize(("table", "column"), ALL, ids=lambda each: each.name)
def test_a_column_is_whole(table: Table, column: Column) -> None:
    assert column.kind in KINDS
    assert bool(column.words) == (column.kind == "word")
    assert column.label and column.label == column.label.strip()
    assert not (column.refers and TABLES[column.refers].code is None)
    if column.kind in ("number", "whole"):
        assert column.high is not None and (column.low is None) != (column.above is None)
        assert canonical_unit(column.unit)
        assert not column.within(column.high * 2 + 1)
        most = column.high if column.possible[1] is None else column.possible[1]
        assert column.limits().endswith(f"at most {most:g}") or " 000" in column.limits()
        assert not re.search(r"\d{4}|e[+-]", column.limits())
        least = column.low if column.possible[0] is None else column.possible[0]
        for side, (usual, possible) in enumerate(zip(column.usual, (least, most), strict=True)):
            if usual is not None:
                assert column.within(usual) and column.is_usual(usual)
                assert possible is None or (usual >= possible if side == 0 else usual <= possible)
    if column.known:
        assert table[column.known].kind in ("time", "day")
        assert not column.required
    assert re.fullmatch(r"[a-z][a-z0-9_]*", column.name)
    assert all(re.fullmatch(r"[a-z][a-z_]*|[<>~]", word) for word in column.words)


@pytest.mark.parametrize("row", TABLE_OF, ids=lambda row: row.__name__)
def test_row_types_are_frozen_and_need_only_what_is_required(row: type) -> None:
    table = TABLE_OF[row]
    for field in dataclasses.fields(row):
        needed = field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING
        assert needed == table[field.name].required
    empty = row(**{column.name: "x" for column in table.columns if column.required})
    with pytest.raises(dataclasses.FrozenInstanceError):
        setattr(empty, table.names[0], "y")


@pytest.mark.parametrize(
    ("table", "column", "wanted"),
    [
        ("slabs", "length_mm", "mm"),
        ("slabs", "usable_area_cm2", "cm**2"),
        ("slab_log", "ring_water_ml", "mL"),
        ("slab_log", "ring_seconds", "s"),
        ("slab_log", "air_speed_m_s", "m/s"),
        ("firings", "peak_temp_c", "degC"),
        ("firings", "hold_min", "min"),
        ("lots", "received_kg", "kg"),
        ("lots", "moisture_pct", "%"),
        ("materials", "price_per_kg", "1/kg"),
        ("materials", "specific_gravity", "1"),
        ("body_lines", "parts", "1"),
        ("checks", "feel", "1"),
    ],
)
def test_the_ending_of_a_name_is_its_unit(table: str, column: str, wanted: str) -> None:
    assert TABLES[table][column].unit == wanted


def test_labels_say_what_a_column_is_in_plain_words() -> None:
    assert TABLES["runs"]["layer_mm"].label == "depth of slip"
    assert TABLES["fired"]["suspended_g"].label == "hanging in water"
    assert TABLES["slabs"]["cast_at"].label == "cast"
    assert TABLES["slabs"]["mix_ratio"].limits() == "at least 20 and at most 200"
    assert TABLES["slabs"]["length_mm"].limits() == "at least 1 and at most 10 000"
    assert TABLES["slabs"]["plaster_g"].limits() == "more than 0 and at most 1 000 000"


def test_limits_include_themselves_unless_they_say_more_than() -> None:
    ratio, length = TABLES["slabs"]["mix_ratio"], TABLES["slabs"]["length_mm"]
    assert [ratio.within(value) for value in (19.9, 20.0, 200.0, 200.1)] == [False, True, True, False]
    assert [length.within(value) for value in (0.9, 1.0, 10_000.0, 10_000.1)] == [False, True, True, False]


def test_a_row_with_a_code_is_found_by_it() -> None:
    assert TABLE_OF[Run].code == "run" and TABLE_OF[Slab].key == ("slab",)
    for table in TABLES.values():
        if table.code is not None:
            assert table.key == (table.code,)


@pytest.mark.parametrize("term", SETTINGS.values(), ids=SETTINGS)
def test_a_setting_is_whole(term: object) -> None:
    assert isinstance(term, type(SETTINGS["name"]))
    assert term.label and term.low <= term.high
    if term.unit not in TEXT_UNITS:
        assert canonical_unit(term.unit)
        assert term.low <= float(term.default) <= term.high
