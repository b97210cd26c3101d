"""Studies of repeated readings: repeatability and operators in the scatter, and the minimum detectable difference.

Rows in, one frozen study for each kind of reading out; the arithmetic is in `measure.gauge_study`.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from statistics import median

from claybench.errors import OutOfRange, Question
from claybench.facts.reason import explain
from claybench.insight.bodies.comparison.differences import smallest_by_batches
from claybench.insight.bodies.comparison.property_columns import Columns
from claybench.measure.gauge_study import GaugeStudy, PieceReading, detectable_difference, gauge_study
from claybench.measure.properties.readings import SIZES
from claybench.measure.reading_steps import rounding_variance
from claybench.quantity.shown import percent, plain, short_number, show
from claybench.terms import TABLE_OF, Fired, Measurement, Piece

READINGS = SIZES
"""Readings of a piece that can be studied."""
COUNTS = (3, 5, 10, 20)
"""Bars in each of two groups for which the minimum detectable difference is given."""
BATCHES = (2, 3, 5, 10)
"""Batches of each of two bodies for which it is given."""
NO_OPERATOR = "–"
_FAR_PCT = 2.0
"""A repeated reading further than this off those of the same bar is asked about; common practice, no source."""


@dataclass(frozen=True, slots=True)
class RepeatabilityStudy:
    """One kind of reading, read more than once."""

    reading: str
    unit: str
    operators: tuple[str, ...]
    first_readings_counted: bool
    """Whether the first readings, on the pieces' own cards, are counted in: only where one hand read."""
    gauge: GaugeStudy | None
    why_not: str
    """What is missing, where there is no result."""
    bars_variance: float | None
    """Pooled variance of single readings of bars of one batch, over the lab's batches; None where none has two."""
    bars_df: int
    step: float = 0.0
    """Coarsest step to which bars were read; 0 where none is known."""
    by_batches: Mapping[int, float] = field(default_factory=dict)
    """Smallest true difference of two bodies that so many batches of each show, as bodies are compared; empty where the
    lab does not know how batches scatter."""
    batches_words: str = ""
    """What that rests on."""

    @property
    def single_reading_variance(self) -> float | None:
        """Variance of single readings of bars that should be alike; the study's pieces stand in for a batch's.

        Never less than the step leaves open.
        """
        if self.bars_variance is not None:
            return max(self.bars_variance, rounding_variance(self.step))
        if self.gauge is None:
            return None
        return max(self.gauge.piece + self.gauge.repeatability, rounding_variance(self.step))

    def minimum_detectable_difference(self, count: int, *, other_operator: bool = False) -> float | None:
        """Minimum detectable difference of two groups of bars of one batch (power 80 %) with `count` bars in each, in
        the reading's unit; bodies differ by batches."""
        if self.gauge is None or self.single_reading_variance is None:
            return None
        return detectable_difference(
            self.single_reading_variance,
            count,
            operator_variance=(self.gauge.operator or 0.0) if other_operator else 0.0,
        )

    def repeatability_share_pct(self) -> float | None:
        """Share of the variance of bars of one batch that is repeatability, %; 100 at most."""
        if self.gauge is None or not self.single_reading_variance:
            return None
        return min(100 * self.gauge.repeatability / self.single_reading_variance, 100.0)


def repeatability_studies(
    measurements: Iterable[Measurement], pieces: Iterable[Piece], fired: Iterable[Fired], columns: Columns | None = None
) -> list[RepeatabilityStudy]:
    """A study of every reading that was made again on some piece, in the order of `READINGS`.

    `columns` are all readings of the lab, by which bodies are compared.
    """
    again: dict[str, list[Measurement]] = defaultdict(list)
    for row in measurements:
        exact = row.value is not None and row.value_high is None and row.sign is None
        if exact and row.piece is not None and row.what in READINGS:
            again[row.what].append(row)
    own = {piece.piece: piece for piece in pieces}
    after = {(row.piece, row.firing): row for row in fired}
    studies = [_study(name, again[name], own, after) for name in READINGS if again[name]]
    return studies if columns is None else [_beside_bodies(study, columns) for study in studies]


