"""What a new firing to a heat gives of a body: the mean so far, with the scatter from firing to firing where the lab
has fired bodies to the same heat twice. What one firing gave is not touched by it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from claybench.insight.bodies.comparison.body_means import BodyMeans, BodyResult
from claybench.insight.bodies.comparison.firing_heat import Heat
from claybench.insight.bodies.comparison.lab_scatter import LabScatter
from claybench.insight.bodies.comparison.value_cells import Cells
from claybench.later import Bools, Floats, Ints, np
from claybench.measure.distributions import student_t_each
from claybench.measure.firing_scatter import FiringScatter
from claybench.measure.properties.declaration import MOST_WAYS, Property
from claybench.measure.unequal_scatter import beside_known
from claybench.quantity.shown import format_interval, show

_UPPER_95 = 0.975


@dataclass(frozen=True, slots=True)
class NewFiring:
    """One property of one body, taken one way, as a new batch of it in a new firing to the same heat will come out."""

    declared: Property
    kind: str | None
    level: str
    """The cone or temperature."""
    mean: float
    """Mean over the firings to that heat, each counting once."""
    low: float
    """95 % interval of the mean of a new batch in a new firing."""
    high: float
    firings: int
    """The body's own to that heat."""
    scatter_sd: float
    """Standard deviation from firing to firing near its mean, by all bodies of the lab fired to the same heat twice."""
    scatter_firings: int
    """Firings that it rests on."""
    scatter_bodies: int
    """Bodies that it rests on."""
    holds_batches: bool
    """Whether scatter from batch to batch is in it, by itself or within that of the firings; the lab may know none."""

    @property
    def name(self) -> str:
        """Name of the property."""
        return self.declared.name

    def interval_text(self) -> str:
        """The interval, with the property's own decimals."""
        return format_interval(self.low, self.high, digits=self.declared.digits)

    def scatter_text(self) -> str:
        """How much firings scatter, and what that rests on."""
        digits = self.declared.digits + 1
        sd = show(self.scatter_sd, self.declared.unit, digits=digits)
        bodies = "body" if self.scatter_bodies == 1 else "bodies"
        rests = f"{self.scatter_firings} firings of {self.scatter_bodies} {bodies}"
        said = f"±{sd}" if self.scatter_sd > 0 else "none seen"
        return f"{said}, {rests}" + ("" if self.holds_batches else "; scatter from batch to batch is not known")


@dataclass(frozen=True, slots=True, eq=False)
class NewFirings:
    """Every body's, by body, heat, property and way."""

    every: dict[tuple[str, str, str, str | None], NewFiring]
    heats: Mapping[str, Heat]

    def of_body(self, body: str) -> list[NewFiring]:
        """What a new firing gives of one body, heat by heat."""
        return [one for (own, *_), one in self.every.items() if own == body]

    def of_result(self, result: BodyResult) -> dict[str, NewFiring]:
        """What a new firing gives beside one body in one firing, by property, taken as that one's."""
        if result.firing is None or result.firing not in self.heats:
            return {}
        level = self.heats[result.firing].level
        found = {name: self.every.get((result.body, level, name, each.kind)) for name, each in result.measured.items()}
        return {name: one for name, one in found.items() if one is not None}


@dataclass(frozen=True, slots=True, eq=False)
class _Groups:
    """Cells of one property drawn together by body, heat and way; one entry each. Variances are on its scale."""

    body: Ints
    level: Ints
    kind: Ints
    firings: Ints
    mean: Floats
    """In the property's unit."""
    squares: Floats
    """Sum of squares of the firings' means about their mean."""
    batches: Floats
    """Sum of the squared weights that batches have in the firings' means."""
    shared: Floats
    """The same, of the weights a batch has in all firings together."""
    pieces: Floats
    """As `batches`, over the number of pieces."""
    steps: Floats
    """Variance that the readings' steps leave in a mean, as that of the firings on average."""
    of_cell: Ints
    """For each fired cell its group."""
    cells: Ints
    """Places of the fired cells."""


def new_firings(held: BodyMeans, heats: Mapping[str, Heat]) -> NewFirings:
    """What a new firing gives of every body, for each property whose firings' scatter the lab can tell."""
    every: dict[tuple[str, str, str, str | None], NewFiring] = {}
    levels = list(dict.fromkeys(heats[firing].level for firing in held.columns.firings if firing in heats))
    for name, cells in held.scaled.items():
        groups = _grouped(cells, held.cells[name].mean, _level_of_firing(held, heats, levels), len(levels))
        for kind in np.unique(groups.kind).tolist():
            word = cells.declared.way_word(kind)
            scatter = _scatter(cells, groups, kind, held.scatter.get((cells.declared.name, word)))
            if scatter is not None:
                for one, body in _of_kind(cells, groups, kind, *scatter, levels):
                    every[held.bodies[body], one.level, one.name, one.kind] = one
    return NewFirings(every, heats)


def firing_scatter(held: BodyMeans, heats: Mapping[str, Heat], name: str) -> FiringScatter | None:
    """Scatter from firing to firing of one property on its scale, taken as the lab usually takes it; None where no body
    was fired to the same heat twice."""
    cells = held.scaled[name]
    levels = list(dict.fromkeys(heats[firing].level for firing in held.columns.firings if firing in heats))
    groups = _grouped(cells, held.cells[name].mean, _level_of_firing(held, heats, levels), len(levels))
    usual = held.usual[name]
    found = _scatter(cells, groups, cells.declared.way_number(usual or ""), held.scatter.get((name, usual)))
    return found[0] if found else None


