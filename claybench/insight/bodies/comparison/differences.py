"""How far each body lies from one of them, the reference, in the same firing and taken the same way.

Two intervals, each with its own ground: by the two bodies' own batches (Welch), and by the scatter of the lab's
batches, which holds if these scatter as the lab's do. Both are adjusted for the number of bodies compared (Šidák):
with 95 % all differences of one property in one firing lie within theirs together.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from claybench.errors import NotFound
from claybench.insight.bodies.comparison.body_means import BodyMeans, BodyResult, pool_bodies
from claybench.insight.bodies.comparison.property_columns import Columns
from claybench.insight.bodies.comparison.value_cells import Cells, cell_range
from claybench.later import Bools, Floats, Ints, np
from claybench.measure.distributions import student_t_each
from claybench.measure.pooled_scatter import sidak
from claybench.measure.properties.declaration import Property
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.unequal_scatter import beside_known
from claybench.quantity.shown import join_words
from claybench.terms import Body

LEVEL = 0.95
_NORMAL = 1.959964
"""Quantile of the normal distribution at 97.5 %."""
POWER = 0.8
"""How often the smallest difference that can be told is told."""
_RESTS_ON = ("scatter_bodies", "scatter_batches")
_SHARES = ("first", "lab_first")
"""Share of a difference's variance that is the body's own mean's, by its own batches and by the lab's scatter."""
_LOPSIDED = 2.0
"""From so many times as many degrees of freedom on one side, Welch's are not trusted; tried on made-up labs."""
MORE_BATCHES = 2
"""Further batches of a body for which it is said what could be told then."""


@dataclass(frozen=True, slots=True)
class BodyDifference:
    """One property of a body, less that of the reference."""

    declared: Property
    kind: str | None
    mean: float
    low: float | None
    """By the bodies' own batches, or where one of them has a single batch by the lab's; simultaneous 95 %."""
    high: float | None
    df: float | None
    basis: str | None
    """`batches`: the bodies' own; `lab`: the scatter of the lab's batches; `pieces`: of these single batches only, the
    scatter from batch to batch not held; None where there is no interval."""
    lab_low: float | None
    """By the scatter of the lab's batches, whatever the basis."""
    lab_high: float | None
    compared: int
    """Bodies beside the reference that the intervals are adjusted for."""
    batches: int
    against_batches: int
    minimum_detectable: float | None
    """Smallest true difference that so many batches would tell four times in five, by the lab's scatter."""
    minimum_detectable_more: float | None
    """With two more batches of the body."""
    scatter_bodies: int
    """Bodies that the lab's scatter rests on; 0 where it is not known."""
    scatter_batches: int
    """Their batches."""
    steps_allow: float
    """Half the 95 % interval of a difference of which nothing but the steps of the readings is open."""

    @property
    def name(self) -> str:
        """Name of the property."""
        return self.declared.name

    def way(self, *, short: bool = False) -> str:
        """How both were taken, in words; nothing where there is one way only."""
        return self.declared.way_words(self.kind, short=short)

    @property
    def direction(self) -> str | None:
        """`more` or `less`; None where they are not told apart.

        The lab's scatter decides where it is known: it takes in the bodies' own batches, while an interval by two
        batches alone is wrong more often than it says.
        """
        return direction_of(self.low, self.high) if self.lab_low is None else self.direction_by_lab

    @property
    def direction_by_lab(self) -> str | None:
        """`more` or `less` by the lab's scatter."""
        return direction_of(self.lab_low, self.lab_high)

    @property
    def rests_on_lab(self) -> bool:
        """Whether the lab's scatter says otherwise than the bodies' own batches, or there are none."""
        return self.basis == "lab" or (
            self.lab_low is not None and self.direction_by_lab != direction_of(self.low, self.high)
        )

    def words(self) -> str:
        """A plain word, and what it rests on where that is not the bodies' own batches."""
        if self.low is None and self.lab_low is None:
            return "not known"
        if self.direction is None:
            return "no difference seen" if self.is_equal else "not told apart"
        if self.rests_on_lab:
            return f"{self.direction}, by the lab's scatter"
        return self.direction if self.basis == "batches" else f"{self.direction}, these batches"

    @property
    def is_equal(self) -> bool:
        """Whether the means are the same to the last digit that is kept."""
        return round(self.mean, self.declared.digits + 6) == 0

    def scatter_words(self) -> str:
        """What the lab's scatter rests on; nothing where it is not known."""
        return rests_on_words(self.scatter_bodies, self.scatter_batches)