def _beside_bodies(study: RepeatabilityStudy, columns: Columns) -> RepeatabilityStudy:
    """The study with the step of its readings, and what batches of bodies show."""
    of = "piece" if study.reading in columns.piece else "fired"
    by_batches, words = smallest_by_batches(study.reading, study.unit, of, columns, BATCHES)
    step = float(columns.steps[study.reading].max(initial=0.0))
    return replace(study, step=step, by_batches=by_batches, batches_words=words)


def _study(
    reading: str, rows: list[Measurement], own: dict[str, Piece], after: dict[tuple[str, str], Fired]
) -> RepeatabilityStudy:
    operators = tuple(sorted({row.by or NO_OPERATOR for row in rows}))
    first_counted = len(operators) == 1
    read: list[PieceReading] = [(_subject(row), row.by or NO_OPERATOR, row.value or 0.0) for row in rows]
    if first_counted:
        for subject in {_subject(row): row for row in rows}.values():
            if (value := _first_reading(reading, subject, own, after)) is not None:
                read.append((_subject(subject), operators[0], value))
    gauge, why_not = None, ""
    try:
        gauge = gauge_study(read)
    except OutOfRange as error:
        why_not = f"{error.reason} {error.remedy}"
    variance, df = _within_batch_variance(reading, own, after)
    unit = reading.rpartition("_")[2]
    return RepeatabilityStudy(reading, unit, operators, first_counted, gauge, why_not, variance, df)


def _subject(row: Measurement) -> str:
    return f"{row.piece} {row.firing}" if row.firing else str(row.piece)


def _first_reading(
    reading: str, row: Measurement, own: dict[str, Piece], after: dict[tuple[str, str], Fired]
) -> float | None:
    """The first reading of the same piece, on its card."""
    holder: Piece | Fired | None
    if reading in TABLE_OF[Piece].names:
        holder = own.get(row.piece or "")
    else:
        holder = after.get((row.piece or "", row.firing or ""))
    return getattr(holder, reading, None) if holder is not None else None


def _within_batch_variance(
    reading: str, own: dict[str, Piece], after: dict[tuple[str, str], Fired]
) -> tuple[float | None, int]:
    """Pooled variance of first readings within a batch, and within a firing where they are of fired bars."""
    groups: dict[tuple[str, str], list[float]] = defaultdict(list)
    if reading in TABLE_OF[Piece].names:
        for piece in own.values():
            if (value := getattr(piece, reading)) is not None:
                groups[piece.batch, ""].append(value)
    else:
        for row in after.values():
            if (value := getattr(row, reading)) is not None and row.piece in own:
                groups[own[row.piece].batch, row.firing].append(value)
    df = sum(len(group) - 1 for group in groups.values())
    if df < 1:
        return None, 0
    means = {key: math.fsum(group) / len(group) for key, group in groups.items()}
    within = math.fsum((value - means[key]) ** 2 for key, group in groups.items() for value in group)
    return within / df, df


def study_lines(study: RepeatabilityStudy) -> list[str]:
    """A study in words, one thought a line, for screen and command."""
    gauge, unit = study.gauge, study.unit
    if gauge is None:
        return [study.why_not]
    operator_names = ", ".join(study.operators) if study.operators != (NO_OPERATOR,) else "one hand"
    counted = ", first readings counted in" if study.first_readings_counted else ""
    lines = [f"{gauge.readings} readings of {gauge.pieces} pieces by {operator_names}{counted}", ""]
    lines.append(f"{'':<26}{'spread':>11}{'of variance':>14}{'of spread':>11}")
    for label, variance in (
        ("reading again", gauge.repeatability),
        ("between hands", gauge.operator),
        ("hand by piece", gauge.interaction or None),
        ("all of measuring", gauge.measurement),
        ("between these pieces", gauge.piece),
    ):
        if variance is None:
            continue
        spread = f"±{show(math.sqrt(variance), unit, figures=3)}" if variance else "none seen"
        of_variance, of_spread = (
            show(pct, "%", digits=1) for pct in (gauge.share_pct(variance), gauge.sd_pct(variance))
        )
        lines.append(f"{label:<26}{spread:>11}{of_variance:>14}{of_spread:>11}")
    kinds = "any number of" if gauge.categories is None else f"{int(gauge.categories)}"
    lines += [
        "",
        "The spread of reading again is known to about "
        f"±{show(gauge.repeatability_error_pct, '%', digits=0)} of itself.",
    ]
    lines.append(f"Single readings tell {kinds} kinds of pieces apart (5 or more are wanted: AIAG, from memory).")
    if study.single_reading_variance is not None and study.single_reading_variance > 0:
        whose = "Bars of one batch" if study.bars_variance is not None else "These pieces"
        share = study.repeatability_share_pct() or 0.0
        lines.append(
            f"{whose} differ by ±{show(math.sqrt(study.single_reading_variance), unit, figures=3)}; "
            f"{show(share, '%', digits=0)} of that is only reading them."
        )
        differences = ", ".join(
            f"{show(study.minimum_detectable_difference(count), unit, figures=2)} with {count}" for count in COUNTS
        )
        lines.append(f"Between bars of one batch shows in four of five tries: {differences} bars in each group.")
        if gauge.operator:
            other = study.minimum_detectable_difference(COUNTS[1], other_operator=True)
            lines.append(
                f"Where another hand measures the other group: {show(other, unit, figures=2)} with {COUNTS[1]}."
            )
        lines.append(body_difference_text(study))
        if study.step:
            lines.append(
                f"Read to {show(study.step, unit, figures=2)}: bars that all read alike still leave their mean open by "
                f"±{show(math.sqrt(rounding_variance(study.step)), unit, figures=2)}."
            )
        lines.append(study_advice(study))
    return lines


