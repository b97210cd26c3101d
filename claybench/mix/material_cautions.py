"""Cautions of materials: the lab's own words first, then what is known of the substances, silica and unknowns in them.

Materials that hurt in one way share one sentence. Which substances there are, and where that was read, stands in
`facts.substances`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from claybench.facts.fact import Fact, Origin
from claybench.facts.substance import LEAVING, Leaving, Substance
from claybench.facts.substances import SUBSTANCES
from claybench.mix.substances import SILICA_KINDS, Identity, identities
from claybench.quantity.shown import join_words, show


@dataclass(frozen=True, slots=True)
class Caution:
    """One sentence of care, and how it is known."""

    text: str
    source: str
    """Where it was read; empty for common practice."""
    origin: Origin
    key: str
    """What it is of, in one stable word: a hazard or a substance; `own:` and the materials for the lab's own words."""

    of_case: bool = False
    """Whether it follows from the numbers of one sizing, and not from the act or its materials."""

    def line(self) -> str:
        """The sentence with its origin, for screen and paper."""
        return f"{self.text} ({self.source or self.origin})"


@dataclass(frozen=True, slots=True)
class MaterialCare:
    """What the lab says of a material that bears on care."""

    kind: str | None = None
    """What it is, in the words of the record."""
    caution: str | None = None
    """The lab's own caution."""


_BOUND = " In a frit or a stain it is bound: it dissolves less, and dust and fire can still set it free."
_SILICA = (
    "Dust of clay, feldspar, flint and grog brings fine silica, which scars lungs and can cause cancer: fitted mask."
)
"""Without the names of materials: it is the same for all of them, and seen once is seen."""
_LEACHES = "A body or glaze with it is not for food before a leach test."


def handling_cautions(materials: Mapping[str, MaterialCare]) -> tuple[Caution, ...]:
    """Cautions of materials that are weighed, mixed or stored.

    >>> cautions = handling_cautions({"flint": MaterialCare(caution="sharp"), "litharge": MaterialCare()})
    >>> [caution.key for caution in cautions]
    ['own:flint', 'lead', 'silica']
    """
    named = _identified(materials)
    return (*_own(materials), *_known(named), *_silica(materials, named), *_unnamed(materials, named))


def wet_cautions(materials: Mapping[str, MaterialCare]) -> tuple[Caution, ...]:
    """Cautions of materials in slip or plastic clay, which raises no dust: those of hands and skin stay.

    >>> [caution.key for caution in wet_cautions({"flint": MaterialCare(caution="sharp"), "litharge": MaterialCare()})]
    ['own:flint', 'lead']
    """
    named = _identified(materials)
    return (*_own(materials), *_known(named), *_unnamed(materials, named))


def firing_cautions(materials: Mapping[str, MaterialCare]) -> tuple[Caution, ...]:
    """Cautions of materials in a kiln: the lab's own, and what leaves them.

    >>> [caution.key for caution in firing_cautions({"gypsum": MaterialCare(), "flint": MaterialCare()})]
    ['leaves:sulphur']
    """
    named = _identified(materials)
    leaving = (_leaving(LEAVING[key], names) for key, names in _leaving_sources(materials, named).items())
    return (*_own(materials), *leaving, *_unnamed(materials, named, "what leaves it in a kiln"))


def _leaving_sources(materials: Mapping[str, MaterialCare], named: Mapping[str, Identity]) -> dict[str, list[str]]:
    """What leaves the kiln, by its key, the worst first, with the materials that it leaves."""
    leaves = {
        name: {key for each in named[name].substances for key in each.leaves} or _leaves_by_kind(care, named[name])
        for name, care in materials.items()
    }
    sources = {key: [name for name, keys in leaves.items() if key in keys] for key in LEAVING}
    return {key: names for key, names in sources.items() if names}


