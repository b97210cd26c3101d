"""Plain words for what the screens show: spans of time, masses, shares, moments."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING

from claybench.clock import is_possible_date
from claybench.quantity.shown import percent, plain

if TYPE_CHECKING:
    from claybench.insight.slab_condition.verdict import Evidence
    from claybench.mix.material_cautions import Caution
    from claybench.terms import Measurement


NOTHING = "–"


class CellText(str):
    """A text of the screen with the value behind it, so that a table that is saved loses no digit.

    >>> CellText("12.3 g", 12.345, "g").value
    12.345
    """

    __slots__ = ("parts", "rank", "unit", "value")

    value: object
    """What is shown, unrounded; None where a dash stands for nothing."""
    unit: str
    parts: tuple[tuple[str, object], ...]
    """Several values in one text, each with its own name, such as a mean and the ends of its interval."""
    rank: int | None
    """Place of a word among others in an order that is not the alphabet's."""

    def __new__(
        cls,
        text: str,
        value: object = None,
        unit: str = "",
        parts: Sequence[tuple[str, object]] = (),
        rank: int | None = None,
    ) -> CellText:
        """The text as it stands on the screen, and what it stands for."""
        made = super().__new__(cls, text)
        made.value, made.unit, made.parts, made.rank = value, unit, tuple(parts), rank
        return made


def duration_text(minutes: float) -> str:
    """A running time as a clock shows it.

    >>> duration_text(52), duration_text(160)
    ('0 h 52', '2 h 40')
    """
    whole = max(int(minutes), 0)
    return CellText(f"{whole // 60} h {whole % 60:02d}", round(minutes, 2), "min")


def duration_range_text(low: float, high: float) -> str:
    """A span of running times.

    >>> duration_range_text(52, 160)
    '0 h 52–2 h 40'
    """
    ends = (("from", round(low, 2)), ("to", round(high, 2)))
    return CellText(f"{duration_text(low)}–{duration_text(high)}", unit="min", parts=ends)


def share_text(value: float | None) -> str:
    """A share as per cent.

    >>> share_text(0.342), share_text(None)
    ('34 %', '–')
    """
    return CellText(NOTHING if value is None else percent(value), None if value is None else 100 * value, "%")


_SIGNS = {"<": "less than", ">": "more than", "~": "about"}


def reading_value_text(row: Measurement, unit: str = "") -> str:
    """What was read as it was told: a number, less or more than one, about one, or a range; nothing without a value."""
    if row.value is None:
        return ""
    value = number_text(row.value, unit="" if row.value_high is not None else unit)
    upper = f"to {number_text(row.value_high, unit=unit)}" if row.value_high is not None else ""
    return " ".join(filter(None, (_SIGNS.get(row.sign or "", ""), value, upper)))


def number_text(value: float | None, digits: int | None = None, unit: str = "") -> str:
    """A number with its unit, or a dash.

    >>> number_text(11340, unit="g"), number_text(None)
    ('11 340 g', '–')
    """
    if value is None:
        return CellText(NOTHING, None, unit)
    return CellText(plain(value, digits) + (f" {unit}" if unit else ""), value, unit)


def time_range_text(low: datetime, high: datetime) -> str:
    """About when.

    >>> time_range_text(datetime(2026, 3, 1, 15, 4), datetime(2026, 3, 1, 15, 41))
    '15:04–15:41'
    """
    if high.date() != low.date():
        return f"{low:%H:%M}–{high:%a %H:%M}"
    return f"{low:%H:%M}–{high:%H:%M}"


def moment_text(value: date | None) -> str:
    """A date or a moment, short.

    >>> moment_text(date(2026, 3, 12)), moment_text(datetime(2026, 3, 12, 14, 5))
    ('12 Mar 2026', '12 Mar 14:05')
    """
    if value is None or not is_possible_date(value):
        return CellText(NOTHING)
    if isinstance(value, datetime):
        return CellText(f"{value.day} {value:%b %H:%M}", value)
    return CellText(f"{value.day} {value:%b %Y}", value)


def word_text(word: str | None) -> str:
    """A word of the record as people say it.

    >>> word_text("turned_over"), word_text(None)
    ('turned over', '–')
    """
    return NOTHING if word is None else word.replace("_", " ")


def evidence_text(one: Evidence) -> str:
    """One thing that speaks for a verdict: its kind, the face it belongs to, since when, how strong."""
    if one.kind == "wetness":
        return f"wetness: {one.text}"
    about = [word_text(one.kind) + (f" on the {one.face} face" if one.face else "")]
    if one.since is not None and f"{one.since.day} {one.since:%b}" not in one.text:
        about.append(f"since {moment_text(one.since)}")
    return f"{', '.join(about)}, {one.strength_word}: {one.text}"


def caution_lines(cautions: Iterable[Caution]) -> list[str]:
    """Each caution as a line, with its source."""
    return [f"! {caution.line()}" for caution in cautions]