def body_difference_text(study: RepeatabilityStudy) -> str:
    """What shows of a difference of bodies: only batches count for that."""
    if not study.by_batches:
        return "How far bodies must differ to show nobody can say yet: for bodies batches count, and none has two."
    shown = ", ".join(f"{show(one, study.unit, figures=2)} with {count}" for count, one in study.by_batches.items())
    return f"Between two bodies only batches count: {shown} batches of each, by {study.batches_words}."


def study_advice(study: RepeatabilityStudy) -> str:
    """What would help most."""
    gauge, share = study.gauge, study.repeatability_share_pct()
    if gauge is None or share is None:
        return ""
    if gauge.operator and gauge.operator > gauge.repeatability:
        return "The hands differ more than one hand's own readings: let one hand measure what is to be compared."
    if share > 30:
        return "Much of it is the reading: read each bar twice, or mark finer lines, before making more bars."
    return "The bars differ more than their readings: more bars help, a finer caliper hardly."


def study_reasons(study: RepeatabilityStudy) -> list[str]:
    """Where the figures of a study come from: analysis of variance in words, and the difference that shows."""
    gauge = study.gauge
    if gauge is None:
        return [study.why_not]
    lines = [
        "Variances by analysis of variance; for unequal numbers by Henderson's sums (1953, from memory).",
        f"  repeats on {plain(gauge.repeatability_df)} degrees of freedom: "
        f"{short_number(gauge.repeatability, 4)} {study.unit}²",
    ]
    if gauge.operator is not None:
        lines.append(
            f"  hands {short_number(gauge.operator, 4)}, hands that differ from piece "
            f"to piece {short_number(gauge.interaction, 4)} {study.unit}²"
        )
        if gauge.interaction_p is not None:
            kept = "kept apart" if gauge.interaction else "counted with the repeats"
            lines.append(
                f"  so much of the latter by chance: {percent(gauge.interaction_p)} of the time, so it is {kept} (5 %)"
            )
    lines += [
        f"  pieces {short_number(gauge.piece, 4)} {study.unit}²",
        "  source: AIAG, Measurement Systems Analysis, for the figures' names",
    ]
    if study.bars_variance is not None:
        bars = f"{short_number(study.bars_variance, 4)} {study.unit}² on {study.bars_df} degrees of freedom"
        lines.append(f"Bars of one batch: pooled variance of their first readings, {bars}.")
    if study.single_reading_variance is not None:
        lines += ["", *explain(detectable_difference, study.single_reading_variance, COUNTS[1]).lines()]
    return lines


def question_far_repeat(piece: str, value: float, before: Sequence[float]) -> Question | None:
    """What to ask of a repeated reading that is far from what was read off the same bar before.

    Earlier figures are not told, since whoever measures is not to know them.
    """
    if before and abs(value / median(before) - 1) * 100 > _FAR_PCT:
        return Question("far_off", f"{plain(value)} is far from what was read off {piece} before.", "value")
    return None
