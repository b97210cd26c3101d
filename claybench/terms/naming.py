"""Names as people type them, held against those a lab has: the same one, near to one, or new.

One rule for forms, recipe lines, commands, tables and folders. How a name is kept, and when two are the same, stands
here too. Standard library only.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from claybench.errors import BadInput, Question

MADE_WHEN_NAMED = ("families", "materials")
"""Tables whose rows are made when they are named for the first time, in a recipe, on a slab or in a batch."""
ASKED_ABOUT = ("families", "materials", "lots", "bodies")
"""Tables in which a name near to another is asked about; the codes of the rest are numbered, and near by nature."""
_MOST = 3
"""Names that are offered at once."""
_TOKEN = re.compile(r"[^\W\d_]+|\d+")
_ROMAN = re.compile(r"[ivx]+")


def tidy_name(name: str) -> str:
    """A name as it is kept: NFC and trimmed."""
    if name.isascii():
        return name.strip()
    return unicodedata.normalize("NFC", name).strip()


def parse_codes(typed: str | None) -> list[str]:
    """Codes or names typed one after another, commas or semicolons between; each once.

    >>> parse_codes("P1, P2; P1"), parse_codes(None)
    (['P1', 'P2'], [])
    """
    codes = (part.strip() for part in (typed or "").replace(";", ",").split(","))
    return list(dict.fromkeys(part for part in codes if part))


def parse_as_many_codes(typed: str, count: int, noun: str, field: str) -> list[str]:
    """Just so many codes, one for each of what is counted.

    >>> parse_as_many_codes("P1, P2", 2, "slab", "slab")
    ['P1', 'P2']
    """
    codes = parse_codes(typed)
    if len(codes) != count:
        raise BadInput(
            f"{len(codes)} code{'' if len(codes) == 1 else 's'} for {count} {noun}{'' if count == 1 else 's'}.",
            f"Name as many as there are {noun}s, with commas between.",
            field=field,
        )
    return codes


def fold_name(name: str) -> str:
    """A name as it is compared: case and composition ignored.

    >>> fold_name(" Kaolin ") == fold_name("KAOLIN"), fold_name("ball clay") == fold_name("ball-clay")
    (True, False)
    """
    if name.isascii():  # which is composed already
        return name.strip().casefold()
    return unicodedata.normalize("NFC", tidy_name(name).casefold())


def spelling_key(name: str) -> tuple[str, tuple[str, ...]]:
    """What is the same for one name however it is spaced, hyphenated, accented or capitalised; its numbers stay apart.

    >>> spelling_key("Ball-clay 2") == spelling_key("ballclay 2")
    True
    >>> spelling_key("frit 31 10") == spelling_key("frit 3110")
    False
    """
    spelt = _Spelt.parse(name)
    return spelt.squashed, spelt.marks[0]


@dataclass(frozen=True)
class _Spelt:
    """A name taken apart: what tells names apart, and what is only spelt this way or that."""

    tokens: tuple[str, ...]

    @classmethod
    def parse(cls, name: str) -> _Spelt:
        plain = unicodedata.normalize("NFKD", fold_name(name))
        letters = "".join(mark for mark in plain if not unicodedata.combining(mark))
        return cls(tuple(token.lstrip("0") or "0" if token.isdigit() else token for token in _TOKEN.findall(letters)))

    @cached_property
    def marks(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Numbers in order, and letters that count as numbers do: grog A, feldspar II."""
        counters = sorted(token for token in self.tokens if not token.isdigit() and _counts(token))
        return tuple(token for token in self.tokens if token.isdigit()), tuple(counters)

    @cached_property
    def words(self) -> tuple[str, ...]:
        """The words in order, each in the singular."""
        return tuple(_singular(token) for token in self.tokens if not token.isdigit() and not _counts(token))

    @cached_property
    def squashed(self) -> str:
        """Without spaces and punctuation."""
        return "".join(self.tokens)


def _counts(word: str) -> bool:
    return len(word) <= 2 or _ROMAN.fullmatch(word) is not None


def _singular(word: str) -> str:
    if len(word) > 4 and word.endswith("ies"):
        return f"{word[:-3]}y"
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _slips(length: int) -> int:
    """How many letters of a word may be wrong; common practice, no source."""
    return 0 if length < 3 else 1 if length < 6 else 2


