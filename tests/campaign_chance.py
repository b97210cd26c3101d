"""Whether a plan's chances and intervals hold where little is known: one, two, three, five or eight bodies.

`python -m tests.campaign_chance` prints the tables of docs/models.md; with a number, those of other labs, whose seeds
begin there, and with a second number of so many labs. Made-up surfaces of several kinds, targets that are narrow, wide
or open on a side, scatter of batches and pieces that differs from lab to lab. The model was tuned on seeds from
`TUNED_FROM` on, which no table of the docs is made with. Nothing here is measured on clay.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from claybench.insight.plan.surfaces.fitted_targets import JUDGED_BY_BATCHES
from claybench.insight.plan.surfaces.observations import Observation
from claybench.insight.plan.surfaces.proposals import propose
from tests.campaign_plan import Box, made_up_bounds, scheffe_surface

Array = NDArray[np.float64]
KNOWN = (1, 2, 3, 5, 8)
"""Bodies that are known."""
BANDS = ((0.3, 0.5), (0.8, 0.95))
"""Stated chances that the table speaks of."""
TUNED_FROM = 50_000
KINDS = ("linear", "quadratic", "special cubic", "levelling off", "vitrifying", "peak", "waves")
"""Kinds of surface; the last two were not among those the model was tuned on."""
TUNED_KINDS = KINDS[:5]
AIMS = ("narrow", "wide", "one side", "narrow", "wide", "one side", "out of reach")
WAYS = ("anywhere", "spread out", "one that is near")
"""How the bodies that are known came about: at random, as a first set, or with the nearest of ten to the targets first,
as one begins with a body that nearly does."""
_ROWS = 4000


@dataclass(frozen=True)
class Lab:
    """One made-up lab: the truth, what is aimed at, and how noisy it is."""

    kind: str
    aim: str
    region: Box
    surfaces: dict[str, Callable[[Array], Array]]
    targets: dict[str, tuple[float | None, float | None]]
    batch_sd: float
    piece_sd: float
    pieces: int
    share: float
    """Part of the region that meets all targets."""

    def meets(self, values: dict[str, Array]) -> NDArray[np.bool_]:
        """Whether the values of recipes lie within all targets."""
        inside = np.ones(len(next(iter(values.values()))), dtype=bool)
        for name, (low, high) in self.targets.items():
            inside &= (values[name] >= (-math.inf if low is None else low)) & (
                values[name] <= (math.inf if high is None else high)
            )
        return inside


def made_up(seed: int, kinds: Sequence[str] = KINDS) -> Lab:
    """Bounds of two to five materials, one to three properties of one kind, and targets that some recipe meets, but
    for one lab in seven."""
    dice = np.random.default_rng(seed)
    kind, aim = kinds[seed % len(kinds)], AIMS[int(dice.integers(len(AIMS)))]
    region = made_up_bounds(dice, int(dice.integers(2, 6)))
    rows = region.sample(_ROWS, seed)
    names = [f"property {row + 1}" for row in range(int(dice.integers(1, 4)))]
    surfaces = {name: _surface(dice, region, rows, kind) for name in names}
    heights = {name: surface(rows) for name, surface in surfaces.items()}
    targets = _targets(dice, heights, aim)
    noise = math.exp(dice.uniform(math.log(0.03), math.log(0.25)))
    pieces = int(dice.integers(1, 6))
    lab = Lab(kind, aim, region, surfaces, targets, noise * dice.uniform(0.3, 1.5), noise, pieces, 0.0)
    return replace(lab, share=float(lab.meets(heights).mean()))


def _targets(
    dice: np.random.Generator, heights: dict[str, Array], aim: str
) -> dict[str, tuple[float | None, float | None]]:
    """Limits around some allowed recipe, so that a part of the region by the aim meets them."""
    values = np.array(list(heights.values()))
    if aim == "out of reach":
        top, half = values.max(axis=1), dice.uniform(0.05, 0.5)
        beyond = top + half + dice.uniform(0.05, 1.0)
        return {name: (float(one - half), float(one + half)) for name, one in zip(heights, beyond, strict=True)}
    centre = values[:, int(dice.integers(values.shape[1]))]
    part = {"narrow": dice.uniform(0.02, 0.06), "wide": dice.uniform(0.1, 0.4), "one side": dice.uniform(0.05, 0.5)}[
        aim
    ]
    if aim == "one side":
        # Each property is to lie on that side of the middle on which the recipe lies.
        sign = np.where(centre > np.median(values, axis=1), 1.0, -1.0)
        room = ((values - centre[:, None]) * sign[:, None]).min(axis=0)
        limit = float(np.quantile(room, 1 - part))
        ends = centre + sign * limit
        return {
            name: (float(end), None) if side > 0 else (None, float(end))
            for name, end, side in zip(heights, ends, sign, strict=True)
        }
    half = float(np.quantile(np.abs(values - centre[:, None]).max(axis=0), part))
    return {name: (float(one) - half, float(one) + half) for name, one in zip(heights, centre, strict=True)}


def _surface(dice: np.random.Generator, region: Box, rows: Array, kind: str) -> Callable[[Array], Array]:
    """A surface with spread 1 over the region and a level of its own."""
    raw = _raw_surface(dice, region, kind)
    heights = raw(rows)
    middle, scale = float(heights.mean()), max(float(heights.std()), 1e-9)
    level = dice.uniform(3, 15)
    return lambda at: level + (raw(at) - middle) / scale


def _raw_surface(dice: np.random.Generator, region: Box, kind: str) -> Callable[[Array], Array]:
    low, high = np.array(region.low), np.array(region.high)
    if kind == "waves":
        # A sum of many cosines is near a Gaussian process (Rahimi and Recht 2007, from memory).
        turns = dice.normal(0, 1 / dice.uniform(0.4, 1.0), (60, len(low))) / (high - low)
        phases = dice.uniform(0, 2 * math.pi, 60)
        return lambda at: np.cos(at @ turns.T + phases).sum(axis=1)
    if kind == "peak":
        top, width = region.sample(1, int(dice.integers(1 << 30)))[0], dice.uniform(0.3, 0.8)
        slope = dice.normal(0, 0.3, len(low))
        return lambda at: (
            np.exp(-0.5 * (((at - top) / (high - low) / width) ** 2).sum(axis=1)) + ((at - low) / (high - low)) @ slope
        )
    polynomial = "special cubic" if kind == "special cubic" else "quadratic"
    curved = dice.uniform(0, 0.3) if kind in ("linear", "vitrifying") else 1.0
    plain = scheffe_surface(dice, region, region.sample(_ROWS, 1), polynomial, curved)
    if kind == "levelling off":
        return lambda at: np.exp(0.7 * plain(at))
    if kind == "vitrifying":
        where, steep = dice.normal(0, 0.7), dice.uniform(1, 4)
        return lambda at: 1 / (1 + np.exp(-steep * (plain(at) - where)))
    return plain


@dataclass(frozen=True)
class Proposed:
    """One proposal and what came of it."""

    lab: int
    kind: str
    known: int
    chance: float
    truly: bool
    """Whether the true mean meets the targets."""
    judged: bool
    """Whether the mean of so many batches as the chance speaks of does."""
    batch: bool
    """Whether the mean of one batch does."""
    held: tuple[bool, ...]
    """By property: whether the interval holds the mean of a new batch."""


def ask(seed: int, *, kinds: Sequence[str] = KINDS, count: int = 6, known: Iterable[int] = KNOWN) -> list[Proposed]:
    """What is proposed in one lab with so many bodies known, each measured in one batch."""
    lab, found = made_up(seed, kinds), []
    dice = np.random.default_rng([seed, 1])
    most = max(known)
    rows = _known_rows(dice, lab, most, seed)
    values = {name: _measure(dice, lab, surface(rows)) for name, surface in lab.surfaces.items()}
    for bodies in known:
        data = {
            name: [
                Observation(tuple(row), float(one), f"batch {number}")
                for number, row in enumerate(rows[:bodies].tolist())
                for one in values[name][number]
            ]
            for name in lab.targets
        }
        found += _outcomes(dice, seed, lab, bodies, propose(lab.region, data, lab.targets, count, seed=seed).bodies)
    return found


def _known_rows(dice: np.random.Generator, lab: Lab, count: int, seed: int) -> Array:
    way = WAYS[int(dice.integers(len(WAYS)))]
    if way == "spread out":
        blind = propose(lab.region, {}, lab.targets, count, seed=seed)
        return dice.permutation(np.array([body.shares for body in blind.bodies]))
    rows = lab.region.sample(count + 9, seed + 1)
    if way == "anywhere":
        return rows[:count]
    off = np.zeros(len(rows))
    for name, (low, high) in lab.targets.items():
        values = lab.surfaces[name](rows)
        off += np.maximum(0.0 if low is None else low - values, 0) + np.maximum(
            0.0 if high is None else values - high, 0
        )
    order = np.append(off[:10].argmin(), np.setdiff1d(np.arange(len(rows)), off[:10].argmin()))
    return rows[order[:count]]


def _measure(dice: np.random.Generator, lab: Lab, heights: Array) -> Array:
    """Pieces of one batch of each recipe; shape (recipes, pieces)."""
    batches = heights + dice.normal(0, lab.batch_sd, len(heights))
    found: Array = batches[:, None] + dice.normal(0, lab.piece_sd, (len(heights), lab.pieces))
    return found


def _outcomes(
    dice: np.random.Generator, seed: int, lab: Lab, bodies: int, proposals: Sequence[object]
) -> list[Proposed]:
    rows = np.array([body.shares for body in proposals])  # type: ignore[attr-defined]
    true = {name: surface(rows) for name, surface in lab.surfaces.items()}
    batches = {
        name: np.array([_measure(dice, lab, height).mean(axis=1) for _ in range(JUDGED_BY_BATCHES)])
        for name, height in true.items()
    }
    truly = lab.meets(true)
    judged = lab.meets({name: own.mean(axis=0) for name, own in batches.items()})
    batch = lab.meets({name: own[0] for name, own in batches.items()})
    return [
        Proposed(
            seed, lab.kind, bodies, body.chance, bool(truly[row]), bool(judged[row]), bool(batch[row]),
            tuple(bool(one.low <= batches[name][0, row] <= one.high) for name, one in body.predicted.items()),
        )
        for row, body in enumerate(proposals)
    ]  # fmt: skip


@dataclass
class Share:
    """Of some proposals: the mean of what was stated, and how many met the targets."""

    rows: list[Proposed] = field(default_factory=list)

    def mean(self, what: Callable[[Proposed], float]) -> float:
        """Mean over the proposals."""
        return math.fsum(map(what, self.rows)) / max(len(self.rows), 1)

    @property
    def error(self) -> float:
        """Standard error of the share over labs, whose bodies hit or miss together (a ratio of two sums)."""
        share = self.mean(lambda one: one.judged)
        sums: dict[int, float] = {}
        for one in self.rows:
            sums[one.lab] = sums.get(one.lab, 0.0) + one.judged - share
        return math.sqrt(math.fsum(each * each for each in sums.values())) / max(len(self.rows), 1)

    @property
    def labs(self) -> int:
        """Labs that the proposals come from."""
        return len({one.lab for one in self.rows})

    @property
    def text(self) -> str:
        """As the tables say it."""
        if not self.rows:
            return "none"
        stated, judged, truly, batch = (
            100 * self.mean(what)
            for what in (lambda one: one.chance, lambda one: one.judged, lambda one: one.truly, lambda one: one.batch)
        )
        return (
            f"{len(self.rows)} of {self.labs}: {stated:.0f} → {judged:.0f} ± {196 * self.error:.0f} "
            f"({truly:.0f}, {batch:.0f})"
        )


def between(rows: Iterable[Proposed], low: float, high: float) -> Share:
    """Proposals given such a chance."""
    return Share([one for one in rows if low <= one.chance < high])


def interval_share(rows: Iterable[Proposed]) -> float:
    """Share of intervals that hold the mean of a new batch."""
    held = [each for one in rows for each in one.held]
    return sum(held) / max(len(held), 1)


def main(first: int = 0, labs: int = 420) -> None:
    """Print the tables."""

    def out(text: str) -> None:
        sys.stdout.write(f"{text}\n")
        sys.stdout.flush()

    kinds = TUNED_KINDS if first >= TUNED_FROM else KINDS
    rows: list[Proposed] = []
    for number, seed in enumerate(range(first, first + labs)):
        rows += ask(seed, kinds=kinds)
        if number % 20 == 19:
            sys.stderr.write(f"{number + 1} of {labs} labs\n")
    out(f"labs {first}–{first + labs - 1}: proposals of how many labs: % stated → % in which the mean of")
    out(f"{JUDGED_BY_BATCHES} batches met ± 95 % (% of bodies that truly did, of single batches)\n")
    out("| bodies known | stated 30–50 % | stated 80–95 % | all | 90 % intervals hold |")
    out("|---|---|---|---|---|")
    for bodies in (*KNOWN, 0):
        own = [one for one in rows if one.known == bodies or not bodies]
        cells = [between(own, *band).text for band in BANDS] + [Share(own).text]
        out(f"| {bodies or 'any'} | {' | '.join(cells)} | {100 * interval_share(own):.0f} % |")
    out(f"\n| stated | all | {' | '.join(kinds)} |")
    out("|---|---|" + "---|" * len(kinds))
    for tenth in range(10):
        low, high = tenth / 10, (tenth + 1) / 10 + (tenth == 9)
        cells = [between(rows, low, high).text]
        for kind in kinds:
            own_share = between([one for one in rows if one.kind == kind], low, high)
            cells.append(f"{100 * own_share.mean(lambda one: one.judged):.0f} of {len(own_share.rows)}")
        out(f"| {100 * low:.0f}–{100 * min(high, 1):.0f} | {' | '.join(cells)} |")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]))
