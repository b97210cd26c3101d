"""Weighing a batch out by commands: one material, the water, and what is far from its target."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from claybench.acts.act import act_questions
from claybench.acts.weighing_out import weights_act
from claybench.record.opening import open_lab
from claybench.terms import Batch, BatchEvent, BatchLine, Body
from claybench.work.recipes import add_body, mix_batch
from tests.cli.conftest import Command

AT = datetime(2026, 3, 11, 9, 0, tzinfo=UTC)


@pytest.fixture
def path(lab_path: Path) -> Path:
    """A batch of 1 kg with 900 g of water, 600 g of it kaolin and 400 g quartz."""
    lab = open_lab(lab_path)
    add_body(lab, Body(body="W-01", family="white"), [("kaolin", 60.0), ("quartz", 40.0)])
    mix_batch(lab, Batch(batch="W-01-1", body="W-01", made="slip", mixed_at=AT, dry_mass_g=1000, water_g=900))
    lab.close()
    return lab_path


def rows(path: Path, kind: type[Any]) -> list[Any]:
    lab = open_lab(path)
    with lab.reading() as record:
        found = record.rows(kind)
    lab.close()
    return found


def test_a_batch_is_weighed_out_by_commands(command: Command, path: Path) -> None:
    lab = ("--lab", path)
    asked = command("weigh-in", "W-01-1", "kaolin", "66 g", *lab)
    assert asked.code == 7 and "66 g of kaolin went in, and 600 g were wanted" in asked.err
    assert rows(path, BatchLine) == []
    early = command("water-in", "W-01-1", "900 g", *lab)
    assert early.code == 2 and "Nothing was weighed into it yet." in early.err
    assert command("weigh-in", "W-01-1", "Kaolin", "660 g", "--follow", *lab).code == 0
    assert rows(path, Batch)[0].dry_mass_g == pytest.approx(1100)
    assert command("weigh-in", "W-01-1", "quartz", "440 g", *lab).code == 0
    water = command("water-in", "W-01-1", "700 g", *lab)
    assert water.code == 7 and "990 g were wanted" in water.err
    drops = command("water-in", "W-01-1", "0,37 Ls", *lab)
    assert drops.code == 2 and "Ls" in drops.err
    assert command("water-in", "W-01-1", "0,992 L", *lab).code == 0
    assert rows(path, Batch)[0].water_g == pytest.approx(0.998 * 992)
    assert command("water-in", "W-01-1", "990 g", *lab).code == 0
    (batch,) = rows(path, Batch)
    assert (batch.dry_mass_g, batch.water_g) == (pytest.approx(1100), pytest.approx(990))
    small = command("weigh-in", "W-01-1", "quartz", "410 g", "--follow", *lab)
    assert small.code == 2 and "not more than its target" in small.err


def test_weighing_one_again_leaves_the_others_whatever_their_order(command: Command, path: Path) -> None:
    lab = open_lab(path)
    with lab.acting("entered") as act:
        act.add(BatchLine(batch="W-01-1", position=1, material="quartz", mass_g=400.0))
        act.add(BatchLine(batch="W-01-1", position=2, material="kaolin", mass_g=590.0))
    lab.close()
    assert command("weigh-in", "W-01-1", "kaolin", "602 g", "--lab", path).code == 0
    assert {(row.material, row.mass_g) for row in rows(path, BatchLine)} == {("quartz", 400.0), ("kaolin", 602.0)}


def test_all_weights_at_once_ask_the_same(path: Path) -> None:
    lab = open_lab(path)
    act = weights_act("W-01-1", [("kaolin", None, None), ("quartz", None, 100.0)])
    values = {"mass0": 66.0, "lot0": None, "mass1": 100.0, "lot1": None}
    # What stands there and was not changed is not asked about again.
    assert [(each.kind, each.field) for each in act_questions(lab, act, values, AT)] == [("off_target", "mass0")]
    assert act_questions(lab, act, {**values, "mass0": 605.0}, AT) == []
    lab.close()


def test_water_that_is_added_later_may_be_measured_by_volume_and_nothing_else_may(command: Command, path: Path) -> None:
    lab = ("--lab", path)
    assert command("batch-event", "W-01-1", "water added", "--mass", "100 mL", *lab).code == 0
    (event,) = rows(path, BatchEvent)
    assert event.mass_g == pytest.approx(99.8)  # 0.998 g/mL at 20 °C, IAPWS-95
    refused = command("batch-event", "W-01-1", "dry_added", "--mass", "100 mL", *lab)
    assert refused.code == 2 and "--mass" in refused.err
