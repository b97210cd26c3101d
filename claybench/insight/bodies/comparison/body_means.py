"""Bodies side by side: every cell's mean with its interval, and the scatter of the lab's batches behind them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from claybench.insight.bodies.comparison.firing_heat import firing_titles
from claybench.insight.bodies.comparison.lab_scatter import LabScatter, lab_scatter
from claybench.insight.bodies.comparison.property_columns import Columns
from claybench.insight.bodies.comparison.property_values import PropertyValues, property_values
from claybench.insight.bodies.comparison.results import Measured, RelativeTime
from claybench.insight.bodies.comparison.value_cells import Cells, grouped_cells
from claybench.insight.record_values import BodyValues, RecordValue
from claybench.later import Floats, Ints, np
from claybench.measure.distributions import student_t_each
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.sample_statistics import SampleSummary
from claybench.measure.unequal_scatter import beside_known
from claybench.terms import Firing

BASES = ("batches", "lab", "pieces", None)


@dataclass(frozen=True, slots=True, eq=False)
class Intervals:
    """95 % intervals of one property's cells: their ends (NaN where there is none), and places in `BASES`."""

    low: Floats
    high: Floats
    basis: Ints


@dataclass(frozen=True, slots=True, eq=False)
class BodyMeans:
    """All bodies of a lab, drawn together once; whatever is asked of them is taken from here."""

    columns: Columns
    properties: PropertySet
    """The lab's, those it declared among them."""
    bodies: tuple[str, ...]
    """Every body that has a batch."""
    body: Ints
    """For each batch its place in `bodies`."""
    cells: dict[str, Cells]
    """By property."""
    scaled: dict[str, Cells]
    """Cells of the same values on their property's scale, on which scatter is reckoned."""
    intervals: dict[str, Intervals]
    scatter: dict[tuple[str, str | None], LabScatter]
    """Batch scatter by property and the way it was taken, on the property's scale; only where a body has two batches
    in one firing."""
    usual: dict[str, str | None]
    """How the lab usually takes each property: the way of most pieces."""

    def measured(self, body: int, firing: int) -> list[Measured]:
        """Every property of one body in one firing (−1: before any), each way it was taken."""
        return [
            self._one(cells, at)
            for cells in self.cells.values()
            for at in cells.range_of(body, firing, len(self.columns.firings))
        ]

    def _one(self, cells: Cells, at: int) -> Measured:
        lead, end = int(cells.first[at]), int(cells.first[at + 1])
        start, found = cells.start, self.intervals[cells.declared.name]
        mean, low, high, sd = (float(each[at]) for each in (cells.mean, found.low, found.high, cells.sd))
        sure = not math.isnan(low)
        return Measured(
            declared=cells.declared,
            kind=cells.word(at),
            summary=SampleSummary(
                n=int(cells.n[at]),
                batches=int(cells.k[at]),
                mean=mean,
                sd=None if math.isnan(sd) else sd,
                low=low if sure else None,
                high=high if sure else None,
                basis=BASES[int(found.basis[at])],
            ),
            numbers=cells.values[start[lead] : start[end]],
            starts=start[lead:end] - start[lead],
            batches=tuple(self.columns.batches[place] for place in cells.batch[lead:end].tolist()),
            rounding=float(cells.rounding[at]),
            shared=float(cells.shared[at]),
        )


def pool_bodies(columns: Columns, properties: PropertySet = BUILT_IN) -> BodyMeans:
    """Draw a lab together."""
    place = {body: at for at, body in enumerate(dict.fromkeys(columns.bodies))}
    body = np.array([place[code] for code in columns.bodies], dtype=np.int64)
    cells, scaled, intervals = {}, {}, {}
    scatter: dict[tuple[str, str | None], LabScatter] = {}
    usual: dict[str, str | None] = {}
    for name in properties.compared:
        declared = properties[name]
        values = property_values(name, properties, columns)
        own = cells[name] = grouped_cells(declared, values, body, len(columns.firings))
        on_scale = scaled[name] = _on_scale(own, values, body, len(columns.firings))
        counts = np.bincount(own.kind, weights=own.n)
        usual[name] = declared.way_word(int(counts.argmax()) if len(counts) else 0)
        for kind in np.flatnonzero(counts).tolist():
            found = lab_scatter(on_scale, own.kind == kind, len(place))
            if found is not None:
                scatter[name, declared.way_word(kind)] = found
        half, basis = _half_widths(on_scale, scatter)
        intervals[name] = Intervals(*declared.scale.mean_ends(own.mean, half), basis)
    return BodyMeans(columns, properties, tuple(place), body, cells, scaled, intervals, scatter, usual)


def _on_scale(cells: Cells, found: PropertyValues, body: Ints, firings: int) -> Cells:
    scale = cells.declared.scale
    if scale.is_straight:
        return cells
    rounding = found.rounding * scale.slope(found.values) ** 2
    placed = replace(found, values=scale.forward(found.values), rounding=rounding)
    return grouped_cells(cells.declared, placed, body, firings)


