"""Times and dates as text: the record's canonical form, and what people type. One home for both.

No clock is read here: who needs "now" passes it in. Standard library only.
"""

from claybench.clock.calendar_words import month_name, month_of, weekday_of
from claybench.clock.days import FIRST_YEAR, LAST_YEAR
from claybench.clock.record_days import CLOCK_SLACK, UNREADABLE, has_come, is_possible, zone_or_utc
from claybench.clock.stamps import (
    Offset,
    in_zone,
    moment,
    moments_of,
    read_day,
    read_stamp,
    span,
    write,
    zone,
    zone_of,
)
from claybench.clock.time_of_day import hour_of_24, read_time_of_day
from claybench.clock.typed import (
    Typed,
    as_of,
    read_period,
    read_typed,
    read_typed_day,
    shown,
    understand_as_of,
    understand_day,
    understand_moment,
)

__all__ = [
    "CLOCK_SLACK",
    "FIRST_YEAR",
    "LAST_YEAR",
    "UNREADABLE",
    "Offset",
    "Typed",
    "as_of",
    "has_come",
    "hour_of_24",
    "in_zone",
    "is_possible",
    "moment",
    "moments_of",
    "month_name",
    "month_of",
    "read_day",
    "read_period",
    "read_stamp",
    "read_time_of_day",
    "read_typed",
    "read_typed_day",
    "shown",
    "span",
    "understand_as_of",
    "understand_day",
    "understand_moment",
    "weekday_of",
    "write",
    "zone",
    "zone_of",
    "zone_or_utc",
]