def edit_distance(one: str, other: str, most: int) -> int:
    """Letters left out, put in, exchanged or swapped with their neighbour between two words; `most` + 1 where more.

    The optimal string alignment distance, a Damerau–Levenshtein distance in which no part is changed twice.

    >>> edit_distance("kaolin", "koalin", 2), edit_distance("talc", "tlac", 1), edit_distance("clay", "grog", 2)
    (1, 1, 3)
    """
    if abs(len(one) - len(other)) > most:
        return most + 1
    before: list[int] = []
    above = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        row = [i]
        for j, mark in enumerate(other, 1):
            cost = min(above[j] + 1, row[j - 1] + 1, above[j - 1] + (letter != mark))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == mark:
                cost = min(cost, before[j - 2] + 1)
            row.append(cost)
        if min(row) > most:
            return most + 1
        before, above = above, row
    return min(above[-1], most + 1)


def _distance(typed: _Spelt, held: _Spelt) -> int | None:
    """How far a name is from one that is held: 0 for another way of writing it; None where it is another name."""
    if typed.squashed == held.squashed and typed.marks[0] == held.marks[0]:
        return 0
    if typed.marks == held.marks and typed.words and held.words:
        if sorted(typed.words) == sorted(held.words):
            return 0
        slips = _slipped(typed, held)
        if slips is not None:
            return slips
    return 5 + len(held.squashed) - len(typed.squashed) if _begins(typed, held) else None


def _slipped(typed: _Spelt, held: _Spelt) -> int | None:
    if len(typed.words) != len(held.words):
        one, other = "".join(typed.words), "".join(held.words)
        most = _slips(min(len(one), len(other)))
        slips = edit_distance(one, other, most)
        return slips if slips <= most else None
    total = 0
    for word, mark in zip(typed.words, held.words, strict=True):
        most = _slips(min(len(word), len(mark)))
        slips = edit_distance(word, mark, most)
        if slips > most:
            return None
        total += slips
    return total


def _begins(typed: _Spelt, held: _Spelt) -> bool:
    """Whether a name is one typed short: `kaol`, `ball cl`, `pot feld`, and `talc` of `talc 325 mesh`."""
    if not typed.tokens or len(typed.squashed) >= len(held.squashed):
        return False
    if len(typed.tokens) <= len(held.tokens) and all(
        mark == token if token.isdigit() else mark.startswith(token)
        for token, mark in zip(typed.tokens, held.tokens, strict=False)
    ):
        return True
    return not typed.marks[0] and held.squashed.startswith(typed.squashed)


class _Index:
    """Names taken apart, so that the few that can be near to one are found without looking at all of them."""

    def __init__(self, names: Iterable[tuple[str, _Spelt]]) -> None:
        self.by_marks: dict[object, list[tuple[str, _Spelt]]] = defaultdict(list)
        self.of_words: dict[str, list[tuple[str, _Spelt]]] = defaultdict(list)
        """Names of several words, by their first letter."""
        self.squashed: list[tuple[str, str, _Spelt]] = []
        for name, spelt in names:
            self.by_marks[spelt.marks].append((name, spelt))
            self.squashed.append((spelt.squashed, name, spelt))
            if len(spelt.words) > 1:
                self.of_words[spelt.squashed[:1]].append((name, spelt))
        self.squashed.sort(key=lambda each: each[:2])

    def _candidates(self, typed: _Spelt) -> Iterator[tuple[str, _Spelt]]:
        yield from self.by_marks.get(typed.marks, ())
        if len(typed.tokens) > 1:
            yield from self.of_words.get(typed.squashed[:1], ())
        at = bisect_left(self.squashed, (typed.squashed,), key=lambda each: each[:1])
        while at < len(self.squashed) and self.squashed[at][0].startswith(typed.squashed):
            yield self.squashed[at][1:]
            at += 1

    def near(self, typed: _Spelt, but: str = "") -> tuple[str, ...]:
        """Names that a typed one may be meant for, the nearest first; all but one."""
        if not typed.tokens:
            return ()
        distances: dict[str, int] = {}
        for name, held in self._candidates(typed):
            far = _distance(typed, held)
            if far is not None and (not but or fold_name(name) != but):
                distances[name] = min(far, distances.get(name, far))
        if 0 in distances.values():  # another way of writing it says enough
            distances = {name: far for name, far in distances.items() if far == 0}
        return tuple(sorted(distances, key=lambda name: (distances[name], fold_name(name)))[:_MOST])


@dataclass(frozen=True, slots=True)
class Match:
    """What a typed name is, among those that are held."""

    typed: str
    same: str = ""
    """The name that is held, as the lab writes it; empty where it is not held."""
    now: str = ""
    """What it is called now, where it was renamed."""
    gone: bool = False
    """It was deleted, and its name is never given out again."""
    near: tuple[str, ...] = ()
    """Names it may be meant for, the nearest first; empty where it is a name of its own."""

    @property
    def is_new(self) -> bool:
        """Whether nothing that is held is called so."""
        return not (self.same or self.now or self.gone)


