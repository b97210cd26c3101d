"""What a day's work asks of the slabs: batches of slip that give up their water, one after the other.

Turned into a capacity it is one more way to size a slab; what the air takes off again is in `buckets` and `water`.
"""

from __future__ import annotations

from claybench.facts.formula import Example, Param, formula
from claybench.facts.ranges import check_within


@formula(
    "Water that a day's batches give up before they are workable",
    "load = batches · dry · (water per dry − workable / 100)",
    "g",
    batches=Param(
        "batches", "1", "batches a day", least=0.1, most=50, remedy="As in 2 batches a day.", field="batches_a_day"
    ),
    dry_g=Param("dry", "g", "dry clay in each", above=0, most=1e5, field="batch_dry_g"),
    water_per_dry=Param("water per dry", "1", "water of the slip over its dry clay, more than the workable share"),
    workable_pct=Param(
        "workable", "%", "water when workable, of dry mass", least=5, most=100, field="workable_water_pct"
    ),
    sources="What goes in and does not stay goes into the slab; the share the air takes is left out",
    examples=Example(2, 1500, 0.8, 25, gives=1650, digits=0),
)
def day_load(batches: float, dry_g: float, water_per_dry: float, workable_pct: float) -> float:
    share = workable_pct / 100
    check_within(
        water_per_dry, share + 0.01, 10, "batch_water_per_dry", "", "Plain slip holds about as much water as clay."
    )
    return batches * dry_g * (water_per_dry - share)
