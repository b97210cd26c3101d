"""What the workshop set out to do: which body is mixed when, for how many layers, and how many pieces."""

import random
from dataclasses import dataclass
from datetime import date, timedelta

from recipes import BODIES, BODY, Truth
from workshop import CASTING_FROM, CROSSING, DAMP, PIECES, RUNS, open_days

OPEN_RUNS = 3
BY_HAND = 4
"""Pieces that saw no slab."""


@dataclass
class Job:
    """One batch: the day it is poured, its layers, and the pieces to make of it."""

    day: date
    body: Truth
    layers: int
    pieces: int
    slab: str = ""
    """Where it is not left to the day."""
    beside: bool = False
    """Whether its layer shares a slab with the control's."""


def jobs(dice: random.Random) -> list[Job]:
    """All jobs in order of day, so many that runs and pieces come out as wanted."""
    days = open_days()
    plain = [body for body in BODIES if not body.casting]
    found = [*_first_batches(days, plain), *_controls(days), *_specials()]
    left = RUNS - OPEN_RUNS - sum(job.layers for job in found)
    again = [body for body in plain if not body.control]
    dice.shuffle(again)
    for number in range(-(-left // 2)):
        body = again[number % len(again)]
        first = next(job.day for job in found if job.body is body)
        later = [day for day in days if day > first + timedelta(days=4)]
        day = later[dice.randrange(min(len(later), 80))]
        found.append(Job(day, body, min(2, left - 2 * number), 4))
    _even_out(found, dice)
    return sorted(found, key=lambda job: (job.day, not job.beside, job.body.code, job.slab))


def _first_batches(days: list[date], plain: list[Truth]) -> list[Job]:
    """The first of every body, families in turn, from the middle of March to the end of August."""
    by_family = [[body for body in plain if body.family == family] for family in ("buff", "white", "red")]
    placed = [(number / len(bodies), body) for bodies in by_family for number, body in enumerate(bodies)]
    order = [body for _, body in sorted(placed, key=lambda pair: pair[0])]
    pace = 0.84 * len(days) / len(order)
    return [Job(days[round(number * pace)], body, 2, 5) for number, body in enumerate(order)]


def _controls(days: list[date]) -> list[Job]:
    """Every four weeks the control body of each family, a layer on each of its slabs."""
    found = []
    for number in range(1, 6):
        for offset, code in enumerate(("W-01", "B-01", "R-01")):
            place = round((number + 0.12 * offset) * len(days) / 6)
            found.append(Job(days[place], BODY[code], 2, 4))
    return found


def _specials() -> list[Job]:
    monday = DAMP[0].date()
    found = [
        Job(monday, BODY["B-05"], 1, 0, slab="P3"),
        Job(monday, BODY["B-01"], 1, 0, slab="P3"),
        Job(monday + timedelta(days=1), BODY["B-05"], 1, 0, slab="P3"),
        Job(monday + timedelta(days=2), BODY["B-01"], 1, 0, slab="P3"),
        Job(CROSSING.date(), BODY["R-01"], 1, 0, slab="P1"),
    ]
    found += [
        Job(CASTING_FROM + timedelta(days=after), BODY[code], 1, pieces, slab="P2")
        for after, code, pieces in ((0, "W-09", 5), (5, "W-09", 3), (13, "W-11", 5), (20, "W-11", 3))
    ]
    for day, code in ((date(2026, 4, 30), "B-03"), (date(2026, 7, 15), "B-06"), (date(2026, 9, 9), "B-10")):
        found += [Job(day, BODY[code], 1, 3, "P3", True), Job(day, BODY["B-01"], 1, 0, "P3", True)]
    # The last days, whose bars are still drying when the sample ends.
    for day, code, layers, slab in ((21, "R-06", 2, ""), (22, "W-03", 2, ""), (23, "B-05", 1, "P3"), (24, "B-09", 1, "P3"),
                                    (24, "R-04", 1, "P6")):  # fmt: skip
        found.append(Job(date(2026, 9, day), BODY[code], layers, 4, slab))
    return found


def _even_out(found: list[Job], dice: random.Random) -> None:
    """Give or take single pieces until there are as many as wanted."""
    some = [job for job in found if job.pieces]
    while (missing := PIECES - BY_HAND - sum(job.pieces for job in found)) != 0:
        job = dice.choice(some)
        if 3 <= job.pieces + (step := 1 if missing > 0 else -1) <= 6:
            job.pieces += step
