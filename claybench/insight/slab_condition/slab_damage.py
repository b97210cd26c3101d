"""What may have hurt a slab's plaster: a chip or frost until somebody looked it over, heat until it was weighed dry.

Looked over and found clean, it is only remembered in the log. What heat took stays true of the plaster.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, time, tzinfo

from claybench import clock
from claybench.facts.safety import HOTTEST_AIR_C
from claybench.insight.date_words import day_and_month
from claybench.insight.drying.due import DueTask
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.slab_condition.damage_follow_up import LOOKED_AT, face_named, faces_left
from claybench.insight.slab_condition.dry_mass_change import change_over, strength_of_change
from claybench.insight.slab_condition.verdict import Evidence, SlabVerdict
from claybench.insight.slab_water.heat_and_frost import HarmfulSpan, cold_spans, hot_spans
from claybench.insight.slab_water.water_balance import SlabWaterBalance
from claybench.quantity.shown import show
from claybench.terms import SlabEvent

CHIP_STRENGTH = 0.5
"""Of one chip; each further one leaves half of the doubt. A choice."""
_MOST_BY_CHIPS = 0.9
FROST_STRENGTH = 0.5
UNWEIGHED_HEAT_STRENGTH = 0.5
"""Of heat after which nobody tested the slab: a choice."""
_FAINT_HEAT_STRENGTH = 0.3
"""Of heat after which a test was made that does not tell how much plaster has changed: a choice."""
_LOOKED_OVER_FOR = ("chips", "frost")
"""Evidence that holds until somebody has looked over the face."""
_WET_FROM = 0.2
"""Wetness from which frost may split a face; from memory."""


def damage_evidence(model: LabModel, slab: str, *, at: datetime | None = None) -> list[Evidence]:
    """All of it for one slab, at the model's moment or an earlier one."""
    balance = model.slabs.balances[slab]
    events = [event for event in balance.bare_events if at is None or event.at <= at]
    return [
        *_chips(balance, events, model),
        *_heat(balance, events, model, at),
        *_frost(balance, events, model, at),
    ]


def look_over_tasks(verdicts: Iterable[SlabVerdict], zone: tzinfo) -> Iterator[DueTask]:
    """Slabs whose face somebody has to look over: chipped, or split by frost, and not looked over since."""
    for verdict in verdicts:
        code = verdict.slab.slab
        for each in verdict.evidence:
            if each.kind in _LOOKED_OVER_FOR and each.since is not None:
                face = f"the {each.face} face of " if each.face else ""
                text = f"look over {face}{code}: {each.text}"
                yield DueTask("look_over", datetime.combine(each.since, time(), zone), text, code)


def _chips(balance: SlabWaterBalance, events: Sequence[SlabEvent], model: LabModel) -> list[Evidence]:
    """Chips by the face they are on, until somebody has looked over it."""
    by_face: dict[str | None, list[SlabEvent]] = defaultdict(list)
    for event in events:
        if event.event != "chipped" or not _was_cast_by(balance, event.at):
            continue
        left = faces_left(event.face, event.at, events, *LOOKED_AT)
        if left:
            by_face[face_named(left)].append(event)
    out = []
    for face, chips in by_face.items():
        last = chips[-1]
        number = sum(max(event.count or 1, 1) for event in chips)
        often = "" if number == 1 else f", {number} chips"
        said = f"chipped {day_and_month(last.at, model.zone)}{often}"
        note = f" ({last.note})" if last.note else ""
        strength = min(1 - (1 - CHIP_STRENGTH) ** number, _MOST_BY_CHIPS)
        since = clock.in_zone(chips[0].at, model.zone).date()
        out.append(Evidence("chips", face, since, strength, f"{said} and not looked over since{note}", str(last.at)))
    return out


def _heat(
    balance: SlabWaterBalance, events: Sequence[SlabEvent], model: LabModel, at: datetime | None
) -> list[Evidence]:
    """The heat that a slab stood in, by what was weighed or tested since; the stronger of the two."""
    spans = hot_spans(balance.slab, events, balance.air, at)
    weighed_at = max((event.at for event in events if event.event == "weighed_dry"), default=None)
    settled = [span for span in spans if weighed_at is not None and weighed_at > span.last_moment]
    found = [_weighed_heat(balance, events, settled, model), _pending_heat(events, spans[len(settled) :], model)]
    return sorted((each for each in found if each is not None), key=lambda each: each.strength)[-1:]