def rests_on_words(bodies: int, batches: int) -> str:
    """What a scatter rests on.

    >>> rests_on_words(5, 12), rests_on_words(1, 2), rests_on_words(0, 0)
    ('12 batches of 5 bodies', '2 batches of 1 body', '')
    """
    return f"{batches} batches of {bodies} {'body' if bodies == 1 else 'bodies'}" if bodies else ""


def direction_of(low: float | None, high: float | None) -> str | None:
    """What an interval of a difference says.

    >>> direction_of(0.1, 0.4), direction_of(-0.4, -0.1), direction_of(-0.1, 0.4), direction_of(None, None)
    ('more', 'less', None, None)
    """
    if low is None or high is None:
        return None
    return "more" if low > 0 else "less" if high < 0 else None


def scatter_note(differences: Iterable[BodyDifference]) -> str:
    """A sentence on what the lab's scatter of each property rests on; empty where it is known of none."""
    found: dict[str, list[str]] = {}
    for one in differences:
        if one.scatter_bodies:
            title = " ".join(filter(None, (one.declared.title, one.way())))
            titles = found.setdefault(one.scatter_words(), [])
            titles += [title] if title not in titles else []
    if len(found) < 2:
        return "".join(f"The lab's scatter rests on {words}." for words in found)
    parts = [f"{join_words(titles)} on {words}" for words, titles in found.items()]
    return f"The lab's scatter rests: of {'; of '.join(parts)}."


def ways_apart(results: Iterable[BodyResult], against: str | None) -> list[str]:
    """Sentences on properties that a body and the reference have in one firing, but not taken in one way."""
    every = list(results)
    yard = {each.firing: each for each in every if each.body == against}
    found: dict[str, None] = {}
    for each in every:
        other = yard.get(each.firing)
        if other is None or other is each:
            continue
        for name in each.measured:
            own, theirs = ({one.kind: one for one in result.every if one.name == name} for result in (each, other))
            if theirs and not own.keys() & theirs.keys():
                ways = [join_words([one.way(short=True) for one in taken.values()]) for taken in (own, theirs)]
                title = each.measured[name].declared.title
                found[
                    f"{title} of {each.body} was taken {ways[0]}, that of {against} {ways[1]}: these are not "
                    "interchangeable, and no difference is told."
                ] = None
    return list(found)


@dataclass(frozen=True, slots=True, eq=False)
class _PairedCells:
    """Differences of one property; one entry for each pair of cells."""

    key: Ints
    """The number of the body's cell, rising."""
    declared: Property
    kind: Ints
    columns: dict[str, Floats]


@dataclass(frozen=True, slots=True, eq=False)
class Differences:
    """Every difference from one body, worked out together and looked at one by one."""

    against: str
    firings: int
    found: dict[str, _PairedCells]

    def of_result(self, result: BodyResult) -> list[BodyDifference]:
        """Differences of one body in one firing."""
        return [
            _one(every, at)
            for every in self.found.values()
            for at in cell_range(every.key, result.body_at, result.firing_at, self.firings)
        ]


def _one(every: _PairedCells, at: int) -> BodyDifference:
    number = {key: float(column[at]) for key, column in every.columns.items()}

    def some(key: str) -> float | None:
        return None if math.isnan(number[key]) else number[key]

    basis = (None, "batches", "lab", "pieces")[int(number["basis"])]
    return BodyDifference(
        declared=every.declared,
        kind=every.declared.way_word(int(every.kind[at])),
        mean=number["mean"],
        low=some("low"),
        high=some("high"),
        df=some("df"),
        basis=basis,
        lab_low=some("lab_low"),
        lab_high=some("lab_high"),
        compared=int(number["compared"]),
        batches=int(number["k"]),
        against_batches=int(number["against_k"]),
        minimum_detectable=some("detectable"),
        minimum_detectable_more=some("detectable_more"),
        scatter_bodies=int(some("scatter_bodies") or 0),
        scatter_batches=int(some("scatter_batches") or 0),
        steps_allow=number["steps_allow"],
    )


