"""What is recorded of a sizing is one act: the same fields, refusals and questions by command as in its form."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.record.opening import open_lab
from claybench.terms import Batch, BatchEvent, Body, Slab, SlabEvent
from tests.cli.conftest import Command
from tests.sample import copy_lab

SLAB = ("mix", "slab", "--length", "500", "--width", "400", "--depth", "45")


def rows(path: Path, kind: type, **where: object) -> list:  # type: ignore[type-arg]
    lab = open_lab(path)
    with lab.reading() as record:
        found = record.rows(kind, **where)
    lab.close()
    return found


def test_a_slab_has_every_field_of_its_form_by_command(command: Command, lab_path: Path) -> None:
    about = ("--kind", "pottery", "--usable-area", "1500", "--note", "warm day", "--at", "2 h ago", "--family", "white")
    assert command(*SLAB, "--record", "P1", *about, "--lab", lab_path).code == 0
    (slab,) = rows(lab_path, Slab)
    assert (slab.plaster, slab.usable_area_cm2, slab.note, slab.family) == ("pottery", 1500.0, "warm day", "white")
    stray = command(*SLAB, "--note", "warm day", "--lab", lab_path)
    assert stray.code == 2 and "--note belongs to what is recorded." in stray.err and "Add --record." in stray.err


def test_a_usable_area_larger_than_the_face_is_asked_about_and_nothing_is_written(
    command: Command,
    lab_path: Path,
) -> None:
    words = (*SLAB, "--record", "P1", "--usable-area", "2600", "--lab", lab_path)
    asked = command(*words)
    assert asked.code == 7 and "The usable area is" in asked.err and "--anyway" in asked.err
    assert rows(lab_path, Slab) == []
    assert command(*words, "--anyway").code == 0


def test_slabs_of_one_mix_are_one_act(command: Command, lab_path: Path) -> None:
    assert command(*SLAB, "--count", "2", "--record", "P1, P2", "--lab", lab_path).code == 0
    taken = command("mix", "slab", *SLAB[2:], "--count", "2", "--record", "P3, P1", "--lab", lab_path)
    assert taken.code == 5 and [slab.slab for slab in rows(lab_path, Slab)] == ["P1", "P2"]
    assert len(rows(lab_path, SlabEvent, event="mixed")) == 2
    assert command("undo", "--lab", lab_path).code == 0
    assert rows(lab_path, Slab) == []


@pytest.fixture
def sample(sample_lab_file: Path, tmp_path: Path) -> Path:
    return copy_lab(sample_lab_file, tmp_path / "own.claybench")


def test_a_batch_is_asked_about_what_its_sizing_and_its_masses_say(command: Command, sample: Path) -> None:
    words = ("mix", "slip", "--body", "W-01", "--dry", "1 kg", "--record", "T-1", "--lab", sample)
    thick = command(*words, "--slip-sg", "1.9")
    assert thick.code == 7 and "Its masses make a slip of" in thick.err and rows(sample, Batch, batch="T-1") == []
    dose = command(*words, "--deflocculant", "sodium silicte 3 %")
    assert dose.code == 7 and "sodium silicte" in dose.err
    assert command(*words, "--slip-temp", "18", "--note", "[/b]").code == 0
    (batch,) = rows(sample, Batch, batch="T-1")
    assert (batch.slip_temp_c, batch.note) == (18.0, "[/b]")


def test_a_correction_and_a_blend_are_recorded_by_command(command: Command, sample: Path) -> None:
    lab = ("--lab", sample)
    mixed = rows(sample, Batch)[0].batch
    thin = ("mix", "correct", "--batch", mixed, "--sg", "1.5", "--target", "1.4", "--slip", "2 kg", *lab)
    assert command(*thin, "--record", "--added", "300 g").code == 0
    assert [row.mass_g for row in rows(sample, BatchEvent, batch=mixed, event="water_added")][-1] == 300.0
    unknown = command("mix", "correct", "--sg", "1.5", "--target", "1.4", "--slip", "2 kg", "--record", *lab)
    assert unknown.code == 2 and "--batch" in unknown.err
    line = ("mix", "blend", "W-01", "W-02", "--steps", "2", *lab)
    assert command(*line, "--record", "X-", "--set", "halves").code == 0
    assert [row.body for row in rows(sample, Body, test_set="halves")] == ["X-1"]
