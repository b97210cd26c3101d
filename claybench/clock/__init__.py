"""Times and dates as text: the record's canonical form, and what people type. One home for both.

No clock is read here: who needs "now" passes it in. Standard library only.
"""

from claybench.clock.days import (
    CLOCK_SLACK,
    FIRST_YEAR,
    LAST_YEAR,
    UNREADABLE,
    has_come,
    hour_of_24,
    is_possible_date,
    month_name,
    month_of,
    parse_time_of_day,
    weekday_of,
    zone_or_utc,
)
from claybench.clock.stamps import (
    Offset,
    as_moment,
    format_span,
    format_stamp,
    in_zone,
    moments_of,
    parse_day,
    parse_stamp,
    parse_zone,
    zone_of,
)
from claybench.clock.typed import (
    TypedTime,
    format_time,
    parse_as_of,
    parse_period,
    parse_typed_day,
    parse_typed_moment,
    understand_as_of,
    understand_day,
    understand_moment,
)
