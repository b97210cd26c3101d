"""How many bodies a campaign needs until it reaches a small window, and whether the stated chances hold.

`python -m tests.campaign_plan` prints the tables of docs/models.md; with a number, those of other labs, whose seeds
begin there. Made-up surfaces, noise of batches and of pieces within them, sets proposed one after another from nothing
but bounds and targets. Nothing here is measured on clay.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import product

import numpy as np
from numpy.typing import NDArray

from claybench.insight.plan.design.optimal import scheffe_terms
from claybench.insight.plan.surfaces.observations import Observation
from claybench.insight.plan.surfaces.proposals import propose

Array = NDArray[np.float64]
Stated = tuple[float, bool, bool]
KINDS = ("quadratic", "special cubic", "levelling off")


@dataclass(frozen=True)
class Box:
    """Bounds on each material and nothing else."""

    low: tuple[float, ...]
    high: tuple[float, ...]

    @property
    def materials(self) -> tuple[str, ...]:
        return tuple(f"material {letter}" for letter in "ABCDEFGH"[: len(self.low)])

    def vertices(self) -> Array:
        """All bounds but one at an end, the last material taking up the rest."""
        found: set[tuple[float, ...]] = set()
        for last in range(len(self.low)):
            others = [pair for row, pair in enumerate(zip(self.low, self.high, strict=True)) if row != last]
            for ends in product(*others):
                rest = 1 - math.fsum(ends)
                if self.low[last] - 1e-12 <= rest <= self.high[last] + 1e-12:
                    found.add(tuple(round(one, 12) for one in (*ends[:last], rest, *ends[last:])))
        return np.array(sorted(found))

    def broken_bounds(self, shares: Sequence[float]) -> tuple[str, ...]:
        """Bounds that a recipe breaks."""
        found: list[str] = []
        for name, share, low, high in zip(self.materials, shares, self.low, self.high, strict=True):
            found += [f"{name} at most {100 * high:g}"] * (share > high + 1e-9)
            found += [f"{name} at least {100 * low:g}"] * (share < low - 1e-9)
        return tuple(found)

    def sample(self, count: int, seed: int) -> Array:
        """Evenly over the region, by throwing away what lies outside."""
        dice, low = np.random.default_rng(seed), np.array(self.low)
        kept: list[Array] = []
        while sum(map(len, kept)) < count:
            rows = low + (1 - low.sum()) * dice.dirichlet(np.ones(len(low)), 4 * count)
            kept.append(rows[(rows <= np.array(self.high) + 1e-12).all(axis=1)])
        return np.vstack(kept)[:count]


@dataclass(frozen=True)
class World:
    """One made-up lab: the truth, the targets, and how noisy it is."""

    region: Box
    surfaces: tuple[Callable[[Array], Array], ...]
    targets: dict[str, tuple[float, float]]
    batch_sd: float
    piece_sd: float
    share: float
    """Part of the region that meets all targets."""

    def meets(self, rows: Array) -> NDArray[np.bool_]:
        """Which recipes truly lie in the window."""
        found = np.ones(len(rows), dtype=bool)
        for surface, (low, high) in zip(self.surfaces, self.targets.values(), strict=True):
            height = surface(rows)
            found &= (height >= low) & (height <= high)
        return found

    @property
    def random_bodies(self) -> float:
        """Allowed bodies taken at random that reach the window in half of all campaigns."""
        return math.log(0.5) / math.log(1 - self.share)


def made_up(
    seed: int,
    *,
    materials: int | None = None,
    properties: int | None = None,
    window: float = 0.04,
    noise: float = 0.08,
) -> World:
    """Bounds, one to three properties and a window around some allowed recipe, all by the seed."""
    dice = np.random.default_rng(seed)
    region = made_up_bounds(dice, materials or int(dice.integers(3, 6)))
    rows = region.sample(12_000, seed)
    kind = KINDS[int(dice.integers(len(KINDS)))]
    count = int(dice.integers(1, 4))
    surfaces = tuple(_surface(dice, region, rows, kind) for _ in range(properties or count))
    heights = np.array([surface(rows) for surface in surfaces])
    centre = heights[:, int(dice.integers(len(rows)))]
    half = float(np.quantile(np.abs(heights - centre[:, None]).max(axis=0), window))
    targets = {f"property {row + 1}": (float(one) - half, float(one) + half) for row, one in enumerate(centre)}
    world = World(region, surfaces, targets, noise, noise, 0.0)
    return World(region, surfaces, targets, noise, noise, float(world.meets(rows).mean()))


def made_up_bounds(dice: np.random.Generator, materials: int) -> Box:
    while True:
        low = dice.uniform(0, 0.8 / materials, materials)
        high = np.minimum(low + dice.uniform(0.15, 0.6, materials), 1)
        rows = low + (1 - low.sum()) * dice.dirichlet(np.ones(materials), 4000)
        if low.sum() < 0.9 and float((rows <= high).all(axis=1).mean()) > 0.03:
            return Box(tuple(low.tolist()), tuple(high.tolist()))


def _surface(dice: np.random.Generator, region: Box, rows: Array, kind: str) -> Callable[[Array], Array]:
    """A mixture polynomial of the shares above their lower bounds; mean 0 and spread 1 over the region."""
    even = scheffe_surface(dice, region, rows, "quadratic" if kind == "quadratic" else "special cubic")
    if kind == "levelling off":
        return lambda at: np.exp(0.7 * even(at))
    return even


def scheffe_surface(
    dice: np.random.Generator, region: Box, rows: Array, kind: str, curved: float = 1.0
) -> Callable[[Array], Array]:
    """A quadratic or special cubic with terms of blending drawn `curved` times as large, brought to spread 1."""
    low = np.array(region.low)
    room, materials = 1 - low.sum(), len(low)
    pairs = materials * (materials - 1) // 2
    triples = 0 if kind == "quadratic" else pairs * (materials - 2) // 3
    spread = np.concatenate([np.full(materials, 1.0), np.full(pairs, 2.0 * curved), np.full(triples, 6.0 * curved)])
    b = dice.normal(0, spread)
    model = kind.replace(" ", "_")

    def raw(at: Array) -> Array:
        height: Array = scheffe_terms(model, (at - low) / room) @ b
        return height

    middle, scale = float(raw(rows).mean()), float(raw(rows).std())
    return lambda at: (raw(at) - middle) / scale


@dataclass
class Campaign:
    """What came of one world: bodies until the window was reached, and each stated chance with what came of it."""

    reached: int | None = None
    bodies: int = 0
    stated: list[Stated] = field(default_factory=list)
    """Chance, whether the body truly meets the targets, whether the mean of the batch made of it did."""


def run(world: World, seed: int, *, count: int, most: int = 40, at_least: int = 0, pieces: int = 3) -> Campaign:
    """Propose, make and measure sets until the window is reached and `at_least` bodies are made."""
    dice, found = np.random.default_rng(seed), Campaign()
    known: dict[str, list[Observation]] = {name: [] for name in world.targets}
    while found.bodies < most and (found.reached is None or found.bodies < at_least):
        blind = not any(known.values())
        for body in propose(world.region, known, world.targets, count, seed=seed).bodies:
            found.bodies += 1
            row = np.array([body.shares])
            inside, hit = True, bool(world.meets(row)[0])
            for (name, (low, high)), surface in zip(world.targets.items(), world.surfaces, strict=True):
                batch = float(surface(row)[0]) + dice.normal(0, world.batch_sd)
                values = batch + dice.normal(0, world.piece_sd, pieces)
                inside &= low <= float(values.mean()) <= high
                known[name] += [Observation(body.shares, float(one), str(found.bodies)) for one in values]
            if not blind:
                found.stated.append((body.chance, hit, inside))
            if hit and found.reached is None:
                found.reached = found.bodies
    return found


@dataclass(frozen=True)
class Share:
    """Of some proposals: how many met the targets; 95 % interval over labs, whose bodies hit or miss together."""

    count: int
    met: float
    low: float
    high: float
    batch_met: float

    @property
    def text(self) -> str:
        """As the tables say it."""
        if not self.count:
            return "none"
        met, low, high, batch = (100 * each for each in (self.met, self.low, self.high, self.batch_met))
        return f"{self.count}, {met:.0f} % ({low:.0f}–{high:.0f}), {batch:.0f} %"


@dataclass(frozen=True)
class Result:
    """Campaigns over several seeds drawn together."""

    needed: float
    """Median of bodies until the window is reached."""
    random: float
    """The same for allowed bodies taken at random."""
    labs: tuple[tuple[Stated, ...], ...]
    """By lab: each proposal's chance, whether it truly met the targets, whether the batch made of it did."""

    @property
    def stated(self) -> list[Stated]:
        """Those of all labs."""
        return [one for lab in self.labs for one in lab]

    def hit(self, low: float, high: float) -> Share:
        """Of proposals given such a chance: how many met the targets."""
        rows = [[one for one in lab if low <= one[0] < high] for lab in self.labs]
        those = [one for lab in rows for one in lab]
        count = max(len(those), 1)
        met = sum(one[1] for one in those) / count
        # The ratio of two sums over labs (Cochran, Sampling Techniques, from memory).
        error = math.sqrt(math.fsum((sum(one[1] for one in lab) - met * len(lab)) ** 2 for lab in rows)) / count
        batch = sum(one[2] for one in those) / count
        return Share(len(those), met, max(met - 1.96 * error, 0.0), min(met + 1.96 * error, 1.0), batch)


