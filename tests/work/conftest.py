"""A bench at work: a lab with one slab, one family, one body, a batch and, where wanted, a layer on the slab."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone

import pytest

from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Family, Material, Piece, Run, Slab
from claybench.work import pieces, recipes, runs, slabs

AT = datetime(2026, 3, 1, 9, 30, tzinfo=timezone(timedelta(hours=1)))


@pytest.fixture
def at() -> datetime:
    """When the layer is poured."""
    return AT


@pytest.fixture
def bench(lab: Lab) -> Lab:
    """Ready to pour."""
    recipes.add_family(lab, Family(family="buff", stain_rank=1))
    recipes.add_material(lab, Material(material="ball clay", kind="clay"))
    slabs.enter_slab(lab, Slab(slab="P1", family="buff", length_mm=400.0, width_mm=300.0, thickness_mm=50.0), at=AT)
    recipes.add_body(lab, Body(body="B-07", family="buff"), [("ball clay", 100.0)])
    recipes.mix_batch(lab, Batch(batch="B-07-1", body="B-07", mixed_at=AT), [("ball clay", None, 2000.0)])
    return lab


@pytest.fixture
def poured(bench: Lab) -> Lab:
    """A layer lies on P1."""
    runs.start_run(bench, Run(run="R-1", batch="B-07-1", slab="P1", started_at=AT, layer_mm=10.0))
    return bench


@pytest.fixture
def formed(poured: Lab) -> Lab:
    """Two bars of it."""
    bars = [Piece(piece=code, batch="B-07-1", run="R-1", shape="bar") for code in ("7A", "7B")]
    pieces.form_pieces(poured, bars)
    return poured


@pytest.fixture
def day() -> date:
    """A day after all that."""
    return date(2026, 3, 9)
