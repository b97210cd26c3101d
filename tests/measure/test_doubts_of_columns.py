"""Doubts about many pieces at once: no row in which a single piece's doubts would be told is passed over."""

from __future__ import annotations

import math
import random

import numpy as np

from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.doubts import doubts, may_be_doubted
from claybench.measure.properties.readings import SIZES

_SOUND = {
    "plastic_mm": 100.0, "plastic_g": 70.5, "dry_mm": 94.0, "dry_g": 56.0, "fired_mm": 88.0, "fired_g": 52.0,
    "soaked_g": 54.5, "suspended_g": 32.0,
}  # fmt: skip


def test_every_row_with_a_doubt_is_looked_at_and_sound_ones_are_not() -> None:
    chance = random.Random(4)
    rows: list[dict[str, float | None]] = [dict(_SOUND)]
    for _ in range(3000):
        row: dict[str, float | None] = {name: value * chance.gauss(1, 0.02) for name, value in _SOUND.items()}
        row |= dict.fromkeys(chance.sample(SIZES, chance.randrange(7)))
        for name in chance.sample(SIZES, chance.randrange(4)):
            row[name] = chance.choice([None, None, 1e-9, 2e9, _SOUND[name] * 10 ** chance.uniform(-1.2, 1.2)])
        rows.append(row)
    told = [any(doubts(row, BUILT_IN)) for row in rows]
    columns = {name: np.array([row[name] for row in rows], dtype=float) for name in SIZES}
    looked_at = may_be_doubted(columns, BUILT_IN).tolist()
    assert not looked_at[0] and sum(told) > 1000
    assert [row for row, doubted, seen in zip(rows, told, looked_at, strict=True) if doubted and not seen] == []
    assert sum(looked_at) < 1.05 * sum(told)


def test_a_size_that_was_not_read_is_no_doubt() -> None:
    columns = {name: np.array([math.nan if name.startswith("s") else value]) for name, value in _SOUND.items()}
    assert not may_be_doubted(columns, BUILT_IN).any()