@dataclass(frozen=True)
class Names:
    """The names of one kind of thing that a lab holds, with what those were called before."""

    noun: str
    held: tuple[str, ...] = ()
    former: Mapping[str, str] = field(default_factory=dict)
    """By a name that was given up: what the thing is called now; empty where it was deleted."""

    def __iter__(self) -> Iterator[str]:
        return iter(self.held)

    @cached_property
    def _folded(self) -> dict[str, str]:
        return {fold_name(name): name for name in self.held}

    @cached_property
    def _given_up(self) -> dict[str, str]:
        return {fold_name(name): now for name, now in self.former.items()}

    @cached_property
    def _spelt(self) -> _Index:
        now = [(name, _Spelt.parse(name)) for name in self.held]
        return _Index([*now, *((name, _Spelt.parse(before)) for before, name in self.former.items() if name)])

    def and_also(self, names: Iterable[str]) -> Names:
        """These names with more of them, such as those a file lists."""
        return Names(self.noun, (*self.held, *(name for name in names if not self.spelt(name))), self.former)

    def spelt(self, typed: str) -> str:
        """A name as the lab writes it; empty where it is not held."""
        return self._folded.get(fold_name(typed), "")

    def match(self, typed: str) -> Match:
        """What a typed name is: held, renamed, deleted, near to others, or new.

        >>> Names("material", ("kaolin", "ball clay")).match("kaol").near
        ('kaolin',)
        >>> Names("body", ("W-08",)).match("W-09").near
        ()
        """
        folded = fold_name(typed)
        if folded in self._folded:
            return Match(typed, same=self._folded[folded])
        if folded in self._given_up:
            now = self._given_up[folded]
            return Match(typed, now=now, gone=not now)
        return Match(typed, near=self._spelt.near(_Spelt.parse(typed)))

    def beside(self, typed: str) -> tuple[str, ...]:
        """Names near to one, which may be among them itself."""
        return self._spelt.near(_Spelt.parse(typed), fold_name(typed))

    def close(self, typed: str, count: int = _MOST) -> list[str]:
        """Names to offer for one that is not held, whatever their numbers; none where none is like it."""
        import difflib

        like = difflib.get_close_matches(fold_name(typed), list(self._folded), n=count, cutoff=0.5)
        return list(dict.fromkeys([*self.match(typed).near, *(self._folded[each] for each in like)]))[:count]

    def says(self, typed: str, *, made: bool) -> tuple[str, bool]:
        """What to say beside a typed name, and whether it is a doubt; `made`: one that is not held is made by it."""
        match = self.match(typed)
        if match.same:
            return ("" if match.same == tidy_name(typed) else f"= {match.same}"), False
        if match.now:
            return f"it is called {match.now} now", True
        if match.gone:
            return "it was deleted; such names are not used again", True
        if made:
            return (
                (f"did you mean {join_with_or(match.near)}?", True)
                if match.near
                else (f"new: {tidy_name(typed)}", False)
            )
        near = self.close(typed)
        return (
            f"there is no {self.noun} {tidy_name(typed)}" + (f"; did you mean {join_with_or(near)}?" if near else "")
        ), True


def join_with_or(names: Iterable[str]) -> str:
    """Names of which one may be meant.

    >>> join_with_or(["a"]), join_with_or(["a", "b", "c"])
    ('a', 'a, b or c')
    """
    *first, last = names
    return f"{', '.join(first)} or {last}" if first else last


def name_questions(typed: str, names: Names, field: str = "") -> list[Question]:
    """What to ask before a name makes a second thing: nothing where it is held already, or near to none."""
    match = names.match(typed)
    if not match.near:
        return []
    there = " and ".join(f"'{name}'" for name in match.near)
    text = f"'{tidy_name(typed)}' would be a new {names.noun}, and there is {there} already. Is it another?"
    return [Question("near_name", text, field)]


def near_name_notes(new: Iterable[str], names: Names, *, among: bool = True) -> list[str]:
    """Notes on near names, for names that many rows bring at once; with `among` held against each other as well."""
    brought = list(new)
    every = names.and_also(brought) if among else names
    place = {fold_name(name): at for at, name in reversed(list(enumerate(brought)))}
    notes = []
    for at, name in enumerate(brought):
        near = [each for each in every.beside(name) if place.get(fold_name(each), -1) < at]
        if near:
            notes.append(f"New {names.noun}: {tidy_name(name)}; did you mean {join_with_or(near)}?")
    return notes