def _leaves_by_kind(care: MaterialCare, identity: Identity) -> set[str]:
    return {"clay_gases"} if care.kind in ("clay", "plasticiser") and not identity.known else set()


def label_texts(materials: Mapping[str, MaterialCare]) -> tuple[str, ...]:
    """The cautions of a label's materials without their names; what several share is said once.

    >>> label_texts({"quartz": MaterialCare(caution="sharp"), "flint": MaterialCare(caution="sharp")})
    ('sharp', 'dust brings fine silica: fitted mask')
    """
    named = _identified(materials)
    own = _own_texts(materials)
    known = [f"{_called(each)} {_says(each)}" for each, _ in _by_substance(named)]
    silica = ["dust brings fine silica: fitted mask"] if _silica_names(materials, named) else []
    unnamed = ["read its safety data sheet"] if any(_unnamed(materials, named)) else []
    return tuple(dict.fromkeys((*own, *known, *silica, *unnamed)))


def label_names(materials: Mapping[str, MaterialCare]) -> tuple[str, ...]:
    """What a label with little room warns of: the lab's own words, then each hazard by its name alone.

    >>> label_names({"red lead": MaterialCare(), "flint": MaterialCare(caution="sharp"), "grey stuff": MaterialCare()})
    ('sharp', 'lead', 'fine silica', 'something that nobody knows')
    """
    named = _identified(materials)
    own = _own_texts(materials)
    known = [_called(each) for each, _ in _by_substance(named)]
    silica = ["fine silica"] if _silica_names(materials, named) else []
    unnamed = ["something that nobody knows"] if any(_unnamed(materials, named)) else []
    return tuple(dict.fromkeys((*own, *known, *silica, *unnamed)))


def firing_label_texts(materials: Mapping[str, MaterialCare]) -> tuple[str, ...]:
    """The cautions of a firing's label: the lab's own words, and what leaves its materials in the kiln.

    >>> firing_label_texts({"gypsum": MaterialCare(caution="dusty"), "x": MaterialCare()})
    ('dusty', 'sulphur dioxide hurts lungs', 'what else leaves the kiln is not known: read the safety data sheet')
    """
    named = _identified(materials)
    said = [f"{LEAVING[key].what} {LEAVING[key].does}" for key in _leaving_sources(materials, named)]
    unnamed = ["what else leaves the kiln is not known: read the safety data sheet"]
    return tuple(dict.fromkeys((*_own_texts(materials), *said, *(unnamed if any(_unnamed(materials, named)) else []))))


def firing_label_names(materials: Mapping[str, MaterialCare]) -> tuple[str, ...]:
    """What a firing's label with little room warns of: the lab's own words, then what leaves the kiln, by name alone.

    >>> firing_label_names({"gypsum": MaterialCare(caution="dusty"), "litharge": MaterialCare(), "x": MaterialCare()})
    ('dusty', 'lead', 'sulphur dioxide', 'something that nobody knows')
    """
    named = _identified(materials)
    leaving = _leaving_sources(materials, named)
    # what leaves clays is a list of its own, too long for such a label
    said = ["gases of clay" if key == "clay_gases" else LEAVING[key].what for key in leaving]
    unnamed = ["something that nobody knows"] if any(_unnamed(materials, named)) else []
    return tuple(dict.fromkeys((*_own_texts(materials), *said, *unnamed)))


def _own_texts(materials: Mapping[str, MaterialCare]) -> list[str]:
    return [care.caution.strip() for care in materials.values() if care.caution and care.caution.strip()]


def _identified(materials: Mapping[str, MaterialCare]) -> dict[str, Identity]:
    return {name: identities(name, care.caution) for name, care in materials.items()}


def _own(materials: Mapping[str, MaterialCare]) -> Iterable[Caution]:
    saying: dict[str, list[str]] = defaultdict(list)
    for name, care in materials.items():
        if care.caution and care.caution.strip():
            saying[care.caution.strip()].append(name)
    for said, names in saying.items():
        yield Caution(
            f"{_listed(names)}: {said}", "the lab's own record", Origin.COMMON_PRACTICE, f"own:{_listed(names)}"
        )


