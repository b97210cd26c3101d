"""What somebody saw on a slab or did to it: wrong clay, salts, a break, and the deflocculant its layers brought.

Resurfacing ends all of it, since it takes the face away that bore it. Chips, heat and frost are in `slab_damage`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Protocol, TypeVar

from claybench import clock
from claybench.facts.plaster import SALTS_SHOWN, SALTS_WORN
from claybench.facts.practice import STAINING_CLAY_STRENGTH
from claybench.insight.date_words import day_and_month
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.slab_condition.damage_follow_up import (
    RENEWS,
    WASHED,
    face_named,
    faces_left,
    resurfaced_at,
    was_looked_after,
)
from claybench.insight.slab_condition.verdict import Evidence
from claybench.quantity.shown import plain, show
from claybench.terms import Slab, SlabEvent

T = TypeVar("T", bound="_OnFace")

_SEEN = (
    ("salts", "salts", 0.6),
    ("stained", "wrong_clay", 0.4),
    ("broken", "chips", 1.0),
)
"""Event, kind of evidence, strength; the strengths are a choice."""
_ENDS = {"salts": WASHED}
"""What ends a thing seen, where it is more than making the face anew."""


def observed_evidence(
    slab: Slab, events: Sequence[SlabEvent], ranks: Mapping[str, int], runs: Sequence[PouredLayer], model: LabModel
) -> list[Evidence]:
    """All of it, for one slab with its own events and runs."""
    ordered = sorted(events, key=lambda event: event.at)
    renewed = resurfaced_at(ordered)
    own = [
        replace(event, face=_face_left(event, ordered))
        for event in ordered
        if not (event.event == "broken" and renewed is not None and renewed > event.at)
        and not was_looked_after(event.face, event.at, ordered, *_ENDS.get(event.event, RENEWS))
    ]
    layers = [each for each in runs if not was_looked_after(each.run.face, each.run.started_at, ordered, *RENEWS)]
    out = [*_wrong_clay(slab, own, ranks, layers, model), *_salts_brought(slab, layers, model)]
    for event, kind, strength in _SEEN:
        for face, seen in _by_face([each for each in own if each.event == event]).items():
            last = seen[-1]
            text = " ".join(filter(None, (event, day_and_month(last.at, model.zone), last.note and f"({last.note})")))
            since = clock.in_zone(seen[0].at, model.zone).date()
            out.append(Evidence(kind, face, since, strength, text, f"{kind} {last.at}"))
    return out


class _OnFace(Protocol):
    """Something that is said of a face."""

    @property
    def face(self) -> str | None:
        """The face; None where it was not told."""


def _by_face(seen: Iterable[T]) -> dict[str | None, list[T]]:
    """What was seen, by the face it was seen on."""
    faces: dict[str | None, list[T]] = {}
    for each in seen:
        faces.setdefault(each.face, []).append(each)
    return faces


def _face_left(event: SlabEvent, events: Sequence[SlabEvent]) -> str | None:
    """The face on which what was seen is still; None where it may be either."""
    return face_named(faces_left(event.face, event.at, events, *_ENDS.get(event.event, RENEWS)))


@dataclass(frozen=True, slots=True)
class _StainingClay:
    """One time that clay which stains more than the slab's own dried on it."""

    at: datetime
    what: str
    face: str | None
    logged: bool
    """Whether it was logged, rather than poured as a run."""


def _wrong_clay(
    slab: Slab, events: Sequence[SlabEvent], ranks: Mapping[str, int], layers: Sequence[PouredLayer], model: LabModel
) -> list[Evidence]:
    """Clay that stains more than the slab's own family does, the newest on each face."""
    own = ranks.get(slab.family or "", 0)
    wrong = [
        _StainingClay(event.at, event.family, event.face, logged=True)
        for event in events
        if event.event == "other_clay" and event.family and ranks.get(event.family, 0) > own
    ]
    for each in layers:
        body = each.body
        if body is None:
            continue
        rank = body.stain_rank if body.stain_rank is not None else ranks.get(body.family or "", 0)
        if rank > own:
            wrong.append(_StainingClay(each.run.started_at, body.family or body.body, each.run.face, logged=False))
    wrong.sort(key=lambda each: each.at)
    return [_wrong_clay_on(face, dried, model) for face, dried in _by_face(wrong).items()]


def _wrong_clay_on(face: str | None, dried: Sequence[_StainingClay], model: LabModel) -> Evidence:
    first, last = dried[0].at, dried[-1]
    # A layer that was answered for is not asked about again by the evidence it makes itself; clay that is logged is.
    logged = max((each.at for each in dried if each.logged), default=None)
    often = f", {len(dried)} times since {day_and_month(first, model.zone)}" if len(dried) > 1 else ""
    text = f"{last.what} clay dried on it {day_and_month(last.at, model.zone)}{often}"
    since = clock.in_zone(first, model.zone).date()
    return Evidence("wrong_clay", face, since, STAINING_CLAY_STRENGTH.value, text, f"wrong_clay {logged or first}")


def _salts_brought(slab: Slab, layers: Sequence[PouredLayer], model: LabModel) -> list[Evidence]:
    """Deflocculant and other salts that its layers brought to each face, added up: they stay there when the water has
    gone. A layer of which nobody wrote the face may have lain on either, and counts for both."""
    size = model.slabs.balances[slab.slab].size
    by_face: dict[str | None, list[tuple[datetime, float]]] = defaultdict(list)
    for each in layers:
        grams = model.salts.mass_in_layer_g(each.run.batch, each.layer, size.layer_cm2)
        if grams > 0:
            by_face[each.run.face].append((each.run.started_at, grams))
    untold = by_face.pop(None, [])
    brought = {face: [*own, *untold] for face, own in by_face.items()} or ({None: untold} if untold else {})
    out = []
    for face, portions in brought.items():
        total, area = sum(grams for _, grams in portions), size.face_cm2 / 1e4
        if total / area < SALTS_SHOWN.value:
            continue
        often = f"{len(portions)} layer{'' if len(portions) == 1 else 's'}"
        text = (
            f"{show(total, 'g', digits=0)} of deflocculant and salts in {often}: "
            f"{show(total / area, 'g/m²', digits=0)}, worn from about {plain(SALTS_WORN.value, 0)} "
            f"({SALTS_WORN.origin})"
        )
        since = clock.in_zone(min(at for at, _ in portions), model.zone).date()
        fact = str(since) if len(brought) == 1 else f"{since} {face}"
        out.append(Evidence("salts", face, since, min(total / area / SALTS_WORN.value, 1.0), text, fact))
    return out
