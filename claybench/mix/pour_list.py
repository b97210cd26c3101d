"""What is weighed for a pour of plaster: one list from the sizing to the steps, the log and the papers.

A slab's own row says how much plaster is in that slab. What is weighed is more, since a share of the mix stays in the
bucket, and it belongs to all slabs of the pour together: the list stands as a note in the log of the first of them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from claybench.mix.portions import Portion
from claybench.mix.pour_steps import MARK
from claybench.mix.slab_sizing import PlasterMix, SlabSizing
from claybench.quantity.shown import short_number
from claybench.terms import Slab
from claybench.terms.naming import parse_as_many_codes

_LISTED = f"{MARK}to weigh, "
_NUMBER = r"\d+(?:\.\d+)?"
_FILLS = rf"(?:\d+ × )?{_NUMBER}(?: \+ (?:\d+ × )?{_NUMBER})*"
_MIX = re.compile(rf"(?:(\d+) mixes of )?({_FILLS}) g plaster into ({_FILLS}) g water")


@dataclass(frozen=True, slots=True)
class Filling:
    """One filling of the mixing bucket, by the fillings of the weighing bucket."""

    plaster: tuple[float, ...]
    """Grams in each weighing, in order."""
    water: tuple[float, ...]

    @classmethod
    def of(cls, mix: PlasterMix) -> Filling:
        """As sized."""
        return cls(_masses(mix.plaster_portions), _masses(mix.water_portions))

    @property
    def plaster_g(self) -> float:
        """Plaster in it, as weighed."""
        return round(sum(self.plaster), 9)

    @property
    def water_g(self) -> float:
        """Water in it, as weighed."""
        return round(sum(self.water), 9)


def pour_list(sized: SlabSizing) -> tuple[Filling, ...]:
    """What is weighed for all slabs of a sizing, waste included."""
    return tuple(Filling.of(mix) for mix in sized.mixes)


def pour_list_text(fillings: Iterable[Filling]) -> str:
    """The whole list in words.

    >>> one = Filling((400.0,), (280.0,))
    >>> pour_list_text([one, one, Filling((500.0, 20.5), (364.0,))])
    '2 mixes of 400 g plaster into 280 g water; 500 + 20.5 g plaster into 364 g water'
    """
    return _list(fillings, masses_text)


def masses_text(masses: Iterable[float]) -> str:
    """Weighings in order, equal ones in a row counted, every digit of the scale.

    >>> masses_text([300.0, 300.0, 265.5])
    '2 × 300 + 265.5'
    """
    return _write_masses(masses, lambda mass: short_number(mass, 12))


def count_repeats(texts: Iterable[str], times: str) -> list[str]:
    """Texts in order, equal ones in a row once, with their number before them.

    >>> count_repeats(["a", "a", "b"], "times ")
    ['2 times a', 'b']
    """
    runs = [(text, len(list(same))) for text, same in groupby(texts)]
    return [text if count == 1 else f"{count} {times}{text}" for text, count in runs]


def pour_list_note(fillings: Sequence[Filling]) -> str | None:
    """How the list stands in a slab's log, read back by `read_pour_list`; None where nothing is to be weighed.

    >>> pour_list_note([Filling((3000.0, 3000.0, 2765.5), (5000.0, 1136.0))])
    'pour: to weigh, 2 × 3000 + 2765.5 g plaster into 5000 + 1136 g water'
    """
    # Digits without groups: the record is read by programs, whatever way numbers are written for people.
    return _LISTED + _list(fillings, lambda masses: _write_masses(masses, "{:.12g}".format)) if fillings else None


def read_pour_list(notes: Iterable[str | None]) -> tuple[Filling, ...]:
    """The list, where one of the notes of a log holds it.

    >>> read_pour_list(["chipped", "pour: to weigh, 2 mixes of 4000 + 20.5 g plaster into 2814 g water"])[1].plaster_g
    4020.5
    """
    for note in notes:
        if note is not None and note.startswith(_LISTED):
            fillings = _read(note.removeprefix(_LISTED))
            if fillings:
                return fillings
    return ()


def codes_of_pour(text: str, count: int) -> tuple[list[str], str | None]:
    """Codes of so many slabs, commas between, and what their pour is called; None for a slab of its own.

    >>> codes_of_pour("P1, P2", 2), codes_of_pour("P3", 1)
    ((['P1', 'P2'], 'pour of P1'), (['P3'], None))
    """
    named = parse_as_many_codes(text, count, "slab", "slab")
    return named, f"pour of {named[0]}" if count > 1 else None


def slabs_of_pour(sized: SlabSizing, codes: Sequence[str], **about: object) -> list[Slab]:
    """Rows of the slabs that a sizing was cast as, each with the plaster and water that are in it."""
    plaster = round(sized.plaster_each_g, 1)
    return [
        Slab(
            slab=code,
            shape=sized.request.shape,
            length_mm=round(sized.length_mm, 1),
            width_mm=round(sized.width_mm, 1) if sized.width_mm else None,
            thickness_mm=round(sized.depth_mm, 1),
            mix_ratio=sized.request.mix_ratio,
            plaster_g=plaster,
            water_g=round(plaster * sized.request.mix_ratio / 100, 1),
            **about,  # type: ignore[arg-type]
        )
        for code in codes
    ]


def _read(text: str) -> tuple[Filling, ...]:
    fillings: list[Filling] = []
    for part in text.split("; "):
        match = _MIX.fullmatch(part)
        if match is None:
            return ()
        fillings += [Filling(_weighings(match[2]), _weighings(match[3]))] * int(match[1] or 1)
    return tuple(fillings)


def _weighings(text: str) -> tuple[float, ...]:
    masses: list[float] = []
    for part in text.split(" + "):
        count, sign, mass = part.partition(" × ")
        masses += [float(mass)] * int(count) if sign else [float(count)]
    return tuple(masses)


def _list(fillings: Iterable[Filling], write: Callable[[Iterable[float]], str]) -> str:
    each = (f"{write(one.plaster)} g plaster into {write(one.water)} g water" for one in fillings)
    return "; ".join(count_repeats(each, "mixes of "))


def _write_masses(masses: Iterable[float], write: Callable[[float], str]) -> str:
    return " + ".join(count_repeats((write(mass) for mass in masses), "× "))


def _masses(portions: Iterable[Portion]) -> tuple[float, ...]:
    return tuple(portion.mass_g for portion in portions)