def differences_from(bodies: Sequence[str], held: BodyMeans, against: str) -> Differences:
    """Differences of all these bodies from one of them."""
    place = {body: at for at, body in enumerate(held.bodies)}
    wanted = np.zeros(len(held.bodies), dtype=bool)
    wanted[[place[body] for body in bodies if body in place and body != against]] = True
    reference = place.get(against, -1)
    pairs = {name: _of_property(name, held, wanted, reference) for name in held.cells}
    return Differences(against, len(held.columns.firings), pairs)


def _of_property(name: str, held: BodyMeans, wanted: Bools, reference: int) -> _PairedCells:
    cells, on_scale, scale = held.cells[name], held.scaled[name], held.properties[name].scale
    own = np.flatnonzero(wanted[cells.body]) if len(cells.body) else np.zeros(0, dtype=np.int64)
    yard = np.flatnonzero(cells.body == reference)
    # cells of one body lie in the order of firing and way, so what is left of the key finds the partner
    tail = cells.tail(len(held.columns.firings))
    at = np.searchsorted(tail[yard], tail[own]) if len(yard) else np.zeros(len(own), dtype=np.int64)
    at = np.minimum(at, max(len(yard) - 1, 0))
    paired = tail[yard[at]] == tail[own] if len(yard) else np.zeros(len(own), dtype=bool)
    one, two = own[paired], yard[at[paired]] if len(yard) else own[paired]
    _, group, counts = np.unique(tail[one], return_inverse=True, return_counts=True)
    columns = {
        "mean": cells.mean[one] - cells.mean[two],
        "compared": counts[group].astype(float) if len(one) else np.zeros(0),
        "k": cells.k[one].astype(float),
        "against_k": cells.k[two].astype(float),
        "steps_allow": _NORMAL * np.sqrt(cells.shared[one] + cells.shared[two]),
    }
    for key in ("half", "df", "basis", "lab_half", "detectable", "detectable_more", *_SHARES, *_RESTS_ON):
        columns[key] = np.full(len(one), 0.0 if key == "basis" else math.nan)
    _by_lab(columns, on_scale, one, two, held)
    _by_own(columns, on_scale, one, two)
    means = cells.mean[one], cells.mean[two]
    for half, first, ends in (("half", "first", ("low", "high")), ("lab_half", "lab_first", ("lab_low", "lab_high"))):
        for end, values in zip(ends, scale.difference_ends(*means, columns[half], columns[first]), strict=True):
            columns[end] = values
    for key in ("detectable", "detectable_more"):
        columns[key] = scale.beyond(means[1], columns[key])
    return _PairedCells(cells.key[one], cells.declared, cells.kind[one], columns)


def _by_lab(columns: dict[str, Floats], cells: Cells, one: Ints, two: Ints, held: BodyMeans) -> None:
    """Where the lab's batches tell their scatter: half the interval and the smallest difference that could be told,
    both on the property's scale, as the cells are."""
    for (name, kind), scatter in held.scatter.items():
        if name != cells.declared.name:
            continue
        here = np.flatnonzero(cells.kind[one] == cells.declared.way_number(kind))
        first, second = one[here], two[here]
        columns["scatter_bodies"][here], columns["scatter_batches"][here] = scatter.bodies, scatter.batches
        for key, more in (("detectable", 0), ("detectable_more", MORE_BATCHES)):
            errors = scatter.difference_errors(cells, first, second, more=more)
            if not more:
                own = errors.first_variance + cells.shared[first]
                whole = errors.first_variance + errors.second_variance + errors.known
                columns["lab_first"][here] = own / np.where(whole > 0, whole, 1.0)
            ordinary = scatter.unequal.tail_points(1 - POWER, errors)
            for count in np.unique(columns["compared"][here]).tolist():
                now = columns["compared"][here] == count
                half = scatter.unequal.tail_points((1 - sidak(LEVEL, int(count))) / 2, errors.some(now))
                columns[key][here[now]] = half + ordinary[now]
                if not more:
                    columns["lab_half"][here[now]] = half
                    columns["df"][here[now]] = errors.pooled_df[now]
    known = ~np.isnan(columns["lab_half"])
    columns["half"], columns["first"] = columns["lab_half"].copy(), columns["lab_first"].copy()
    columns["basis"] = np.where(known, 2.0, columns["basis"])


