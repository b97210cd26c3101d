"""What is weighed for a mix of plaster: the sizing's own list, else worked out from the plaster in the slabs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from claybench.errors import OutOfRange
from claybench.insight.settings import Settings
from claybench.insight.slab_water.slab_properties import SlabSize
from claybench.mix.pour_list import Filling, read_pour_list
from claybench.mix.slab_masses import plaster_with_waste
from claybench.mix.slab_request import SlabRequest
from claybench.mix.slab_sizing import mixes_of
from claybench.terms import Slab, SlabEvent


def slabs_of_mix(slab: Slab, slabs: Iterable[Slab]) -> list[Slab]:
    """All slabs of one mix, in the order of entry."""
    return [row for row in slabs if row.slab == slab.slab or (slab.pour and row.pour == slab.pour)]


def pour_weighings(
    mix: Sequence[Slab], events: Iterable[SlabEvent], settings: Settings
) -> tuple[tuple[Filling, ...], bool]:
    """Plaster and water to weigh for all slabs of a mix together, and whether that is the sizing's own list.

    Empty where neither a list nor the plaster of every slab is on record.
    """
    codes = {row.slab for row in mix}
    log = sorted((row for row in events if row.slab in codes), key=lambda row: row.at)
    sized = read_pour_list(event.note for event in log)
    if sized:
        return sized, True
    inside = [row.plaster_g for row in mix if row.plaster_g is not None]
    if len(inside) < len(mix):
        return (), False
    request = SlabRequest(
        count=len(mix),
        mix_ratio=SlabSize.from_slab(mix[0]).mix_ratio,
        weighing_bucket_ml=settings.number("weighing_bucket_ml"),
        mixing_bucket_ml=settings.number("mixing_bucket_ml"),
        scale_largest_g=settings.number("scale_largest_g"),
        scale_step_g=settings.number("scale_step_g"),
    )
    try:
        mixes = mixes_of(request, plaster_with_waste(sum(inside), request.waste_pct))
    except OutOfRange:  # a scale or bucket that cannot do it: the sizing would say so
        return (), False
    return tuple(Filling.of(mix) for mix in mixes), False
