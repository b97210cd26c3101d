"""What state a slab is in and what its wetness means for the next layer."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from claybench.errors import Question
from claybench.insight.settings import Settings
from claybench.insight.slab_condition.ready_again import ReadyAgain
from claybench.insight.slab_water.dry_out_estimate import ready_wetness
from claybench.insight.slab_water.wetness import Wetness
from claybench.insight.time_spans import is_in_service
from claybench.quantity.shown import format_interval, percent
from claybench.terms import Slab, SlabEvent


@dataclass(frozen=True, slots=True)
class Evidence:
    """One thing that speaks for a verdict."""

    kind: str
    """wetness, slow, dry_mass, ring_test, wrong_clay, salts, faults, chips, heat or frost."""
    face: str | None
    since: date | None
    strength: float
    """0 to 1."""
    text: str
    fact: str = ""
    """What an answer to it rests on; its kind and the day it began where empty."""

    @property
    def strength_word(self) -> str:
        """How strong it is, in a word.

        >>> Evidence("slow", None, None, 0.9, "").strength_word
        'strong'
        """
        return "strong" if self.strength >= 0.67 else "clear" if self.strength >= 0.34 else "faint"


NO_KINDS = frozenset({"retired", "broken", "no_room"})
"""Kinds of reason that make the grade `no`."""


_EVIDENT = frozenset({"suspect", "salts", "chipped", "overheated", "frozen"})
"""Kinds of reason whose sentence is that of the slab's evidence."""


@dataclass(frozen=True, slots=True)
class Fitness:
    """Whether a layer may go on a slab, and all that speaks against it, the gravest first."""

    grade: str
    """fine, ask or no."""
    reasons: tuple[Question, ...] = ()

    @property
    def texts(self) -> tuple[str, ...]:
        """The reasons as sentences."""
        return tuple(reason.text for reason in self.reasons)

    def of_kind(self, *kinds: str) -> tuple[Question, ...]:
        """The reasons of some kinds."""
        return tuple(reason for reason in self.reasons if reason.kind in kinds)

    @property
    def sentence(self) -> str:
        """The whole answer in one sentence.

        >>> Fitness("fine").sentence
        'A layer may go on it.'
        """
        if self.grade == "fine":
            return "A layer may go on it."
        # What stands among the evidence beside it is named by its word alone.
        each = (r.kind if r.kind in _EVIDENT else r.short or r.text.rstrip(".") for r in self.reasons)
        said = "; ".join(dict.fromkeys(each))
        return f"No layer goes on it: {said}." if self.grade == "no" else f"Asked about before a layer: {said}."


@dataclass(frozen=True, slots=True)
class SlabVerdict:
    """A slab at a moment, in the words of the slabs list."""

    slab: Slab
    state: str
    """drying (not yet in service), in_use (something lies on it) or idle."""
    verdict: str | None
    """ready, damp, saturated or suspect; None where nothing is known."""
    wetness: Wetness
    evidence: tuple[Evidence, ...]
    advice: str
    again: ReadyAgain
    """When it is ready again, or dry."""
    layer: Fitness = Fitness("fine")
    """Whether a layer of its own family may go on it."""


def state_of(slab: Slab, in_use: bool, has_run: bool, at: datetime) -> str:
    """Whether a slab is still drying after casting, has something on it, or lies idle."""
    if in_use:
        return "in_use"
    if not is_in_service(slab, at) and slab.cast_at is not None and not has_run:
        return "drying"
    return "idle"


def verdict_by_wetness(wetness: Wetness, settings: Settings) -> str | None:
    """ready, damp or saturated by wetness alone."""
    if wetness.now is None:
        return None
    if wetness.now >= settings.number_of("saturated_from"):
        return "saturated"
    return "damp" if wetness.now >= ready_wetness(settings) else "ready"


def wetness_evidence(wetness: Wetness) -> Evidence | None:
    """Evidence of the slab's wetness and dry mass."""
    if wetness.now is None or wetness.low is None or wetness.high is None:
        return None
    text = (
        f"{percent(wetness.now)} wet "
        f"({format_interval(100 * wetness.low, 100 * wetness.high, '%', digits=0, tight=True)}), "
        f"dry mass {'unknown' if wetness.dry is None else wetness.dry.basis}"
    )
    since = wetness.last_weighed.date() if wetness.last_weighed else None
    return Evidence("wetness", None, since, wetness.now, text)


