"""Slabs that changed: how soon they are called suspect, how well they are forecast after it, and how often in error.

`python -m tests.campaign.changed [--seeds FIRST LAST] [--making own|other] [--days N]` prints the table of
docs/models.md. The own making is `simulate`, the other one `other_lab`, written by someone who had not seen the model.
"""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from datetime import timedelta
from itertools import product
from statistics import mean, median

from claybench.insight.drying.forecast import Forecast
from claybench.insight.slab_condition.slowness import is_slow
from tests.campaign.cusum import DECISION
from tests.campaign.measure import DAYS
from tests.campaign.other_lab import make_other_lab
from tests.campaign.other_truth import OtherLab, OtherRun
from tests.campaign.replay import interval_score, known_at
from tests.campaign.simulate import make_lab
from tests.campaign.truth import SPOILINGS, MadeLab, TrueRun
from tests.campaign.watch import ask, oracle_step

OTHER_KINDS = {
    "quarter": "quarter", "half": "half", "quarter, sliding": "slide_quarter", "half, sliding": "slide_half",
}  # fmt: skip
"""The other making's word for each kind of change."""
FIRST_HELD = 8
"""The run after the change from which forecasts are held."""
_LEFT_TO_THE_AIR = 0.94
"""Wetness at the end above which a layer is dried by the air alone, in days: the other making has them, told apart."""


@dataclass(frozen=True, slots=True)
class HeldInterval:
    """One forecast beside what came and what could have been known, ln minutes."""

    error: float
    covered: bool
    score: float
    oracle_error: float
    width: float = 0.0

    @classmethod
    def of_run(cls, found: Forecast, truth: TrueRun) -> HeldInterval:
        """A forecast at the pour."""
        felt = truth.felt_min
        return cls(
            math.log(found.median_min / felt),
            found.low_min <= felt <= found.high_min,
            interval_score(found.low_min, found.high_min, felt),
            math.log(truth.oracle_min / felt),
            math.log(found.high_min / found.low_min),
        )


@dataclass(slots=True)
class Looked:
    """One lab with one changed slab."""

    kind: str
    until_suspect: float = math.inf
    """Runs after the change until it was called suspect."""
    until_oracle: float = math.inf
    changed_runs: int = 0
    after: list[HeldInterval] = field(default_factory=list)
    """Forecasts of the changed slab from the eighth run on."""
    sound: list[HeldInterval] = field(default_factory=list)
    """As many forecasts on sound slabs at the same time."""
    sound_runs: int = 0
    false_onsets: list[str] = field(default_factory=list)
    """Runs after which a sound slab was newly called slow, gone through at the end of the record."""


def make(making: str, kind: str, seed: int, days: int) -> MadeLab:
    """A lab in which one slab changes."""
    if making == "own":
        return make_lab(seed, days=days, spoil=SPOILINGS[kind])
    return make_other_lab(seed, days=days, changes=[OTHER_KINDS[kind]])


def look(making: str, kind: str, seed: int, days: int) -> Looked:
    """Live through one lab: ask for the verdict after each run of the changed slab, forecast it, count false onsets."""
    lab = make(making, kind, seed, days)
    changed = changed_runs(lab)
    looked = Looked(kind, changed_runs=len(changed))
    truths = {truth.run: truth for truth in lab.truth}
    ended = {run.run: run.ended_at for run in lab.runs}
    for number, truth in enumerate(changed, 1):
        at = ended[truth.run]
        found_yet = math.isfinite(looked.until_suspect)
        if not found_yet and at is not None and ask(lab, truth.slab, at + timedelta(seconds=1)) == "suspect":
            looked.until_suspect = number
        if number >= FIRST_HELD and held_at_all(truth):
            looked.after.append(_held(lab, truth))
    looked.until_oracle = _until_oracle(lab, changed)
    codes = {truth.run for truth in changed}
    since = changed[0].started_at if changed else None
    sound = [each for each in lab.truth if since and each.started_at > since and each.run not in codes]
    sound = [each for each in sound if held_at_all(each) and not each.spoiled]
    looked.sound = [_held(lab, truth) for truth in sound[-len(looked.after) or len(sound) :]]
    _count_onsets(lab, truths, looked)
    return looked


def changed_runs(lab: MadeLab) -> list[TrueRun]:
    """The runs on the face that changed, from its change on, in order."""
    if not isinstance(lab, OtherLab):
        return [truth for truth in lab.truth if truth.spoiled]
    (change,) = lab.changes
    return [
        truth
        for truth in lab.truth
        if isinstance(truth, OtherRun) and truth.slab == change.slab and truth.face == "form"
        and (truth.poured_at or truth.started_at) >= change.at
    ]  # fmt: skip


def held_at_all(truth: TrueRun) -> bool:
    """Whether a run's time is one that a forecast is held against."""
    if isinstance(truth, OtherRun) and truth.filled > _LEFT_TO_THE_AIR:
        return False
    return truth.modelled and math.isfinite(truth.felt_min) and math.isfinite(truth.oracle_min)


def _held(lab: MadeLab, truth: TrueRun) -> HeldInterval:
    return HeldInterval.of_run(known_at(lab, truth.started_at).forecasts.forecast_run(truth.run), truth)


