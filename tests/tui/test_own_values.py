"""Properties of bodies, slabs, lots, materials and firings themselves, and words: on their pages and side by side."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from claybench.ask.comparison import side_by_side
from claybench.ask.plan import plan_next_set
from claybench.ask.properties import lab_properties
from claybench.ask.reports import read_body_report, read_comparison_report, read_passport
from claybench.insight.plan.design.plan_file import parse_plan
from claybench.paper.body_report import write_body_report
from claybench.paper.comparison_report import write_comparison_report
from claybench.paper.passport import write_slab_passport
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import (
    Batch,
    Body,
    DeclaredProperty,
    Family,
    Firing,
    Lot,
    Material,
    Measurement,
    Piece,
    PropertyInput,
    Slab,
)
from claybench.work.pieces import add_firing, declare_property, form_pieces
from claybench.work.recipes import add_body, add_family, mix_batch
from tests.paper.reading import text_of
from tests.tui.driver import SIZES, opened

pytestmark = pytest.mark.slow

AT = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)
DECLARED = (
    DeclaredProperty(property="thixotropy", title="thixotropy", of="body", kind="number", unit="%", digits=1),
    DeclaredProperty(property="gloss", title="gloss", of="fired", kind="word"),
    DeclaredProperty(property="handling", title="handling", of="batch", kind="word"),
    DeclaredProperty(property="knock", title="sound when knocked", of="slab", kind="word"),
    DeclaredProperty(property="flatness_mm", title="flatness", of="slab", kind="number", unit="mm", digits=2),
    DeclaredProperty(property="residue_pct", title="sieve residue", of="lot", kind="number", unit="%",
                     formula="100 * left_g / sieved_g"),
    DeclaredProperty(property="whiteness", title="whiteness", of="material", kind="number", digits=1),
    DeclaredProperty(property="draught", title="draught", of="firing", kind="word"),
)  # fmt: skip
READ = (
    {"body": "B-1", "what": "thixotropy", "value": 12.0},
    {"body": "B-1", "what": "thixotropy", "value": 13.0},
    {"body": "B-2", "what": "thixotropy", "value": 20.5},
    {"batch": "B-1-1", "what": "handling", "word": "short"},
    *({"piece": piece, "firing": "F1", "what": "gloss", "word": word}
      for piece, word in (("K1", "satin"), ("K2", "satin"), ("K3", "matt"), ("K4", "matt"))),
    {"slab": "P1", "what": "flatness_mm", "value": 0.25},
    {"slab": "P1", "what": "knock", "word": "dull"},
    {"slab": "P2", "what": "knock", "word": "clear"},
    {"lot": "L-7", "what": "left_g", "value": 2.0},
    {"lot": "L-7", "what": "sieved_g", "value": 80.0},
    {"material": "clay", "what": "whiteness", "value": 81.5},
    {"firing": "F1", "what": "draught", "word": "strong"},
)  # fmt: skip


@pytest.fixture
def path(lab_path: Path) -> Path:
    with closing(open_lab(lab_path)) as lab:
        fill_with_readings(lab)
    return lab_path


def fill_with_readings(lab: Lab) -> None:
    """Two bodies with two fired pieces each, and readings of everything else."""
    add_family(lab, Family(family="buff"))
    for number, body in enumerate(("B-1", "B-2"), 1):
        add_body(lab, Body(body=body, family="buff"), [("clay", 30.0 * number), ("sand", 100 - 30.0 * number)])
        mix_batch(lab, Batch(batch=f"{body}-1", body=body, mixed_at=AT), [])
    with lab.acting("Filled") as act:
        act.change(Material, "clay", {"kind": "clay"})
        act.add(Lot(lot="L-7", material="clay"))
        act.add_many([Slab(slab=code, family="buff", length_mm=300.0, thickness_mm=40.0) for code in ("P1", "P2")])
    batches = {"K1": "B-1-1", "K2": "B-1-1", "K3": "B-2-1", "K4": "B-2-1"}
    form_pieces(lab, [Piece(piece=code, batch=batch, formed_at=AT) for code, batch in batches.items()])
    add_firing(lab, Firing(firing="F1", fired_on=AT.date(), cone="6"), list(batches))
    for each in DECLARED:
        inputs = [
            PropertyInput(property=each.property, position=at, input=name, unit="g")
            for at, name in enumerate(("left_g", "sieved_g"), 1)
        ]
        declare_property(lab, each, inputs if each.formula else [])
    with lab.acting("Read") as act:
        for at, each in enumerate(READ):
            act.add(Measurement(at=AT + timedelta(minutes=at), **each))  # type: ignore[arg-type]


async def test_each_page_and_the_comparison_tell_what_was_read(path: Path) -> None:
    async with opened(path, SIZES[1]) as driver:
        await driver.press("5", "home", "enter")
        page = driver.text()
        assert "12.5 % (2 readings, 12.0–13.0)" in page and "satin ×2" in page and "short" in page
        assert "20.5" not in page and "matt" not in page
        await driver.press("escape", "home", "space", "down", "space", "c")
        sheet = driver.text()
        assert "12.5 (2)" in sheet and "20.5" in sheet and "satin ×2" in sheet and "matt ×2" in sheet
        assert "thixotropy: 12.5 % (2 readings, 12.0–13.0)" in sheet  # what the line under the cursor says in full
        await driver.press("escape", "2", "home", "enter")
        assert "flatness: 0.25 mm" in driver.text() and "sound when knocked: dull" in driver.text()
        for page_name, said in (
            ("Firings", "draught: strong"),
            ("Materials", "whiteness: 81.5"),
            ("Lots", "sieve residue: 2.5 %"),
        ):
            await driver.press("6")
            while f"[{page_name}]" not in driver.said("#pages"):
                await driver.press("right")
            await driver.press("home", "enter")
            assert said in driver.text(), page_name
            await driver.press("escape")


def test_paper_tells_the_same(path: Path, tmp_path: Path) -> None:
    with closing(open_lab(path)) as lab:
        write_comparison_report(read_comparison_report(lab, ["B-1", "B-2"]), tmp_path / "both.pdf")
        write_body_report(read_body_report(lab, "B-1"), tmp_path / "one.pdf")
        write_slab_passport(read_passport(lab, "P1"), tmp_path / "slab.pdf")
    both, one, slab = (" ".join(text_of(tmp_path / f"{name}.pdf").split()) for name in ("both", "one", "slab"))
    assert all(word in both for word in ("thixotropy, %", "12.5", "20.5", "satin ×2", "matt ×2", "short"))
    assert all(word in one for word in ("thixotropy", "12.5", "satin ×2", "short")) and "matt" not in one
    assert "sound when knocked" in slab and "dull" in slab and "0.25 mm" in slab and "clear" not in slab


def test_as_of_a_moment_only_what_was_read_by_then_counts(path: Path) -> None:
    with closing(open_lab(path)) as lab:
        then = side_by_side(lab, ["B-1"], as_of=AT + timedelta(seconds=30)).results
    assert [each.numbers for result in then for each in result.own] == [(12.0,)]


def test_a_plan_can_aim_at_a_property_of_bodies_and_not_at_one_of_slabs(path: Path) -> None:
    plan = 'title = "x"\nfamily = "buff"\ncount = 2\n[materials]\nclay = [20, 80]\nsand = [20, 80]\n[targets]\n'
    with closing(open_lab(path)) as lab:
        asked = parse_plan(f"{plan}thixotropy = [15, 18]\n", lab_properties(lab))
        predicted = plan_next_set(lab, asked).bodies[0].predicted["thixotropy"]
        assert 12 < predicted.median < 21
        assert "flatness_mm" not in lab_properties(lab).targets and "gloss" not in lab_properties(lab).targets
