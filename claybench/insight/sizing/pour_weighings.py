"""What the record brings to a sizing: what is weighed for a mix of plaster, and the slabs as they are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from claybench.errors import OutOfRange
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.settings import Settings
from claybench.insight.slab_condition.fitness_for_layer import DOUBTFUL, NOT_NOW
from claybench.insight.slab_condition.slab_verdicts import SlabVerdicts
from claybench.insight.slab_water.slab_properties import SlabSize
from claybench.insight.time_spans import is_retired
from claybench.mix.pour_list import Filling, read_pour_list
from claybench.mix.slab_masses import plaster_with_waste
from claybench.mix.slab_request import SlabRequest
from claybench.mix.slab_sizing import mixes_of
from claybench.mix.slip_request import SlabState
from claybench.quantity.shown import natural_key
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
        weighing_bucket_ml=settings.number_of("weighing_bucket_ml"),
        mixing_bucket_ml=settings.number_of("mixing_bucket_ml"),
        scale_largest_g=settings.number_of("scale_largest_g"),
        scale_step_g=settings.number_of("scale_step_g"),
    )
    try:
        mixes = mixes_of(request, plaster_with_waste(sum(inside), request.waste_pct))
    except OutOfRange:  # a scale or bucket that cannot do it: the sizing would say so
        return (), False
    return tuple(Filling.of(mix) for mix in mixes), False


def slabs_for_sizing(verdicts: SlabVerdicts) -> list[SlabState]:
    """Slabs not retired as the sizing of a batch has to know them, driest first, doubtful ones last."""
    model = verdicts.model
    codes = [code for code, balance in model.slabs.balances.items() if not is_retired(balance.slab, model.at)]

    def driest_first(code: str) -> tuple[bool, float, str]:
        doubtful = bool(verdicts.verdict(code).layer.of_kind(*DOUBTFUL))
        wetness = model.wetnesses[code].now
        return doubtful, 2.0 if wetness is None else wetness, natural_key(code)

    return [_slab_state(verdicts, code) for code in sorted(codes, key=driest_first)]


def _slab_state(verdicts: SlabVerdicts, code: str) -> SlabState:
    balance = verdicts.model.slabs.balances[code]
    room = verdicts.model.wetnesses[code].room_g or (None, None, None)
    reasons = verdicts.verdict(code).layer.reasons
    return SlabState(
        slab=code,
        usable_area_cm2=balance.size.layer_cm2,
        capacity_left_g=room[0],
        capacity_left_low_g=room[1],
        capacity_left_high_g=room[2],
        family=balance.slab.family,
        not_now=" ".join(reason.text for reason in reasons if reason.kind in NOT_NOW),
        mind=" ".join(reason.text for reason in reasons),
    )


def water_of_good_batches(model: LabModel, body: str) -> list[tuple[str, float]]:
    """A body's batches that were lifted as workable, newest first, with the water over dry clay of each."""
    lifted = {poured.run.batch for poured in model.poured.values() if poured.run.outcome == "workable"}
    batches = [row for row in model.layers.batches.values() if row.body == body and row.batch in lifted]
    return [
        (row.batch, row.water_g / row.dry_mass_g)
        for row in sorted(batches, key=lambda row: row.mixed_at, reverse=True)
        if row.water_g and row.dry_mass_g
    ]