def _half_widths(cells: Cells, scatter: dict[tuple[str, str | None], LabScatter]) -> tuple[Floats, Ints]:
    """Half the intervals, on the scale of the cells: by the body's own batches or pieces, and by the lab's scatter of
    batches where there is one batch only; what the readings' steps leave in the mean is in each. Batches that happen to
    come to nearly one mean make it no surer than their bars do: the interval is no narrower than the bars' own."""
    scatter_variance = np.where(cells.k > 1, cells.spread / cells.k, cells.sd**2 / cells.n)
    df = np.where(cells.k > 1, cells.k, cells.n) - 1.0
    basis = np.where(cells.k > 1, 0, np.where(cells.n > 1, 2, 3))
    df[basis == 3] = math.nan
    variance, df = beside_known(scatter_variance, df, cells.shared)
    found, back = np.unique(df, return_inverse=True)
    half = student_t_each(0.975, found)[back] * np.sqrt(variance)
    several = np.flatnonzero((cells.k > 1) & (cells.n > cells.k))
    half[several] = np.maximum(half[several], _bars_half_widths(cells, several))
    nothing = ~(half > 0)  # equal to the last digit, and no step that says what that is worth
    half[nothing], basis[nothing] = math.nan, 3
    for (name, kind), own in scatter.items():
        if name != cells.declared.name:
            continue
        alone = np.flatnonzero((cells.k == 1) & (cells.kind == cells.declared.way_number(kind)))
        half[alone], basis[alone] = own.unequal.tail_points(0.025, own.mean_errors(cells, alone)), 1
    return half, basis


def _bars_half_widths(cells: Cells, at: Ints) -> Floats:
    """Half the interval of a mean of batch means that the scatter of bars within batches alone leaves; Student's t with
    as many degrees of freedom as there are bars over batches."""
    left = (cells.n - cells.k)[at].astype(float)
    of_bars = cells.within[at] / left * cells.share[at] / cells.k[at]
    variance, df = beside_known(of_bars, left, cells.shared[at])
    half: Floats = student_t_each(0.975, df) * np.sqrt(variance)
    return half


@dataclass(frozen=True, eq=False)
class BodyResult:
    """One body in one firing; firing None holds what is known before any."""

    body: str
    firing: str | None
    relative_time: RelativeTime | None
    held: BodyMeans
    """The lab it is taken from, with its place there: made into single numbers when it is looked at."""
    body_at: int
    firing_at: int
    title: str = "before firing"
    """What the firing is called among those compared."""
    order: int = -1
    """Its place among them, the coolest first; −1 before any."""
    own: tuple[RecordValue, ...] = ()
    """What was read of the body itself, and the words said of its pieces; neither has an interval."""

    @cached_property
    def every(self) -> tuple[Measured, ...]:
        """Every property, each way it was taken."""
        return tuple(self.held.measured(self.body_at, self.firing_at))

    @cached_property
    def measured(self) -> dict[str, Measured]:
        """Each property as the lab usually takes it, or as this body's was taken."""
        usual = self.held.usual
        found: dict[str, Measured] = {}
        for each in sorted(self.every, key=lambda one: (one.kind == usual[one.name], one.summary.n)):
            found[each.name] = each
        return {name: found[name] for name in self.held.cells if name in found}

    @property
    def is_measured(self) -> bool:
        """Whether anything was read of it or of its pieces."""
        return bool(self.properties or self.own)

    @property
    def apart(self) -> tuple[Measured, ...]:
        """What was taken in another way than that; never averaged with it."""
        return tuple(each for each in self.every if each is not self.measured[each.name])

    @cached_property
    def properties(self) -> dict[str, SampleSummary]:
        """Mean and interval by property."""
        return {name: found.summary for name, found in self.measured.items()}

    @property
    def values(self) -> dict[str, dict[str, list[float]]]:
        """Single pieces' values by property and batch."""
        return {name: found.by_batch() for name, found in self.measured.items()}

    def taken(self, name: str, kind: str | None) -> Measured | None:
        """A property taken in one way."""
        return next((each for each in self.every if each.name == name and each.kind == kind), None)


def body_results(
    bodies: Sequence[str],
    held: BodyMeans,
    relative: dict[str, RelativeTime],
    own: BodyValues | None = None,
    rows: Iterable[Firing] = (),
) -> list[BodyResult]:
    """Results per body and firing, bodies in the order given, firings from the coolest to the hottest.

    A body stands there before any firing, and in each firing a piece of it was in, measured or not. `rows` are the
    lab's firings, by which those are called that these bodies were in; they go by their codes without.
    """
    columns, count = held.columns, len(held.columns.firings)
    place = {body: at for at, body in enumerate(held.bodies)}
    batch, firing = columns.batch[columns.of], columns.firing
    if columns.groups is not None:
        after = columns.groups.firing >= 0
        batch = np.concatenate([batch, columns.groups.batch[after]])
        firing = np.concatenate([firing, columns.groups.firing[after]])
    pairs = np.unique(held.body[batch] * count + firing).tolist() if count else []
    fired: dict[int, list[int]] = {}
    for pair in pairs:
        fired.setdefault(pair // count, []).append(pair % count)
    names, besides = columns.firings, own or {}
    seen = {names[firing] for body in bodies for firing in fired.get(place.get(body, -2), ())}
    titles = firing_titles(row for row in rows if row.firing in seen)
    order = {code: at for at, code in enumerate([*titles, *sorted(seen - titles.keys())])}
    return [
        BodyResult(
            body,
            named,
            relative.get(body),
            held,
            place.get(body, -2),
            firing,
            "before firing" if named is None else titles.get(named, named),
            -1 if named is None else order[named],
            besides.get((body, named), ()),
        )
        for body in bodies
        for firing in (-1, *sorted(fired.get(place.get(body, -2), ()), key=lambda at: order[names[at]]))
        for named in (names[firing] if firing >= 0 else None,)
    ]
