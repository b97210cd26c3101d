"""What a day's work asks of the slabs: batches of slip that give up their water, one after the other.

Turned into a capacity it is one more way to size a slab; what the air takes off again is in `buckets` and `water`.
"""

from __future__ import annotations

from claybench.facts.reason import formula
from claybench.mix.check import positive, within


@formula()
def day_load(batches: float, dry_g: float, water_per_dry: float, workable_pct: float) -> float:
    """Water that a day's batches give up before they are workable.

    Formula: load = batches · dry · (water per dry − workable / 100)

    Parameters
    ----------
    batches : float [1]
        Batches a day, more than 0.
    dry_g : float [g]
        Dry clay in each, more than 0.
    water_per_dry : float [1]
        Water of the slip over its dry clay, more than the workable share.
    workable_pct : float [%]
        Water when workable, of dry mass, 5 to 100.

    Returns
    -------
    load_g : float [g]

    Raises
    ------
    OutOfRange
        Outside the ranges above; slip that is workable as poured gives up nothing.

    Sources
    -------
    1. What goes in and does not stay goes into the slab; the share the air takes is left out.

    Examples
    --------
    >>> round(day_load(2, 1500, 0.8, 25))
    1650
    """
    share = within(workable_pct, 5, 100, "workable_water_pct", "%") / 100
    within(water_per_dry, share + 0.01, 10, "batch_water_per_dry", "", "Plain slip holds about as much water as clay.")
    within(batches, 0.1, 50, "batches_a_day", "", "As in 2 batches a day.")
    return batches * positive(dry_g, "batch_dry_g", "g", 1e5) * (water_per_dry - share)