SUSPECT_FROM: Mapping[str, float] = {
    "slow": 0.0,
    "ring_test": 0.0,
    "wrong_clay": 0.0,
    "faults": 0.0,
    "chips": 0.0,
    "frost": 0.0,
    "heat": 0.5,
    "salts": 2 / 3,
}
"""By kind of evidence, the strength from which it makes a slab suspect whatever its wetness: a choice.

The first four are only said beyond what chance explains. A chip or frost that nobody looked over may put plaster into
clay, and a look ends it. Heat counts until the slab is weighed dry, then if much bound water is gone; salts where they
are strong, since every slip brings some. Wetness has verdicts of its own, and a dry mass that moved was as likely read
before the slab was dry.
"""


def makes_suspect(evidence: Evidence) -> bool:
    """Whether evidence makes a slab suspect."""
    return evidence.strength >= SUSPECT_FROM.get(evidence.kind, math.inf)


READINESS = ("ready", "damp", "saturated", "suspect")
"""Verdicts in the order in which a layer would rather go on the slab."""


WETTEST_FOR_RING = 0.5
"""Above this wetness a ring test says more of the water than of the slab."""


def advise_on_slab(
    verdict: str | None,
    wetness: Wetness,
    again: ReadyAgain,
    evidence: Sequence[Evidence],
    in_use: bool,
    events: Sequence[SlabEvent] = (),
    layer: Fitness = Fitness("fine"),
) -> str:
    """One sentence of advice; `again` says when it will be dry, `layer` whether one of its own family may go on it."""
    if any(each.kind == "chips" and each.strength >= 1 for each in evidence):
        return "Retire it: it is broken."
    if verdict == "suspect":
        return _advise_on_suspect(wetness, again, evidence, events)
    if layer.of_kind("first_drying"):
        when = f": {again.sentence}" if again.sentence else ""
        return f"Dry it until two weighings a day apart agree, then take it into service{when}."
    if verdict is None and not in_use:
        return "Weigh it now, and again when it stops losing weight."
    if in_use:
        return "A layer lies on it."
    if layer.of_kind("salts"):
        worst = max((each for each in evidence if each.kind == "salts"), key=lambda each: each.strength)
        return _SUSPECT["salts"].format(face=_face(worst))
    if verdict == "ready":
        return "Ready for a layer."
    return f"{_dry_it(wetness, again)}."


def _advise_on_suspect(
    wetness: Wetness, dries: ReadyAgain, evidence: Sequence[Evidence], events: Sequence[SlabEvent]
) -> str:
    kinds = {each.kind for each in evidence}
    worst = max((each for each in evidence if makes_suspect(each)), key=lambda each: each.strength)
    again = any(event.event == "resurfaced" for event in events)
    if {"slow", "ring_test"} <= kinds or worst.kind == "ring_test":
        if again:
            return "Retire it: it has gone slow again since it was resurfaced."
        return f"Resurface {_face(worst)}, and do the ring test again."
    if worst.kind == "slow":
        if wetness.now is not None and wetness.now > WETTEST_FOR_RING and dries.awaited:
            return f"{_dry_it(wetness, dries)}, then do a ring test (o on its page)."
        return "Do a ring test (o on its page): if that is slow, too, resurface it."
    if again and worst.kind == "faults":
        return "Retire it: faults have come back since it was resurfaced."
    if worst.kind == "heat" and _was_weighed_since(worst, events):
        return "Do a ring test: if it has gone slow, or its face powders, retire it."
    return _SUSPECT[worst.kind].format(face=_face(worst))


def _was_weighed_since(evidence: Evidence, events: Sequence[SlabEvent]) -> bool:
    days = [event.at.date() for event in events if event.event == "weighed_dry"]
    return evidence.since is not None and any(day >= evidence.since for day in days)


_SUSPECT = {
    "wrong_clay": "Keep it for the darker family from now on, or resurface {face}.",
    "faults": "Look over its surface, resurface it, and look at the next pieces.",
    "chips": "Look over {face} for loose plaster, clean it, and log that it was looked over.",
    "salts": "Clean or resurface {face} before the next layer: salts have come to it.",
    "heat": "Weigh it dry and do a ring test: heat may have taken bound water from its plaster.",
    "frost": "Look over both its faces for loose plaster and log it: frost may have split them.",
}
"""By kind of evidence, what to do about it on the face that it belongs to."""


def _face(evidence: Evidence) -> str:
    return "it" if evidence.face is None else f"its {evidence.face} face"


def _where(wetness: Wetness) -> str:
    return {"fan": "before the fan", "sun": "in the sun"}.get(wetness.air.place, "where it stands")


def _dry_it(wetness: Wetness, again: ReadyAgain) -> str:
    if again.known and again.awaited_at is None:
        return "Dry it in drier or moving air: where it stands it does not dry"
    return f"Dry it {_where(wetness)}" + (f": {again.sentence}" if again.sentence else "")