def smallest_by_batches(
    name: str, unit: str, of: str, columns: Columns, counts: Sequence[int]
) -> tuple[dict[int, float], str]:
    """The smallest true difference of two bodies that so many batches of each show four times in five, by the lab's
    scatter, in what was read itself; and what that rests on. Nothing where no body has two batches in a firing.

    `name` is a length or mass on the pieces' cards, `of` is `piece` or `fired`.
    """
    own = PropertySet([Property(name=name, title=name.replace("_", " "), of=of, unit=unit, digits=2)])
    cells = pool_bodies(columns, own)
    usual = cells.usual[name]
    scatter, drawn = cells.scatter.get((name, usual)), cells.cells[name]
    if scatter is None:
        return {}, ""
    bars = 1 / float(drawn.share.mean())
    errors = scatter.ordinary_errors(np.array(counts), bars, float(drawn.rounding.mean()))
    smallest = scatter.unequal.tail_points((1 - LEVEL) / 2, errors) + scatter.unequal.tail_points(1 - POWER, errors)
    return dict(zip(counts, smallest.tolist(), strict=True)), rests_on_words(scatter.bodies, scatter.batches)


def _by_own(columns: dict[str, Floats], cells: Cells, one: Ints, two: Ints) -> None:
    """Welch's interval with Satterthwaite's degrees of freedom: on batch means where both have two batches or more; on
    the pieces of single batches where nothing better is known.

    Where one has many more batches than the other, two or three that happen to lie close would pass for exact: then
    the smaller number of degrees of freedom is taken, which holds for certain (Mickey and Brown 1966, from memory).
    """
    v1, d1 = _variance(cells, one)
    v2, d2 = _variance(cells, two)
    known = cells.shared[one] + cells.shared[two]
    fewer, more = np.minimum(d1, d2), np.maximum(d1, d2)
    with np.errstate(invalid="ignore", divide="ignore"):
        df = (v1 + v2) ** 2 / (v1**2 / d1 + v2**2 / d2)
    several = (cells.k[one] > 1) & (cells.k[two] > 1)
    df = np.where(v1 + v2 > 0, df, fewer)  # neither scatters: what is left is rounding
    df = np.where(several & (more > _LOPSIDED * fewer), fewer, df)
    variance, df = beside_known(v1 + v2, df, known)
    some = (variance > 0) & (several | np.isnan(columns["lab_half"]))
    for count in np.unique(columns["compared"][some]).tolist():
        now = some & (columns["compared"] == count)
        level = sidak(LEVEL, int(count))
        columns["half"][now] = student_t_each(1 - (1 - level) / 2, df[now]) * np.sqrt(variance)[now]
    own = v1 + cells.shared[one]
    columns["first"] = np.where(some, own / np.where(variance > 0, variance, 1.0), columns["first"])
    columns["df"] = np.where(some, df, columns["df"])
    columns["basis"] = np.where(some, np.where(several, 1.0, 3.0), columns["basis"])


def _variance(cells: Cells, at: Ints) -> tuple[Floats, Floats]:
    """Variance of each mean and its degrees of freedom: of batch means, or of the pieces of a single batch."""
    k, n = cells.k[at], cells.n[at]
    many = k > 1
    return np.where(many, cells.spread[at] / k, cells.sd[at] ** 2 / n), np.where(many, k, n) - 1.0


def reference_body(
    bodies: Sequence[Body], compared: Sequence[Body], named: str | None, measured: Collection[str]
) -> str | None:
    """The body that the compared ones are held against.

    The one that was named; else the control, once measured, of the family most of them are of; else the first of
    several.
    """
    if named is not None:
        chosen = next((body for body in bodies if body.body.casefold() == named.casefold()), None)
        if chosen is None:
            raise NotFound(f"There is no body '{named}' to compare with.", "See the list of bodies.")
        return chosen.body
    family = Counter(body.family for body in compared).most_common(1)[0][0]
    controls = [body.body for body in bodies if body.control and body.family == family and body.body in measured]
    if controls and family is not None:
        return controls[0]
    return compared[0].body if len(compared) > 1 else None
