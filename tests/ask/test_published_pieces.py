"""Published figures entered into the record as one would, and read back as a piece's measures."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from claybench.ask.pieces import piece_page
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Family, Firing, Piece
from claybench.work.pieces import add_firing, form_pieces, measure
from claybench.work.recipes import add_body, add_family, mix_batch

AT = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)


@pytest.fixture
def bars(lab: Lab) -> Lab:
    add_family(lab, Family(family="buff"))
    add_body(lab, Body(body="B", family="buff"), [])
    mix_batch(lab, Batch(batch="B-1", body="B", mixed_at=AT), [])
    form_pieces(lab, [Piece(piece=code, batch="B-1", formed_at=AT) for code in ("3A", "3C")])
    add_firing(lab, Firing(firing="F1", fired_on=AT.date()), ["3A"])
    return lab


def test_published_figures_come_back_from_the_record(bars: Lab) -> None:
    """ASTM C326 (from memory): 100, 94, 86.48 mm give 6, 8, 13.52 and 35.3234 %. Askeland, The Science and Engineering
    of Materials, Ex. 15.8: D 360, M 385, S 224 give P 15.528, B 2.2360, A 6.9444, T 2.6471. Water and loss by hand."""
    for column, value, firing, method in (
        ("plastic_mm", 100.0, None, None),
        ("plastic_g", 480.0, None, None),
        ("dry_mm", 94.0, None, "air"),
        ("dry_g", 384.0, None, "oven"),
        ("fired_mm", 86.48, "F1", None),
        ("fired_g", 360.0, "F1", None),
        ("soaked_g", 385.0, "F1", "boil"),
        ("suspended_g", 224.0, "F1", "boil"),
    ):
        measure(bars, "3A", column, value, at=AT, firing=firing, method=method)
    found = piece_page(bars, "3A").lines[-1].measures
    for name, value in {
        "drying_shrinkage_pct": 6.0,
        "firing_shrinkage_pct": 8.0,
        "total_shrinkage_pct": 13.52,
        "volume_shrinkage_pct": 35.3234,
        "porosity_pct": 15.528,
        "bulk_density": 2.2360,
        "absorption_pct": 6.9444,
        "apparent_density": 2.6471,
        "workable_water_pct": 25.0,
        "loi_pct": 6.25,
    }.items():
        assert found.get(name) == pytest.approx(value, abs=5e-4), name
    assert not found.air_dry


def test_a_real_clay_s_water_of_plasticity(bars: Lab) -> None:
    """Florida Geological Survey, 15th Annual Report, Doctors Inlet clay: water of plasticity 32.25, linear drying
    shrinkage 14.8 %."""
    for column, value in (("plastic_g", 132.25), ("dry_g", 100.0), ("plastic_mm", 100.0), ("dry_mm", 85.2)):
        measure(bars, "3C", column, value, at=AT, method="oven" if column.startswith("dry") else None)
    found = piece_page(bars, "3C").lines[0].measures
    assert found.get("workable_water_pct") == pytest.approx(32.25)
    assert found.get("drying_shrinkage_pct") == pytest.approx(14.8)
