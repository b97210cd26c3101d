"""A made-up lab folder of any number of runs, thirteen rows a run, written as text: what an import reads."""

from __future__ import annotations

import csv
import random
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

ROWS_A_RUN = 13
_START = datetime(2020, 1, 6, 9, 0, tzinfo=UTC)
_MATERIALS = ("ball clay", "fire clay", "feldspar", "flint")
_FAMILIES = ("white", "buff", "red", "black")
_SLABS = 40
_PIECES = 5
"""Pieces of a batch."""

Rows = Iterator[tuple[object, ...]]


def write_folder(path: Path, runs: int) -> int:
    """Write the folder of a lab that dried so many layers; how many rows it holds.

    Two layers a batch, ten batches a body; each layer touched twice or thrice; five bars a batch, each fired once, with
    a second reading of every other length.
    """
    path.mkdir(parents=True)
    return sum(_write(path / f"{name}.csv", names, rows(runs)) for name, (names, rows) in _TABLES.items())


def _write(file: Path, names: str, rows: Rows) -> int:
    with file.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(names.split())
        listed = list(rows)
        writer.writerows(listed)
    return len(listed)


def _batches_of(runs: int) -> int:
    return max(1, runs // 2)


def _bodies_of(runs: int) -> int:
    return 4 * max(1, _batches_of(runs) // 40)


def _started(run: int) -> datetime:
    day, turn = divmod(run, 2 * _SLABS)
    return _START + timedelta(days=day, hours=4 * (turn // _SLABS), seconds=7 * (turn % _SLABS))


def _slab(run: int) -> int:
    """A slab of the family of the run's batch."""
    return 4 * ((run // 8 * 2 + run % 2) % (_SLABS // 4)) + run // 2 % 4


def _stamp(at: datetime) -> str:
    return at.isoformat(timespec="seconds")


def _bodies(runs: int) -> Rows:
    for n in range(_bodies_of(runs)):
        yield f"B-{n:05d}", f"body {n}", _FAMILIES[n % 4], "yes" if n < 4 else "no", 1.45, 25


def _body_lines(runs: int) -> Rows:
    for n in range(_bodies_of(runs)):
        for at, material in enumerate(_MATERIALS, 1):
            yield f"B-{n:05d}", at, material, 25


def _slabs(_: int) -> Rows:
    for n in range(_SLABS):
        yield f"P{n:02d}", _FAMILIES[n % 4], "rectangle", 500, 400, 45, 70


def _slab_log(runs: int) -> Rows:
    for n in range(_SLABS):
        yield f"P{n:02d}", _stamp(_START - timedelta(hours=1)), "weighed_dry", 10_000
    for n in range(0, runs, 5):
        yield f"P{n % _SLABS:02d}", _stamp(_started(n) - timedelta(minutes=30)), "weighed", 10_000 + n % 900


def _air(runs: int) -> Rows:
    for n in range(0, runs, 2 * _SLABS):
        yield _stamp(_started(n)), "shelf", 15 + n % 9, 40 + n % 30


def _batches(runs: int) -> Rows:
    for n in range(_batches_of(runs)):
        at = _stamp(_started(2 * n) - timedelta(hours=1))
        yield f"M{n:06d}", f"B-{n % _bodies_of(runs):05d}", "slip", at, 4000, 4200, 1.45, "Kim"


def _batch_lines(runs: int) -> Rows:
    for n in range(_batches_of(runs)):
        for at, material in enumerate(_MATERIALS, 1):
            yield f"M{n:06d}", at, material, 995 + (n + at) % 10


def _runs(runs: int) -> Rows:
    for n in range(runs):
        begun, before, batch = _started(n), 10_000 + n % 900, min(n // 2, _batches_of(runs) - 1)
        depth = 7 + n % 50 / 10
        yield (
            f"D{n:06d}", f"M{batch:06d}", f"P{_slab(n):02d}", "form", _stamp(begun), depth,
            1600, before, before + round(83 * depth, 1), _stamp(begun + timedelta(minutes=60 + n % 90)), "workable", "",
        )  # fmt: skip


def _checks(runs: int) -> Rows:
    for n in range(runs):
        begun, minutes = _started(n), 58 + n % 90
        yield f"D{n:06d}", _stamp(begun + timedelta(minutes=minutes // 2)), "fluid", ""
        if n % 2:
            yield f"D{n:06d}", _stamp(begun + timedelta(minutes=minutes - 10)), "sticky", "shiny, still"
        yield f"D{n:06d}", _stamp(begun + timedelta(minutes=minutes)), "workable", ""


def _firings(runs: int) -> Rows:
    for n in range(max(1, runs // 250)):
        day = (_START + timedelta(days=14 + 2 * n)).date()
        yield f"K{n:04d}", day.isoformat(), "6" if n % 2 else "04", 1222 if n % 2 else 1061


def _pieces(runs: int) -> Rows:
    chance = random.Random(1)
    for n in range(_PIECES * _batches_of(runs)):
        batch = n // _PIECES
        formed, run = _started(2 * batch), min(2 * batch, runs - 1)
        yield (
            f"X{n:07d}", f"M{batch:06d}", f"D{run:06d}", "bar", _stamp(formed + timedelta(hours=3)),
            100, round(70 + chance.random(), 2), (formed + timedelta(days=6)).date().isoformat(), "oven",
            round(chance.gauss(94, 0.2), 2), round(56 + chance.random(), 2),
        )  # fmt: skip


def _fired(runs: int) -> Rows:
    chance = random.Random(2)
    for n in range(_PIECES * _batches_of(runs)):
        firing = n // _PIECES % max(1, runs // 250)
        yield (
            f"X{n:07d}", f"K{firing:04d}", round(chance.gauss(88, 0.3), 2), round(52 + chance.random(), 2),
            round(54.5 + chance.random(), 2), round(32 + chance.random(), 2), "boil",
        )  # fmt: skip


def _readings(runs: int) -> Rows:
    chance = random.Random(3)
    for n in range(0, _PIECES * _batches_of(runs), 2):
        at = _stamp(_started(2 * (n // _PIECES)) + timedelta(days=6))
        yield f"X{n:07d}", at, "dry_mm", round(chance.gauss(94, 0.2), 2), "Kim"


def _settings(_: int) -> Rows:
    yield from (("format", "2"), ("zone", "UTC"), ("name", "Bench lab (made up)"))


_TABLES: dict[str, tuple[str, Callable[[int], Rows]]] = {
    "settings": ("name value", _settings),
    "bodies": ("body title family control slip_sg workable_water_pct", _bodies),
    "body_lines": ("body position material parts", _body_lines),
    "slabs": ("slab family shape length_mm width_mm thickness_mm mix_ratio", _slabs),
    "slab_log": ("slab at event mass_g", _slab_log),
    "air": ("at place air_temp_c air_rh_pct", _air),
    "batches": ("batch body made mixed_at dry_mass_g water_g slip_sg by", _batches),
    "batch_lines": ("batch position material mass_g", _batch_lines),
    "runs": (
        "run batch slab face started_at layer_mm area_cm2 slab_before_g slab_after_g ended_at outcome note", _runs,
    ),
    "checks": ("run at feel note", _checks),
    "firings": ("firing fired_on cone peak_temp_c", _firings),
    "pieces": ("piece batch run shape formed_at plastic_mm plastic_g dry_at dry_how dry_mm dry_g", _pieces),
    "fired": ("piece firing fired_mm fired_g soaked_g suspended_g soak_method", _fired),
    "readings": ("piece at what value by", _readings),
}  # fmt: skip
