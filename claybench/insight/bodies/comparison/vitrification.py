"""Where a body is tight: shrinkage and absorption against heat, and the range of firings in which it absorbs less than
a limit and has not begun to bloat."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from claybench.errors import OutOfRange
from claybench.insight.bodies.comparison.body_means import BodyResult
from claybench.insight.bodies.comparison.firing_heat import Heat
from claybench.measure.properties.built_in import ABSORPTION, BULK_DENSITY, TOTAL_SHRINKAGE
from claybench.measure.sample_statistics import SampleSummary
from claybench.quantity.shown import show
from claybench.terms import Batch, FaultSeen, Fired, Piece


@dataclass(frozen=True, slots=True)
class Point:
    """One body in one firing."""

    firing: str
    level: str
    x: float
    """°C, or the place of the cone among those of the lab."""
    absorption: SampleSummary | None
    shrinkage: SampleSummary | None
    density: SampleSummary | None
    bloated: int
    """Pieces on which somebody saw that it bloated."""


@dataclass(frozen=True, slots=True)
class Level:
    """All firings of one body to the same heat."""

    name: str
    x: float
    absorption: float | None
    half: float | None
    """Half the 95 % interval of the absorption; None where it is not known."""
    density: float | None
    density_half: float | None
    bloated: int


@dataclass(frozen=True, slots=True)
class Vitrified:
    """What is known of one body."""

    body: str
    limit_pct: float
    kind: str | None
    """How absorption was taken."""
    points: tuple[Point, ...]
    levels: tuple[Level, ...]
    begins: float | None
    """Where absorption comes down to the limit, by a straight line between the firings to both sides; None where it
    does not, or is below it in the coolest already."""
    tight: Level | None
    """The coolest heat at which it is tight and sound."""
    ends: Level | None
    """The hottest heat at which it still is."""
    bloats: Level | None
    """The first heat with a sign of bloating."""
    sign: str
    """What that sign is."""
    left_out: tuple[str, ...]
    """Firings that cannot be placed, and those soaked in another way."""


@dataclass(frozen=True, slots=True)
class Vitrification:
    """Several bodies on one axis."""

    bodies: tuple[Vitrified, ...]
    limit_pct: float
    cones: tuple[tuple[float, str], ...]
    """Places and names of cones; empty where the axis is in °C."""


def vitrification(
    results: Sequence[BodyResult],
    heats: Mapping[str, Heat],
    bloated: Iterable[tuple[str, str]],
    limit_pct: float,
) -> Vitrification:
    """Every body's course with heat.

    Parameters
    ----------
    results : bodies compared
    heats : of every firing
    bloated : body and firing of each piece that was seen to bloat
    limit_pct : absorption below which a body counts as tight, above 0 to 30 %
    """
    if not 0 < limit_pct <= 30:
        raise OutOfRange(
            f"Absorption of {show(limit_pct, '%')} is no limit of tight ware.", "It lies above 0, up to 30 %."
        )
    seen = list(bloated)
    fired = [
        result
        for result in results
        if result.firing is not None and (ABSORPTION.name in result.properties or (result.body, result.firing) in seen)
    ]
    used = {str(result.firing) for result in fired}
    warm = {firing for firing in used if heats[firing].temp_c is not None}
    coned = {firing for firing in used if heats[firing].cone is not None}
    in_cones = len(warm) < len(used) and len(coned) >= len(warm)
    cones = sorted({heats[firing].cone or 0.0: heats[firing].level for firing in coned}.items()) if in_cones else []
    place = {number: float(at) for at, (number, _) in enumerate(cones)}
    at: dict[str, float] = {}
    for firing in coned if in_cones else warm:
        heat = heats[firing]
        at[firing] = place[heat.cone or 0.0] if in_cones else heat.temp_c or 0.0
    by_body: dict[str, list[BodyResult]] = defaultdict(list)
    for result in fired:
        by_body[result.body].append(result)
    bodies = [_of_body(body, own, at, heats, seen, limit_pct) for body, own in by_body.items()]
    return Vitrification(tuple(bodies), limit_pct, tuple((place[number], name) for number, name in cones))


def _of_body(
    body: str,
    results: Sequence[BodyResult],
    at: Mapping[str, float],
    heats: Mapping[str, Heat],
    bloated: Sequence[tuple[str, str]],
    limit: float,
) -> Vitrified:
    pieces: dict[str | None, int] = defaultdict(int)
    for result in results:
        for each in result.every:
            if each.name == ABSORPTION.name:
                pieces[each.kind] += each.summary.n
    usual = results[0].held.usual[ABSORPTION.name]
    kind = max(pieces, key=lambda one: (one == usual, pieces[one]), default=usual)
    points, left_out = [], []
    for result in results:
        firing = str(result.firing)
        absorbed, dense = result.taken(ABSORPTION.name, kind), result.taken(BULK_DENSITY.name, kind)
        seen = sum(each == (body, firing) for each in bloated)
        if firing not in at or (absorbed is None and not seen):
            left_out.append(result.title if firing not in at else f"{result.title} ({_other(result)})")
            continue
        points.append(
            Point(
                firing=firing,
                level=heats[firing].level,
                x=at[firing],
                absorption=absorbed.summary if absorbed else None,
                shrinkage=result.properties.get(TOTAL_SHRINKAGE.name),
                density=dense.summary if dense else None,
                bloated=seen,
            )
        )
    points.sort(key=lambda point: (point.x, point.firing))
    levels = _levels(points)
    begins, tight, ends, bloats, sign = _range(levels, limit)
    return Vitrified(
        body, limit, kind, tuple(points), tuple(levels), begins, tight, ends, bloats, sign, tuple(left_out)
    )


def _other(result: BodyResult) -> str:
    kinds = [each.kind for each in result.every if each.name == ABSORPTION.name]
    return ", ".join(ABSORPTION.way_words(kind, short=True) for kind in kinds)


def _levels(points: Sequence[Point]) -> list[Level]:
    alike: dict[str, list[Point]] = defaultdict(list)
    for point in points:
        alike[point.level].append(point)
    level_points = []
    for name, own in alike.items():
        absorbed = [point.absorption for point in own if point.absorption is not None]
        mean, half = _joined(absorbed)
        density, density_half = _joined([point.density for point in own if point.density is not None])
        x = math.fsum(point.x for point in own) / len(own)
        bloated = sum(point.bloated for point in own)
        level_points.append(Level(name, x, mean, half, density, density_half, bloated))
    return sorted(level_points, key=lambda level: level.x)


def _joined(summaries: Sequence[SampleSummary]) -> tuple[float | None, float | None]:
    """Mean of firings alike, each as often as it has batches, and half its interval where every one has one."""
    if not summaries:
        return None, None
    total = sum(one.batches for one in summaries)
    mean = math.fsum(one.batches * one.mean for one in summaries) / total
    halves = [(one.high - one.low) / 2 for one in summaries if one.low is not None and one.high is not None]
    if len(halves) < len(summaries):
        return mean, None
    return mean, math.hypot(*(one.batches * half / total for one, half in zip(summaries, halves, strict=True)))


def _range(levels: Sequence[Level], limit: float) -> tuple[float | None, Level | None, Level | None, Level | None, str]:
    bloats, sign = _bloats(levels)
    known = [(level, level.absorption) for level in levels if level.absorption is not None]
    sound = [(level, absorbed) for level, absorbed in known if bloats is None or level.x < bloats.x]
    first = next((place for place, (_, absorbed) in enumerate(sound) if absorbed <= limit), None)
    if first is None:
        return None, None, None, bloats, sign
    last = first
    while last + 1 < len(sound) and sound[last + 1][1] <= limit:
        last += 1
    begins = None
    if first > 0:
        (before, above), (after, below) = sound[first - 1], sound[first]
        begins = before.x + (above - limit) / (above - below) * (after.x - before.x)
    return begins, sound[first][0], sound[last][0], bloats, sign


def _bloats(levels: Sequence[Level]) -> tuple[Level | None, str]:
    """The first heat with a sign: it was seen, or after its best a body absorbs more again, or its density falls, by
    more than the doubt about both."""
    known = [(level.absorption, level.x, level) for level in levels if level.absorption is not None]
    least, hottest, best = min(known, default=(0.0, math.inf, None), key=lambda one: one[:2])
    for place, level in enumerate(levels):
        if level.bloated:
            return level, f"{level.bloated} piece{'s' if level.bloated > 1 else ''} seen to bloat"
        if level.x <= hottest or best is None:
            continue
        rise = (level.absorption or 0.0) - least
        if _beyond(rise, level.half, best.half):
            return level, f"absorbs {show(rise, '%', digits=1)} more than at {best.name}"
        dense = [(one.density, one) for one in levels[:place] if one.density is not None]
        if dense and level.density is not None:
            most, densest = max(dense, key=lambda one: one[0])
            if _beyond(most - level.density, level.density_half, densest.density_half):
                return (
                    level,
                    f"its density has fallen by {show(most - level.density, 'g/cm³', digits=2)} since {densest.name}",
                )
    return None, ""


def _beyond(step: float, first: float | None, second: float | None) -> bool:
    return first is not None and second is not None and step > math.hypot(first, second)


def words(found: Vitrified, cones: bool) -> str:
    """The range in a sentence.

    Says what was fired to both ends, since a straight line over a wide gap is a guess.
    """
    limit = show(found.limit_pct, "%")
    if not found.levels:
        return "no firing of it can be placed by temperature or cone"
    if found.tight is None or found.ends is None:
        known = [(level.absorption, level.name) for level in found.levels if level.absorption is not None]
        least = f": least {show(min(known)[0], '%', digits=1)} at {min(known)[1]}" if known else ""
        if found.bloats is None and known and min(known)[1] == found.levels[-1].name:
            return f"nowhere under {limit}{least}, the hottest fired"
        return f"nowhere under {limit} and sound{least}" + _hot(found)
    if len(found.levels) == 1:
        return f"under {limit} at {found.tight.name}, the only heat it was fired to" + _open(
            found.tight, found.limit_pct
        )
    below = [level.name for level in found.levels if level.x < found.tight.x and level.absorption is not None]
    if found.begins is None:
        begin = f"under {limit} from {found.tight.name} or below, the coolest fired"
    elif cones:
        begin = f"under {limit} from somewhere between {below[-1]} and {found.tight.name}"
    else:
        between = f"between {below[-1]} and {found.tight.name}"
        begin = f"under {limit} from about {show(found.begins, '°C', digits=0)} ({between})"
    return begin + _open(found.tight, found.limit_pct) + _hot(found)


def _open(level: Level, limit: float) -> str:
    """That readings and instruments leave open whether it is under the limit there."""
    if level.absorption is None or level.half is None or level.absorption + level.half <= limit:
        return ""
    most = show(level.absorption + level.half, "%", digits=1)
    return f", {show(level.absorption, '%', digits=1)} there and up to {most} by its readings"


def _hot(found: Vitrified) -> str:
    if found.bloats is not None:
        return f"; bloating at {found.bloats.name}: {found.sign}"
    hottest = found.levels[-1]
    if found.ends is not None and found.ends is not hottest:
        return f"; above it again after {found.ends.name}"
    return f"; sound at {hottest.name}, the hottest fired"


def bloated_firings(
    seen: Iterable[FaultSeen], pieces: Iterable[Piece], batches: Iterable[Batch], fired: Iterable[Fired]
) -> tuple[tuple[str, str], ...]:
    """Body and firing of each piece seen to bloat; where nobody wrote the firing, its only one."""
    batch_of = {row.piece: row.batch for row in pieces}
    body_of = {row.batch: row.body for row in batches}
    firings_of: dict[str, list[str]] = defaultdict(list)
    for each in fired:
        firings_of[each.piece].append(each.firing)
    bloated = []
    for row in seen:
        every = firings_of.get(str(row.piece), [])
        firing = row.firing or (every[0] if len(every) == 1 else None)
        if firing is not None:
            bloated.append((body_of[batch_of[str(row.piece)]], firing))
    return tuple(bloated)
