"""Tolerances of the bench: what is let pass before anything is asked about."""

from __future__ import annotations

from claybench.facts.fact import Fact, Origin

OVERFILL_SHARE = Fact(
    "share by which a layer may be more than a slab has room for",
    0.02,
    "1",
    Origin.COMMON_PRACTICE,
    "a fiftieth is less than slip is weighed or levelled to",
)
FULL_SLAB_SHARE = Fact(
    "share of a usable face that leaves no room when it is covered",
    0.9,
    "1",
    Origin.COMMON_PRACTICE,
    "nobody pours on the last tenth",
)
ROUNDING_SHARE_OF_PIECE = Fact(
    "share of a piece that rounding to the scale may take from a batch",
    0.1,
    "1",
    Origin.FROM_MEMORY,
    "the usual loss is in the batch anyway",
)
STAINING_CLAY_STRENGTH = Fact(
    "strength of the evidence that staining clay dried on a slab", 0.7, "1", Origin.FROM_MEMORY, "from 0 to 1"
)
CHIP_LOGGED_LATE_MIN = Fact(
    "time after a lift within which a chip may be logged that the lift made",
    120.0,
    "min",
    Origin.FROM_MEMORY,
    "a chip is written down once the clay is wedged and hands are clean; later it is likelier to have come of moving",
)