def campaigns(seeds: Sequence[int], *, count: int, at_least: int = 0, most: int = 40, **world: float) -> Result:
    """Run one campaign a seed."""
    needed, chance, labs = [], [], []
    for seed in seeds:
        lab = made_up(seed, **world)  # type: ignore[arg-type]
        found = run(lab, seed, count=count, at_least=at_least, most=most)
        needed.append(found.reached or most + 1)
        chance.append(lab.random_bodies)
        labs.append(tuple(found.stated))
    return Result(float(np.median(needed)), float(np.median(chance)), tuple(labs))


def together(results: Sequence[Result]) -> Result:
    """Groups of labs as one."""
    labs = tuple(lab for each in results for lab in each.labs)
    return Result(float("nan"), float("nan"), labs)


GROUP = 60
"""Labs in a row of the table."""
SETTINGS = (
    *((0.04, 6, 0.08, group) for group in range(4)),
    (0.04, 4, 0.08, 4),
    (0.02, 6, 0.08, 5),
    (0.02, 8, 0.08, 6),
    (0.02, 6, 0.2, 7),
)
"""Window, bodies in a set, noise, number of the group."""


def main(first: int = 0) -> None:
    """Print the tables; `first` is the first seed."""

    def out(text: str) -> None:
        sys.stdout.write(f"{text}\n")
        sys.stdout.flush()

    out("| window, % | bodies in a set | noise | labs | needed | random | 30–50 % stated: n, met, batch met |")
    out("|---|---|---|---|---|---|---|")
    groups = []
    for window, count, noise, group in SETTINGS:
        seeds = range(first + GROUP * group, first + GROUP * (group + 1))
        found = campaigns(seeds, count=count, at_least=18, window=window, noise=noise)
        groups.append(found)
        lab = f"| {100 * window:g} | {count} | {noise:g} | {seeds[0]}–{seeds[-1]} "
        out(f"{lab}| {found.needed:g} | {found.random:.0f} | {found.hit(0.3, 0.5).text} |")
    every = together(groups)
    out(f"\nall {len(every.labs)} labs: {every.hit(0.3, 0.5).text}\n")
    out("| stated | n, met, batch met |")
    out("|---|---|")
    for tenth in range(10):
        low, high = tenth / 10, (tenth + 1) / 10 + (tenth == 9)
        those = [one[0] for one in every.stated if low <= one[0] < high]
        mean = 100 * math.fsum(those) / max(len(those), 1)
        out(f"| {mean:.0f} % | {every.hit(low, high).text} |")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
