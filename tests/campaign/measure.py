"""The whole campaign over several made-up labs: forecasts held against what came, verdicts against what was true."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import repeat
from statistics import mean, median

from tests.campaign.replay import Held, Score, replay, score
from tests.campaign.simulate import make_lab
from tests.campaign.truth import SPOILINGS
from tests.campaign.watch import Watch, watch

HELD = 100
"""Runs of each lab that are forecast: its last ones."""
DAYS = 125
"""Days that a lab lives: some 430 runs."""


@dataclass(frozen=True, slots=True)
class Campaign:
    """What all labs came to."""

    labs: int
    runs: int
    held: list[Held]
    watches: list[Watch]

    @property
    def score(self) -> Score:
        """The figures of the forecasts."""
        return score(self.held)

    @property
    def slab_runs(self) -> int:
        """Runs on sound slabs that were looked at."""
        return sum(each.slab_runs for each in self.watches)

    @property
    def false_onsets(self) -> int:
        """Times a sound slab was newly called suspect."""
        return sum(len(each.false_onsets) for each in self.watches)

    @property
    def until_suspect(self) -> float:
        """Runs of a spoiled slab until it was called suspect, in the median; one never called counts as endless."""
        return median(math.inf if each.until_suspect is None else each.until_suspect for each in self.watches)

    @property
    def until_oracle(self) -> float:
        """The same for one who knows what a sound slab would have done."""
        return median(math.inf if each.until_oracle is None else each.until_oracle for each in self.watches)


def measure(seeds: Sequence[int], *, held: int = HELD, days: int = DAYS) -> Campaign:
    """All labs, as many at a time as there are processors."""
    with ProcessPoolExecutor() as workers:
        found = list(workers.map(one_lab, seeds, repeat(held), repeat(days)))
    return Campaign(
        labs=len(found),
        runs=sum(runs for runs, _, _ in found),
        held=[each for _, forecasts, _ in found for each in forecasts],
        watches=[watched for _, _, watched in found],
    )


def one_lab(seed: int, held: int, days: int) -> tuple[int, list[Held], Watch]:
    """One lab with sound slabs for the forecasts, and the same with one spoiled half-way for the verdicts."""
    lab = make_lab(seed, days=days)
    return len(lab.runs), replay(lab, held), watch(make_lab(seed, days=days, spoil=SPOILINGS["quarter"]))


def table(found: Campaign) -> Iterator[str]:
    """The figures as lines of a table."""
    forecasts = found.score
    wet = [sum(getattr(each, name) for each in found.watches) for name in ("wet_runs", "wet_looks", "called_wet")]
    false_wet = sum(len(each.false_wet_onsets) for each in found.watches)
    yield "| what | wanted | measured |"
    yield "|---|---|---|"
    for what, wanted, came in (
        ("labs, runs, forecasts held", "", f"{found.labs}, {found.runs}, {forecasts.runs}"),
        ("90 % interval holds the moment", "87–93 %", f"{forecasts.coverage:.1f} %"),
        (
            "median absolute ln error over the oracle's, bodies dried five times or more",
            "at most 1.2",
            f"{forecasts.error_ratio:.2f}",
        ),
        ("interval score over the oracle's", "at most 1.5", f"{forecasts.score_ratio:.2f}"),
        ("the same, bodies dried five times or more", "", f"{forecasts.often_score_ratio:.2f}"),
        ("median ln(forecast over what came)", "within 3 %", f"{forecasts.bias:+.1f} %"),
        (
            "90 % interval, bodies never dried before",
            "as all",
            f"{forecasts.new_coverage:.1f} % of {forecasts.new_runs}",
        ),
        ("width over that of bodies dried often", "above 1", f"{_wider(found.held):.2f}"),
        ("90 % interval of the wetness", "85–95 %", f"{forecasts.wetness_coverage:.1f} %"),
        ("runs until a spoiled slab is suspect, median", "at most 5", f"{found.until_suspect:g}"),
        ("the same for the oracle's CUSUM", "", f"{found.until_oracle:g}"),
        ("false onsets on sound slabs, 500 runs", "at most 1", _rate(found.false_onsets, found.slab_runs)),
        ("the same, runs begun above wetness 0.5", "at most 1", _rate(false_wet, wet[0])),
        ("sound slabs truly above 0.5 called damp or saturated", "", f"{100 * wet[2] / max(wet[1], 1):.1f} %"),
    ):
        yield f"| {what} | {wanted} | {came} |"


def _rate(onsets: int, runs: int) -> str:
    return f"{500 * onsets / max(runs, 1):.2f} ({onsets} in {runs})"


def _wider(held: Sequence[Held]) -> float:
    new, often = (
        mean(math.log(each.high_min / each.low_min) for each in held if first <= each.truth.nth <= last)
        for first, last in ((0, 0), (5, 10**6))
    )
    return new / often
