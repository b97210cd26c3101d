"""What a material is by the name people gave it: the substances in it, by whole words, formulas and spellings."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from claybench.facts.substance import Substance
from claybench.facts.substances import SUBSTANCES
from claybench.mix.doses import is_deflocculant
from claybench.terms.naming import edit_distance

UNSAID = "substance"
"""The kind of the question what a material is."""
SILICA_KINDS = frozenset({"clay", "plasticiser", "filler", "flux"})
"""Kinds of a material whose dust brings fine silica as a rule: clays, bentonites, flint and grog, feldspars."""

_WORD = re.compile(r"[^\W_]+")
_SPELLINGS = (("sulf", "sulph"), ("aluminum", "aluminium"), ("fiber", "fibre"))
_FUZZY = 7
"""Letters from which a word may have one slip: shorter ones are too near to other words. Common practice, no source."""
_LEFT_ALONE = frozenset({"calcine", "writing"})
"""Words that are near to a substance and are none."""
_NOT_BEFORE = frozenset({"no", "non", "not", "without", "zero"})
_NOT_AFTER = frozenset({"free", "less"})
_AND = frozenset({"and", "or"})
_BOUND = frozenset({"frit", "stain", "pigment", "encapsulated", "inclusion"})
_SAID = re.compile(r"\b(?:is|contains|holds)\s+([^;.,:]+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Identity:
    """What was found in a name."""

    substances: tuple[Substance, ...] = ()
    """The worst first."""
    bound: bool = False
    """Whether it is named as a frit or a stain, which binds its metals."""


def _phrases() -> dict[tuple[str, ...], tuple[Substance, ...]]:
    by_words: dict[tuple[str, ...], list[Substance]] = defaultdict(list)
    for substance in SUBSTANCES:
        for name in substance.names:
            by_words[tuple(name.split())].append(substance)
    return {words: tuple(substances) for words, substances in by_words.items()}


_PHRASES = _phrases()
_LONGEST = max(map(len, _PHRASES))
_VOCABULARY = frozenset(word for words in _PHRASES for word in words) | _BOUND
_LONG_WORDS = tuple(sorted(word for word in _VOCABULARY if len(word) >= _FUZZY and word.isalpha()))
_SYMBOLS = {substance.symbol: substance for substance in SUBSTANCES if substance.symbol}


@lru_cache(maxsize=4096)
def identify(name: str) -> Identity:
    """The substances that a name says, by its longest words first; what it says to be free of is left out.

    >>> [each.key for each in identify("Barium Sulfate").substances], identify("lead-free").substances
    (['barium_sulphate'], ())
    >>> [each.key for each in identify("red lead frit (Pb3O4)").substances], identify("red lead frit").bound
    (['lead', 'frit'], True)
    """
    typed = _WORD.findall(unicodedata.normalize("NFKC", name))
    words = [_known_spelling(word) for word in typed]
    spans = _spans(words)
    denied = _denied(words, spans)
    found = [each for span in spans if span not in denied for each in _PHRASES[tuple(words[span[0] : span[1]])]]
    free = {span[0] for span in denied}
    found += [_SYMBOLS[word] for at, word in enumerate(typed) if word in _SYMBOLS and at not in free]
    ordered = tuple(each for each in SUBSTANCES if each in found)
    return Identity(ordered, any(word in _BOUND for word in words))


def identities(name: str, caution: str | None = None) -> Identity:
    """What a material is by its name and by what the lab says it is: "is manganese dioxide", "contains lead"."""
    found = [identify(name), *(identify(said) for said in _SAID.findall(caution or ""))]
    keys = {each.key for one in found for each in one.substances}
    return Identity(tuple(each for each in SUBSTANCES if each.key in keys), any(one.bound for one in found))


def is_named(name: str, kind: str | None, caution: str | None = None) -> bool:
    """Whether the name, the kind or the lab's own words say what a material is.

    >>> is_named("flint", None), is_named("grey stuff", "clay"), is_named("grey stuff", None)
    (True, True, False)
    """
    return bool(kind or identities(name, caution).substances) or is_deflocculant(name, None)


def unnamed(materials: Iterable[tuple[str, str | None, str | None]]) -> list[str]:
    """The names, of materials with their kinds and the lab's own words, that nothing says anything of."""
    return [name for name, kind, caution in materials if not is_named(name, kind, caution)]


def _known_spelling(word: str) -> str:
    """A word as the table spells it: British, in the singular, with a slip of one letter mended."""
    plain = word.casefold()
    for one, other in _SPELLINGS:
        plain = plain.replace(one, other)
    for each in (plain, plain.lstrip("0123456789"), plain.removesuffix("s")):
        if each in _VOCABULARY:
            return each
    if len(plain) < _FUZZY or plain in _LEFT_ALONE or not plain.isalpha():
        return plain
    near = (each for each in _LONG_WORDS if each[0] == plain[0] and edit_distance(plain, each, 1) == 1)
    return next(near, plain)


def _spans(words: list[str]) -> list[tuple[int, int]]:
    """Where the table's names stand, the longest first where they overlap."""
    spans, at = [], 0
    while at < len(words):
        for length in range(min(_LONGEST, len(words) - at), 0, -1):
            if tuple(words[at : at + length]) in _PHRASES:
                spans.append((at, at + length))
                at += length
                break
        else:
            at += 1
    return spans


def _denied(words: list[str], spans: list[tuple[int, int]]) -> set[tuple[int, int]]:
    """What a name says to be free of: lead-free, no lead or cadmium, free of chrome."""
    denied: set[tuple[int, int]] = set()
    for begin, end in spans:
        before = _before(words, begin)
        joined = words[begin - 1 : begin] and words[begin - 1] in _AND
        after_one = joined and any(stop == begin - 1 and (start, stop) in denied for start, stop in spans)
        if before & _NOT_BEFORE or words[max(begin - 2, 0) : begin] in (["free", "of"], ["free", "from"]) or after_one:
            denied.add((begin, end))
    for begin, end in reversed(spans):
        follows = words[end : end + 1]
        first = end + 1 if follows and follows[0] in _AND else end
        if (follows and follows[0] in _NOT_AFTER and words[end + 1 : end + 2] not in (["of"], ["from"])) or any(
            start == first and (start, stop) in denied and words[stop : stop + 1] == ["free"] for start, stop in spans
        ):
            denied.add((begin, end))
    return denied


def _before(words: list[str], at: int) -> set[str]:
    return set(words[max(at - 1, 0) : at])
