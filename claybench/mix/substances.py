"""What a material is by the name people gave it: the substances in it, by whole words, formulas and spellings."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Collection, Iterable
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
_ALONE = {"salt": "table salt", "flour": "wheat flour"}
"""Words that are a material where nothing stands beside them; *gold salt* and *zircon flour* are none of these."""
_NOT_BEFORE = frozenset({"no", "non", "not", "without", "zero"})
_NOT_AFTER = frozenset({"free", "less"})
_AND = frozenset({"and", "or"})
_GRIT = frozenset({"grog", "chamotte", "molochite", "sand", "pitchers", "gravel", "brick"})
_BOUND = frozenset({"frit", "stain", "pigment", "encapsulated", "inclusion"})
_SAID = re.compile(r"\b(?:is|contains|holds)\s+([^;.,:]+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Identity:
    """What was found in a name."""

    substances: tuple[Substance, ...] = ()
    """The worst first."""
    bound: bool = False
    """Whether it is named as a frit or a stain, which binds its metals."""
    free_of: tuple[Substance, ...] = ()
    """What the name says it is free of."""

    @property
    def known(self) -> bool:
        """Whether the name says what it is, and not half of it: *carbonate* alone does not."""
        return any(not each.part for each in self.substances)


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
    if len(words) == 1 and words[0] in _ALONE:
        return identify(_ALONE[words[0]])
    spans = _spans(words)
    by_span = {span: _PHRASES[tuple(words[span[0] : span[1]])] for span in spans}
    covered = {at for span in spans for at in range(*span)}
    by_span |= {
        (at, at + 1): (_SYMBOLS[word],) for at, word in enumerate(typed) if word in _SYMBOLS and at not in covered
    }
    denied = _denied(words, sorted(by_span))
    found = {each.key for span, substances in by_span.items() if span not in denied for each in substances}
    free = {each.key for span in denied for each in by_span[span]}
    return Identity(_worst_first(found), any(word in _BOUND for word in words), _worst_first(free))


def identities(name: str, caution: str | None = None) -> Identity:
    """What a material is by its name and by what the lab says it is: "is manganese dioxide", "contains lead"."""
    found = [identify(name), *(identify(said) for said in _SAID.findall(caution or ""))]
    keys = {each.key for one in found for each in one.substances}
    free = {each.key for one in found for each in one.free_of} - keys
    return Identity(_worst_first(keys), any(one.bound for one in found), _worst_first(free))


def is_named(name: str, kind: str | None, caution: str | None = None) -> bool:
    """Whether the name, the kind or the lab's own words say what a material is.

    >>> is_named("flint", None), is_named("grey stuff", "clay"), is_named("grey stuff", None)
    (True, True, False)
    >>> is_named("calcium carbonate", None), is_named("carbonate of something", None)
    (True, False)
    """
    return bool(kind or identities(name, caution).known) or is_deflocculant(name, None)


def is_grit(name: str) -> bool:
    """Whether a name says grog, sand or the like, whose grains a sieve for clays keeps back.

    >>> is_grit("fine grog 0-0.5 mm"), is_grit("sandstone clay"), is_grit("kaolin")
    (True, False, False)
    """
    return not _GRIT.isdisjoint(word.casefold() for word in _WORD.findall(name))


def unnamed(materials: Iterable[tuple[str, str | None, str | None]]) -> list[str]:
    """The names, of materials with their kinds and the lab's own words, that nothing says anything of."""
    return [name for name, kind, caution in materials if not is_named(name, kind, caution)]


def _worst_first(keys: Collection[str]) -> tuple[Substance, ...]:
    return tuple(each for each in SUBSTANCES if each.key in keys)


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
