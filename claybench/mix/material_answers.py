"""What may be answered to the question what a material is: a kind of the record, or a substance by its name."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.errors import BadInput
from claybench.mix.substances import identify, identities

KIND_ANSWERS: dict[str, str] = {
    "clay": "clay",
    "flux": "feldspar or flux",
    "filler": "sand, flint, grog or filler",
    "plasticiser": "bentonite or plasticiser",
    "colourant": "colourant",
    "deflocculant": "deflocculant",
    "flocculant": "flocculant",
    "other": "unknown",
}
"""Kinds of a material, each as it is offered; what counts as `other` is unknown: its safety data sheet says it."""
CHOICES = tuple(KIND_ANSWERS.values())
_ALSO = {"other": "other", "colorant": "colourant", "plasticizer": "plasticiser"}


def _kinds_by_word() -> dict[str, str]:
    by_word = dict(_ALSO)
    for kind, offered in KIND_ANSWERS.items():
        by_word |= dict.fromkeys((offered, *offered.replace(" or ", ", ").split(", ")), kind)
    return by_word


_KINDS = _kinds_by_word()


@dataclass(frozen=True, slots=True)
class MaterialAnswer:
    """What a material was said to be: of a kind, or a substance of the table."""

    kind: str | None = None
    substance: str | None = None
    """Its name as typed."""

    def columns(self, caution: str | None) -> dict[str, str]:
        """Columns of the material that say it, where `caution` is what the lab's own caution says so far.

        >>> MaterialAnswer(kind="flux").columns("dusty"), MaterialAnswer(substance="lead oxide").columns("dusty")
        ({'kind': 'flux'}, {'caution': 'dusty; is lead oxide'})
        """
        if self.kind is not None:
            return {"kind": self.kind}
        said = f"is {self.substance}"
        return {"caution": f"{caution.strip()}; {said}" if caution and caution.strip() else said}

    def is_said_by(self, kind: str | None, caution: str | None) -> bool:
        """Whether a material of this kind and caution says so already."""
        if self.kind is not None:
            return kind == self.kind
        return set(identify(self.substance or "").substances) <= set(identities("", caution).substances)


def read_material_answer(text: str) -> MaterialAnswer:
    """A kind, by its own word or by one that is offered for it, or else the name of a substance.

    >>> read_material_answer("A feldspar").kind, read_material_answer("lead carbonate").substance
    ('flux', 'lead carbonate')

    Raises
    ------
    BadInput
        Neither a kind nor the name of a substance of the table.
    """
    said = " ".join(text.split())
    words = said.casefold().removeprefix("is ").removeprefix("a ").removeprefix("an ")
    if words in _KINDS:
        return MaterialAnswer(kind=_KINDS[words])
    named = said[3:].strip() if said.casefold().startswith("is ") else said
    found = identify(named)
    if not found.known:
        raise BadInput(
            f"'{said}' is no substance that is known here." if said else "nothing is named.",
            f"Say {'; '.join(CHOICES)}; or a substance by its name or formula.",
        )
    if identities("", f"is {named}").substances != found.substances:
        raise BadInput(
            f"'{said}' is too long to be kept as what it is.", "Say its name alone, without a comma or point."
        )
    return MaterialAnswer(substance=named)