def _weighed_heat(
    balance: SlabWaterBalance, events: Sequence[SlabEvent], spans: Sequence[HarmfulSpan], model: LabModel
) -> Evidence | None:
    """Heat after which the slab was weighed dry: only what it took is held against it."""
    if not spans:
        return None
    strength, said = _FAINT_HEAT_STRENGTH, "what it weighed dry before, nobody knows"
    change = change_over(events, balance.slab.dry_mass_g, spans[0].begin, spans[-1].last_moment, balance.steps)
    if change is not None:
        if change.unexplained_g < change.least_g:
            return None
        strength, said = strength_of_change(change), change.bound_water_text
    since = clock.in_zone(spans[0].begin, model.zone).date()
    return Evidence("heat", None, since, strength, f"{_stood_in(spans, model)}; {said}", f"{spans[-1].begin} weighed")


def _pending_heat(events: Sequence[SlabEvent], spans: Sequence[HarmfulSpan], model: LabModel) -> Evidence | None:
    """Heat after which nobody weighed the slab dry; a ring test says that it still drinks, not what it has lost."""
    if not spans:
        return None
    tested = any(event.event == "ring_test" and event.at > spans[-1].last_moment for event in events)
    strength = _FAINT_HEAT_STRENGTH if tested else UNWEIGHED_HEAT_STRENGTH
    since = clock.in_zone(spans[0].begin, model.zone).date()
    return Evidence(
        "heat", None, since, strength, f"{_stood_in(spans, model)}; not weighed dry since", str(spans[-1].begin)
    )


def _stood_in(spans: Sequence[HarmfulSpan], model: LabModel) -> str:
    """The heat in words, the hottest that was read."""
    read = [span.temp_c for span in spans if span.temp_c is not None]
    when = day_and_month(spans[-1].begin, model.zone)
    limit = f"above {show(HOTTEST_AIR_C.value, '°C', digits=0)} plaster loses bound water"
    if not read:
        return f"overheated {when}: {limit}"
    return f"stood in {show(max(read), '°C', digits=0)} {when}: {limit}"


def _frost(
    balance: SlabWaterBalance, events: Sequence[SlabEvent], model: LabModel, at: datetime | None
) -> list[Evidence]:
    """Frost on a wet slab, on the faces that nobody looked over since."""
    spans = cold_spans(balance.slab, events, balance.air, at)
    pending = [(span, left) for span in spans if (left := faces_left(None, span.last_moment, events, *LOOKED_AT))]
    pending = [(span, left) for span, left in pending if _stood_wet(balance, span, model)]
    if not pending:
        return []
    last, left = pending[-1]
    day = day_and_month(last.begin, model.zone)
    unknown = model.wetness_at(balance.slab.slab, last.begin) is None
    how = f"in frost {day}, how wet nobody knows" if unknown else f"wet in frost {day}"
    text = f"stood {how}: its face may have split"
    since = clock.in_zone(pending[0][0].begin, model.zone).date()
    faces = frozenset[str]().union(left, *(each for _, each in pending))
    return [Evidence("frost", face_named(faces), since, FROST_STRENGTH, text, str(last.begin))]


def wet_frosts(model: LabModel, slab: str) -> list[HarmfulSpan]:
    """When a slab stood in frost with water in it, in order."""
    balance = model.slabs.balances[slab]
    spans = cold_spans(balance.slab, balance.events, balance.air)
    return [span for span in spans if _stood_wet(balance, span, model)]


def _stood_wet(balance: SlabWaterBalance, span: HarmfulSpan, model: LabModel) -> bool:
    """Whether a slab held water to freeze when a frost began or ended; where nobody knows, it may have."""
    shares = (model.wetness_at(balance.slab.slab, moment) for moment in dict.fromkeys((span.begin, span.end)))
    return any(share is None or share >= _WET_FROM for share in shares)


def _was_cast_by(balance: SlabWaterBalance, moment: datetime) -> bool:
    """Whether it was there at a moment; always where nobody wrote when it was cast."""
    return balance.slab.cast_at is None or clock.has_come(balance.slab.cast_at, moment)