def _until_oracle(lab: MadeLab, changed: Sequence[TrueRun]) -> float:
    """Runs after the change until the CUSUM of one who knows what a sound slab would have done reaches its limit."""
    if not changed:
        return math.inf
    rows = {run.run: run for run in lab.runs}
    total, number, codes = 0.0, 0, {truth.run for truth in changed}
    for truth in lab.truth:
        if truth.slab != changed[0].slab:
            continue
        number += truth.run in codes
        if truth.run in codes or number == 0:
            total = oracle_step(lab, rows[truth.run], truth, total)
        if number and total >= DECISION:
            return number
    return math.inf


def _count_onsets(lab: MadeLab, truths: dict[str, TrueRun], looked: Looked) -> None:
    last = max(run.ended_at for run in lab.runs if run.ended_at is not None)
    codes = {truth.run for truth in changed_runs(lab)}
    for history in known_at(lab, last + timedelta(seconds=1)).forecasts.fitted.histories.values():
        before = False
        for number, each in enumerate(history.runs, 1):
            if each.run in codes or truths[each.run].spoiled:
                before = True
                continue
            looked.sound_runs += 1
            slow = is_slow(history.runs[:number])
            if slow and not before:
                looked.false_onsets.append(each.run)
            before = slow


def table(looked: Sequence[Looked]) -> Iterator[str]:
    """The figures as lines of a table, a column for each kind."""
    kinds = list(dict.fromkeys(each.kind for each in looked))
    columns = [[each for each in looked if each.kind == kind] for kind in kinds]
    yield "| what | wanted | " + " | ".join(kinds) + " |"
    yield "|---|---|" + "---|" * len(kinds)
    for what, wanted, of in (
        ("labs, runs after the change", "", lambda own: f"{len(own)}, {sum(each.changed_runs for each in own)}"),
        ("runs until suspect, median", "", lambda own: f"{median(each.until_suspect for each in own):g}"),
        ("by the oracle's CUSUM", "", lambda own: f"{median(each.until_oracle for each in own):g}"),
        ("suspect after at most 8 runs", "", lambda own: f"{sum(each.until_suspect <= 8 for each in own)}"),
        ("never suspect", "0", lambda own: f"{sum(math.isinf(each.until_suspect) for each in own)}"),
        ("90 % interval holds, from the eighth run", "85–95 %", lambda own: _coverage(own, "after")),
        ("the same on sound slabs", "", lambda own: _coverage(own, "sound")),
        ("interval score over a sound slab's, each over its oracle's", "at most 1.2", _score_over_sound),
        ("median error, ln", "", lambda own: f"{median(each.error for one in own for each in one.after):+.3f}"),
        ("false onsets in 1,000 runs of sound slabs", "at most 1", _onsets),
    ):
        yield f"| {what} | {wanted} | " + " | ".join(of(own) for own in columns) + " |"


def _coverage(own: Sequence[Looked], which: str) -> str:
    held = [each.covered for one in own for each in getattr(one, which)]
    return f"{100 * mean(held):.1f} % of {len(held)}" if held else "–"


def score_ratio(held: Sequence[HeldInterval]) -> float:
    """Interval score over that of one who knows the truth, and by how much it misses."""
    half = 1.645 * math.sqrt(mean(each.oracle_error**2 for each in held))
    oracle = mean(
        interval_score(math.exp(each.oracle_error - half), math.exp(each.oracle_error + half), 1.0) for each in held
    )
    return mean(each.score for each in held) / oracle


def _score_over_sound(own: Sequence[Looked]) -> str:
    after, sound = ([each for one in own for each in getattr(one, name)] for name in ("after", "sound"))
    if not after or not sound:
        return "–"
    ours, theirs = score_ratio(after), score_ratio(sound)
    return f"{ours / theirs:.2f} ({ours:.2f} over {theirs:.2f})"


def _onsets(own: Sequence[Looked]) -> str:
    runs, onsets = sum(each.sound_runs for each in own), sum(len(each.false_onsets) for each in own)
    return f"{1000 * onsets / max(runs, 1):.2f} ({onsets} in {runs})"


def measure_changes(making: str, seeds: Sequence[int], days: int) -> list[Looked]:
    """All kinds of change in as many labs, as many at a time as there are processors; progress on stderr."""
    cases = list(product(SPOILINGS, seeds))
    out = []
    with ProcessPoolExecutor() as workers:
        futures = [workers.submit(look, making, kind, seed, days) for kind, seed in cases]
        for number, (future, case) in enumerate(zip(futures, cases, strict=True), 1):
            out.append(future.result())
            sys.stderr.write(f"\r{number} of {len(cases)}: {case[0]}, lab {case[1]}   ")
    sys.stderr.write("\n")
    return out


def main() -> None:
    """Read the options, measure, print."""
    options = argparse.ArgumentParser(prog="python -m tests.campaign.changed", description=__doc__)
    options.add_argument("--seeds", type=int, nargs=2, default=(1, 10), metavar=("FIRST", "LAST"), help="made-up labs")
    options.add_argument("--making", choices=("own", "other"), default="own", help="whose physics and habits")
    options.add_argument("--days", type=int, default=DAYS, help="days that each lab lives")
    given = options.parse_args()
    seeds = range(given.seeds[0], given.seeds[1] + 1)
    for line in table(measure_changes(given.making, seeds, given.days)):
        sys.stdout.write(line + "\n")


if __name__ == "__main__":
    main()
