"""What somebody saw on a slab or did to it: wrong clay, chips, salts, and the deflocculant its layers brought.

Resurfacing ends all of it, since it takes the face away that bore it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from claybench.facts.plaster import SALTS_SHOWN, SALTS_WORN
from claybench.facts.practice import STAINING_CLAY_STRENGTH
from claybench.insight.date_words import day_and_month
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.slab_condition.verdict import Evidence
from claybench.quantity.shown import plain, show
from claybench.terms import Slab, SlabEvent

_SEEN = (
    ("chipped", "chips", 0.5),
    ("salts", "salts", 0.6),
    ("stained", "wrong_clay", 0.4),
    ("broken", "chips", 1.0),
)
"""Event, kind of evidence, strength; the strengths are a choice."""
_RENEWS = ("resurfaced",)
_ENDS = {"salts": ("resurfaced", "cleaned")}
"""What ends a thing seen, where it is more than making the face anew."""


def resurfaced_at(events: Iterable[SlabEvent]) -> datetime | None:
    """When a slab was last resurfaced."""
    return max((event.at for event in events if event.event == "resurfaced"), default=None)


def may_be_same_face(one: str | None, other: str | None) -> bool:
    """Whether what is said of one face may be of another: it is, where either is not told."""
    return one is None or other is None or one == other


def was_looked_after(what: str | None, at: datetime, events: Iterable[SlabEvent], *words: str) -> bool:
    """Whether something seen on a face, or on the whole slab where None, was looked after later: by one of these
    events on that face, or on no face that is told."""
    return any(
        event.event in words and event.at > at and (event.face is None or event.face == what) for event in events
    )


def observed_evidence(
    slab: Slab, events: Sequence[SlabEvent], ranks: Mapping[str, int], runs: Sequence[PouredLayer], model: LabModel
) -> list[Evidence]:
    """All of it, for one slab with its own events and runs."""
    ordered = sorted(events, key=lambda event: event.at)
    renewed = resurfaced_at(ordered)
    own = [
        event
        for event in ordered
        if not (event.event == "broken" and renewed is not None and renewed > event.at)
        and not was_looked_after(event.face, event.at, ordered, *_ENDS.get(event.event, _RENEWS))
    ]
    layers = [each for each in runs if not was_looked_after(each.run.face, each.run.started_at, ordered, *_RENEWS)]
    brought = [_wrong_clay(slab, own, ranks, layers, model), _salts_brought(slab, layers, model)]
    out = [each for each in brought if each is not None]
    for event, kind, strength in _SEEN:
        seen = [each for each in own if each.event == event]
        if seen:
            last = seen[-1]
            text = " ".join(filter(None, (event, day_and_month(last.at, model.zone), last.note and f"({last.note})")))
            out.append(Evidence(kind, last.face, seen[0].at.date(), strength, text, f"{kind} {last.at}"))
    return out


def _wrong_clay(
    slab: Slab, events: Sequence[SlabEvent], ranks: Mapping[str, int], layers: Sequence[PouredLayer], model: LabModel
) -> Evidence | None:
    """Clay that stains more than the slab's own family does, the newest of it."""
    own = ranks.get(slab.family or "", 0)
    wrong = [
        (event.at, event.family, event.face)
        for event in events
        if event.event == "other_clay" and event.family and ranks.get(event.family, 0) > own
    ]
    for each in layers:
        body = each.body
        if body is None:
            continue
        rank = body.stain_rank if body.stain_rank is not None else ranks.get(body.family or "", 0)
        if rank > own:
            wrong.append((each.run.started_at, f"{body.family or body.body}", each.run.face))
    if not wrong:
        return None
    wrong.sort(key=lambda each: each[0])
    at, what, face = wrong[-1]
    logged = max((event.at for event in events if event.event == "other_clay"), default=None)
    often = f", {len(wrong)} times since {day_and_month(wrong[0][0], model.zone)}" if len(wrong) > 1 else ""
    text = f"{what} clay dried on it {day_and_month(at, model.zone)}{often}"
    # A layer that was answered for is not asked about again by the evidence it makes itself; clay that is logged is.
    return Evidence(
        "wrong_clay",
        face,
        wrong[0][0].date(),
        STAINING_CLAY_STRENGTH.value,
        text,
        f"wrong_clay {logged or wrong[0][0]}",
    )


def _salts_brought(slab: Slab, layers: Sequence[PouredLayer], model: LabModel) -> Evidence | None:
    """Deflocculant and other salts that its layers brought, added up: they stay in the face when the water has gone."""
    by_face: dict[str | None, float] = defaultdict(float)
    since: datetime | None = None
    count = 0
    for each in layers:
        grams = model.salts.mass_in_layer_g(each.run.batch, each.layer, model.slabs.balances[slab.slab].size.layer_cm2)
        if grams > 0:
            by_face[each.run.face] += grams
            since = since or each.run.started_at
            count += 1
    total = sum(by_face.values())
    area = model.slabs.balances[slab.slab].size.face_cm2 / 1e4
    if since is None or total / area < SALTS_SHOWN.value:
        return None
    face, most = max(by_face.items(), key=lambda pair: pair[1])
    text = (
        f"{show(total, 'g', digits=0)} of deflocculant and salts in {count} layers: "
        f"{show(total / area, 'g/m²', digits=0)}, worn from about {plain(SALTS_WORN.value, 0)} ({SALTS_WORN.origin})"
    )
    strength = min(total / area / SALTS_WORN.value, 1.0)
    return Evidence("salts", face if most > 0.9 * total else None, since.date(), strength, text)
