"""What a reading counts for in a mean: its value, or the middle of the range that was read; a bound for nothing."""

from __future__ import annotations

from claybench.terms import Measurement

BOUNDS = ("<", ">")
"""Signs of a reading that tells less, or more, than its value."""


def averaged_value(row: Measurement) -> float | None:
    """The number that a reading enters a mean with; None where it has none, or tells a bound only.

    >>> from datetime import UTC, datetime
    >>> def told(value: float, **more: float | str) -> Measurement:
    ...     return Measurement(piece="K7", at=datetime(2026, 3, 1, tzinfo=UTC), what="hardness", value=value, **more)
    >>> averaged_value(told(5, value_high=6)), averaged_value(told(5, sign="~")), averaged_value(told(7, sign="<"))
    (5.5, 5, None)
    """
    if row.value is None or row.sign in BOUNDS:
        return None
    return row.value if row.value_high is None else (row.value + row.value_high) / 2


def range_width(row: Measurement) -> float:
    """How wide the range is that was read, so that its middle is known to within such a step; 0 where none was."""
    return 0.0 if row.value is None or row.value_high is None else row.value_high - row.value
