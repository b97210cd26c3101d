"""Acts on families, materials, lots, bodies and batches."""

from __future__ import annotations

from datetime import datetime

import pytest

from claybench.errors import BadInput, NotFound, Refused
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.terms import Batch, BatchEvent, BatchLine, Body, BodyLine, Family, Lot, Material
from claybench.work import any_row, recipes


def newest(lab: Lab) -> str:
    with lab.reading() as record:
        return list_acts(record, limit=1)[0].label


def lines_of(lab: Lab, body: str) -> list[tuple[int, str, float]]:
    with lab.reading() as record:
        return [(line.position, line.material, line.parts) for line in record.rows(BodyLine, body=body)]


def test_a_recipe_names_its_materials_and_family_on_the_way(lab: Lab) -> None:
    recipes.add_body(lab, Body(body="W-1", family="white"), [("china clay", 60.0), ("flint", 40.0)])
    assert lines_of(lab, "W-1") == [(1, "china clay", 60.0), (2, "flint", 40.0)]
    with lab.reading() as record:
        assert record.codes(Material) == ["china clay", "flint"]
        assert record.codes(Family) == ["white"]
    assert newest(lab) == "Designed body W-1"


def test_a_body_needs_no_recipe_yet(lab: Lab) -> None:
    recipes.add_body(lab, Body(body="W-2"))
    assert lines_of(lab, "W-2") == []


def test_a_material_stands_once_in_a_recipe(bench: Lab) -> None:
    twice = [("flint", 10.0), ("ball clay", 80.0), (" Flint", 10.0)]
    for write in (
        lambda: recipes.add_body(bench, Body(body="B-08"), twice),
        lambda: recipes.change_recipe(bench, "B-07", twice),
    ):
        with pytest.raises(BadInput, match="Flint stands twice in the recipe. Add its parts together") as told:
            write()
        assert told.value.field == "lines"
    assert lines_of(bench, "B-07") == [(1, "ball clay", 100.0)]


def test_a_changed_recipe_can_be_had_back(bench: Lab) -> None:
    recipes.change_recipe(bench, "B-07", [("flint", 20.0), ("ball clay", 80.0)])
    assert lines_of(bench, "B-07") == [(1, "flint", 20.0), (2, "ball clay", 80.0)]
    any_row.undo_last(bench)
    assert lines_of(bench, "B-07") == [(1, "ball clay", 100.0)]
    any_row.redo_last(bench)
    assert lines_of(bench, "B-07") == [(1, "flint", 20.0), (2, "ball clay", 80.0)]
    with pytest.raises(NotFound, match="no body 'B-99'"):
        recipes.change_recipe(bench, "B-99", [])


def test_a_lot_names_its_material_on_the_way(lab: Lab) -> None:
    recipes.add_lot(lab, Lot(lot="L-1", material="grog", moisture_pct=2.0))
    with lab.reading() as record:
        assert record.one(Lot, "L-1").material == "grog"
        assert record.codes(Material) == ["grog"]


def test_a_batch_keeps_what_was_weighed_and_names_an_unknown_body(bench: Lab, at: datetime) -> None:
    recipes.add_lot(bench, Lot(lot="L-1", material="ball clay"))
    batch = Batch(batch="X-1", body="X", mixed_at=at)
    recipes.mix_batch(bench, batch, [("ball clay", "L-1", 1500.0), ("flint", None, 500.0)], family="red")
    with bench.reading() as record:
        weighed = record.rows(BatchLine, batch="X-1")
        assert [(line.material, line.lot, line.mass_g) for line in weighed] == [
            ("ball clay", "L-1", 1500.0),
            ("flint", None, 500.0),
        ]
        assert record.one(Body, "X").family == "red"
    with pytest.raises(NotFound, match="no lot 'L-9'"):
        recipes.mix_batch(bench, Batch(batch="X-2", body="X", mixed_at=at), [("flint", "L-9", 1.0)])
    with bench.reading() as record:
        assert record.codes(Batch) == ["B-07-1", "X-1"]


def test_weights_can_be_filled_in_later(bench: Lab, at: datetime) -> None:
    recipes.weigh_batch(bench, "B-07-1", [("ball clay", None, 1990.0), ("flint", None, 15.0)])
    with bench.reading() as record:
        assert [line.mass_g for line in record.rows(BatchLine, batch="B-07-1")] == [1990.0, 15.0]
    any_row.undo_last(bench)
    with bench.reading() as record:
        assert [line.mass_g for line in record.rows(BatchLine)] == [2000.0]
    with pytest.raises(NotFound, match="no batch 'B-07-9'"):
        recipes.weigh_batch(bench, "B-07-9", [])


def test_a_batch_has_a_log(bench: Lab, at: datetime) -> None:
    event = BatchEvent(batch="B-07-1", at=at, event="addition", material="soda ash", mass_g=4.0)
    recipes.log_batch(bench, event)
    assert newest(bench) == "Batch B-07-1: addition"
    with bench.reading() as record:
        assert record.rows(BatchEvent) == [event]
    with pytest.raises(Refused, match="a batch event at 09:30:00 already, and two cannot stand"):
        recipes.log_batch(bench, event)
    with pytest.raises(NotFound):
        recipes.log_batch(bench, BatchEvent(batch="none", at=at, event="screened"))


def test_a_code_is_given_once(bench: Lab, at: datetime) -> None:
    for write in (
        lambda: recipes.add_family(bench, Family(family="BUFF")),
        lambda: recipes.add_material(bench, Material(material="Ball Clay")),
        lambda: recipes.add_body(bench, Body(body="b-07")),
        lambda: recipes.mix_batch(bench, Batch(batch="b-07-1", body="B-07", mixed_at=at)),
    ):
        with pytest.raises(Refused, match="There is already a"):
            write()


def test_a_retired_name_is_not_taken_up_again_on_the_way(bench: Lab) -> None:
    any_row.correct_row(bench, Family, "buff", {"family": "tan"})
    with pytest.raises(Refused, match="'buff' was the code of a family before"):
        recipes.add_body(bench, Body(body="B-08", family="buff"))