def _by_substance(named: Mapping[str, Identity]) -> list[tuple[Substance, list[str]]]:
    """Each substance that hurts by more than dust, with the materials that hold it; the worst first."""
    holding: dict[str, list[str]] = defaultdict(list)
    for name, identity in named.items():
        for each in identity.substances:
            if each.hazard:
                holding[each.key].append(name)
    return [(each, holding[each.key]) for each in SUBSTANCES if each.key in holding]


def _called(substance: Substance) -> str:
    """What it is called in a sentence, by its key."""
    return substance.key.replace("_vi", "(VI)").replace("_", " ")


def _says(substance: Substance) -> str:
    return "; ".join(filter(None, (substance.hazard, substance.care)))


def _known(named: Mapping[str, Identity]) -> Iterable[Caution]:
    for substance, names in _by_substance(named):
        about, said = _called(substance), _says(substance)
        alone = len(names) == 1 and about in names[0].casefold().replace("-", " ")
        text = f"{names[0]} {said}." if alone else f"{_listed(names)}: {about} {said}."
        if substance.metal:
            text += f" {_LEACHES}"
            text += _BOUND if any(named[name].bound for name in names) else ""
        yield Caution(text + _free_of(substance, names, named), _sources(substance), substance.origin, substance.key)


def _free_of(substance: Substance, names: Sequence[str], named: Mapping[str, Identity]) -> str:
    """What a mixture without a recipe is free of by its name, which is somebody's word alone."""
    if substance.metal or len(names) > 1 or not named[names[0]].free_of:
        return ""
    return f" Its name says that it is free of {join_words([_called(each) for each in named[names[0]].free_of])}."


def _sources(substance: Substance) -> str:
    known = str(substance.origin)
    if substance.classified:
        known += f", CLP Annex VI: {substance.classified}"
    return "; ".join((known, *_limits(substance.limits)))


def _limits(limits: Iterable[Fact]) -> list[str]:
    said = []
    for each in limits:
        memory = f" {each.origin}" if each.origin is Origin.FROM_MEMORY else ""
        said.append(f"{each.name} {show(each.value, each.unit)}, {each.cited}{memory}")
    return said


def _silica_names(materials: Mapping[str, MaterialCare], named: Mapping[str, Identity]) -> list[str]:
    """Materials whose dust brings fine silica: by their name, else by their kind."""
    return [
        name
        for name, care in materials.items()
        if any(each.silica for each in named[name].substances)
        or (care.kind in SILICA_KINDS and not named[name].substances)
    ]


def _silica(materials: Mapping[str, MaterialCare], named: Mapping[str, Identity]) -> Iterable[Caution]:
    if _silica_names(materials, named):
        yield Caution(_SILICA, "", Origin.FROM_MEMORY, "silica")


def _unnamed(
    materials: Mapping[str, MaterialCare], named: Mapping[str, Identity], what: str = "what is in it"
) -> Iterable[Caution]:
    """One sentence for all of which neither the name nor the lab says what is in them; that a carbonate of something
    is a flux does not."""
    names = [
        name
        for name, care in materials.items()
        if not named[name].known and (care.kind not in SILICA_KINDS or named[name].substances)
    ]
    if names:
        text = f"{_listed(names)}: {what} is not known here; read the safety data sheet."
        yield Caution(text, "", Origin.COMMON_PRACTICE, "unknown")


def _leaving(leaving: Leaving, names: Sequence[str]) -> Caution:
    text = f"From {_listed(names)} in the kiln: {leaving.what}, which {leaving.does}."
    source = "; ".join((str(leaving.origin), *_limits(leaving.limits)))
    return Caution(text, source, leaving.origin, f"leaves:{leaving.key}")


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names)
