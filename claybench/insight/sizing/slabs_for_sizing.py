"""What the sizing of a batch has to know of the lab's slabs, and of the body's batches that poured well."""

from __future__ import annotations

from claybench.insight.drying.lab_model import LabModel
from claybench.insight.service_dates import is_retired
from claybench.insight.slab_condition.fitness_for_layer import NOT_NOW
from claybench.insight.slab_condition.slab_verdicts import SlabVerdicts
from claybench.mix.slip_request import SlabState
from claybench.quantity.shown import natural_key


def slabs_for_sizing(verdicts: SlabVerdicts) -> list[SlabState]:
    """Slabs not retired as the sizing of a batch has to know them, driest first."""
    model = verdicts.model
    codes = [code for code, balance in model.slabs.balances.items() if not is_retired(balance.slab, model.at)]

    def driest_first(code: str) -> tuple[float, str]:
        wetness = model.slabs.wetnesses[code].now
        return 2.0 if wetness is None else wetness, natural_key(code)

    return [_slab_state(verdicts, code) for code in sorted(codes, key=driest_first)]


def _slab_state(verdicts: SlabVerdicts, code: str) -> SlabState:
    balance = verdicts.model.slabs.balances[code]
    room = verdicts.model.slabs.wetnesses[code].room_g or (None, None, None)
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
