"""Points of plasticity by command: the fields of each kind, what cannot be, and what is asked about."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from claybench.acts.act import perform
from claybench.acts.plasticity_points import correct_point_act, point_act
from claybench.errors import Unanswered
from claybench.record.opening import open_lab
from claybench.terms import Batch, Body, Measurement
from claybench.work.recipes import add_body, mix_batch
from tests.cli.conftest import Command

AT = datetime(2026, 3, 11, 9, 0, tzinfo=UTC)


@pytest.fixture
def path(lab_path: Path) -> Path:
    lab = open_lab(lab_path)
    add_body(lab, Body(body="B-07"), [])
    mix_batch(lab, Batch(batch="B-07-1", body="B-07", mixed_at=AT))
    lab.close()
    return lab_path


def points(path: Path) -> list[Measurement]:
    lab = open_lab(path)
    with lab.reading() as record:
        found = record.rows(Measurement)
    lab.close()
    return found


def test_each_kind_of_point_has_its_own_options(command: Command, path: Path) -> None:
    lab = ("--lab", path)
    cup = ("point", "B-07-1", "liquid-cup", "--blows", "22", "--wet", "78.4 g", "--dry", "70 g", "--tin", "50 g")
    assert command(*cup, *lab).code == 0
    (row,) = points(path)
    assert (row.count, row.wet_g, row.dry_g, row.note) == (22, pytest.approx(28.4), 20.0, "tin 50 g taken off")
    stray = command("point", "B-07-1", "coil bend", "--value", "4", "--wet", "20 g", *lab)
    assert stray.code == 2 and "--wet says nothing here" in stray.err
    beyond = command("point", "B-07-1", "coil bend", "--value", "6", *lab)
    assert beyond.code == 2 and "5 or less" in beyond.err
    swapped = command("point", "B-07-1", "plastic-thread", "--wet", "20 g", "--dry", "28 g", *lab)
    assert swapped.code == 2 and "Dry it cannot weigh more than wet" in swapped.err
    cone = ("point", "B-07-1", "liquid-cone", "--value", "12 mm")
    strange = command(*cone, "--cone", "76 g 30°", *lab)
    assert strange.code == 2 and "80 g 30°, 60 g 60°" in strange.err
    assert command(*cone, "--cone", "60 g", *lab).code == 0
    assert sorted(row.method or "" for row in points(path)) == ["", "60 g 60°"]


@pytest.mark.parametrize(
    ("about", "said"),
    [
        (("liquid-cup", "--blows", "250"), "5 to 60 is usual"),
        (("liquid-cone", "--value", "2 mm", "--cone", "60"), "5 to 40 mm is usual"),
        (("liquid-cone", "--value", "12 mm"), "Which cone was it?"),
        (("plastic-thread", "--wet", "280 g", "--dry", "20 g"), "The sample held 1 300 % of water"),
    ],
)
def test_what_is_unusual_is_asked_about(command: Command, path: Path, about: tuple[str, ...], said: str) -> None:
    words = ("point", "B-07-1", *about, "--lab", path)
    asked = command(*words)
    assert asked.code == 7 and said in asked.err and points(path) == []
    assert command(*words, "--anyway").code == 0


def test_a_dry_mass_that_comes_later_is_asked_about_like_a_new_one(path: Path) -> None:
    lab = open_lab(path)
    given: dict[str, Any] = {"batch": "B-07-1", "what": "plastic_thread", "at": AT, "wet_g": 28.0}
    perform(lab, point_act("plastic_thread"), given, now=AT)
    with lab.reading() as record:
        (row,) = record.rows(Measurement)
    act = correct_point_act(row)
    values = {"at": AT, "wet_g": 28.0, "dry_g": 2.4, "tin": None, "by": None, "note": None}
    with pytest.raises(Unanswered, match="of water"):
        perform(lab, act, values, now=AT)
    perform(lab, act, {**values, "dry_g": 24.0}, now=AT)
    with lab.reading() as record:
        assert record.rows(Measurement)[0].dry_g == 24.0
    lab.close()