def _level_of_firing(held: BodyMeans, heats: Mapping[str, Heat], levels: list[str]) -> Ints:
    at = {level: place for place, level in enumerate(levels)}
    return np.array(
        [at[heats[one].level] if one in heats else -1 for one in held.columns.firings] or [-1], dtype=np.int64
    )


def _grouped(cells: Cells, values: Floats, level_of: Ints, levels: int) -> _Groups:
    """Cells on their property's scale drawn together; `values` are their means in its unit."""
    level = np.where(cells.firing >= 0, level_of[cells.firing], -1)
    at = np.flatnonzero(level >= 0) if not cells.declared.before_firing else np.zeros(0, dtype=np.int64)
    key = (cells.body[at] * max(levels, 1) + level[at]) * MOST_WAYS + cells.kind[at]
    alike, group = np.unique(key, return_inverse=True)
    count = len(alike)

    def sums(values: Floats) -> Floats:
        added: Floats = np.bincount(group, weights=values, minlength=count).astype(float)
        return added

    k = cells.k[at].astype(float)
    firings = np.bincount(group, minlength=count)
    mean = sums(cells.mean[at]) / np.maximum(firings, 1)
    own = np.repeat(np.arange(len(at)), cells.k[at])
    places = np.concatenate([np.arange(cells.first[one], cells.first[one + 1]) for one in at.tolist()] or [at])
    batch = cells.batch[places]
    width = int(cells.batch.max(initial=0)) + 1
    pairs, back = np.unique(group[own] * width + batch, return_inverse=True)
    weights = np.bincount(back, weights=1 / k[own], minlength=len(pairs))
    return _Groups(
        body=alike // MOST_WAYS // max(levels, 1),
        level=alike // MOST_WAYS % max(levels, 1),
        kind=alike % MOST_WAYS,
        firings=firings,
        mean=sums(values[at]) / np.maximum(firings, 1),
        squares=sums((cells.mean[at] - mean[group]) ** 2),
        batches=sums(1 / k),
        shared=np.bincount(pairs // width, weights=weights**2, minlength=count).astype(float),
        pieces=sums(cells.share[at] / k),
        steps=sums(cells.shared[at]) / np.maximum(firings, 1),
        of_cell=group,
        cells=at,
    )


def _scatter(cells: Cells, groups: _Groups, kind: int, lab: LabScatter | None) -> tuple[FiringScatter, int, int] | None:
    """The scatter of one way, the firings and the bodies that it rests on."""
    again = (groups.kind == kind) & (groups.firings > 1)
    beyond_first = float((groups.firings[again] - 1).sum())
    if not beyond_first:
        return None
    here = groups.cells[again[groups.of_cell]]
    at_level = np.unique(np.stack([groups.level[groups.of_cell[again[groups.of_cell]]], cells.firing[here]]), axis=1)
    firings, levels = at_level.shape[1], len(np.unique(at_level[0]))
    f = groups.firings[again]
    wanted: Bools = cells.kind == kind
    piece_df = float((cells.n - cells.k)[wanted].sum())
    within = float(cells.within[wanted].sum())
    scatter = FiringScatter(
        firing_square=float(groups.squares[again].sum()) / beyond_first,
        # bodies that share firings share what these did to them
        firing_df=min(beyond_first, float(firings - levels)),
        batches_in=float((groups.batches[again] - groups.shared[again] / f).sum()) / beyond_first,
        pieces_in=float(((1 - 1 / f) * groups.pieces[again]).sum()) / beyond_first,
        batch_square=lab.pooled.batch_square if lab else 0.0,
        batch_df=lab.pooled.batch_df if lab else 0.0,
        size=lab.pooled.size if lab else 1.0,
        piece_square=lab.pooled.piece_square if lab else within / piece_df if piece_df else 0.0,
        piece_df=lab.pooled.piece_df if lab else piece_df,
    )
    return scatter, firings, len(np.unique(groups.body[again]))


def _of_kind(
    cells: Cells, groups: _Groups, kind: int, scatter: FiringScatter, firings: int, bodies: int, levels: list[str]
) -> list[tuple[NewFiring, int]]:
    at = np.flatnonzero(groups.kind == kind)
    f = groups.firings[at]
    new_pieces = float(cells.share[cells.kind == kind].mean())
    error, df = scatter.new_errors(1 + 1 / f, 1 + groups.shared[at] / f**2, new_pieces + groups.pieces[at] / f**2)
    variance, df = beside_known(error**2, df, groups.steps[at])
    half = student_t_each(_UPPER_95, df) * np.sqrt(variance)
    scale, means, word = cells.declared.scale, groups.mean[at], cells.declared.way_word(kind)
    low, high = scale.mean_ends(means, half)
    sds = scatter.variance**0.5 / scale.slope(means)
    holds_batches = scatter.batch_df > 0 or scatter.batches_in > 0
    return [
        (
            NewFiring(
                cells.declared, word, levels[int(groups.level[place])], mean, least, most,
                int(groups.firings[place]), sd, firings, bodies, holds_batches,
            ),
            int(groups.body[place]),
        )
        for place, mean, least, most, sd in zip(*(x.tolist() for x in (at, means, low, high, sds)), strict=True)
    ]  # fmt: skip
