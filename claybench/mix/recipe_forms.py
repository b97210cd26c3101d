"""Forms of a recipe in one text besides a plain list: bullets, dotted leaders, units, ratios, totals, no mark between.

What they mean for a recipe as a whole is decided in `recipe_line`; here a text is only brought into a plainer one, or
taken apart in the one way that its form allows.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from claybench.quantity.units import convert_unit, find_unit

_NUMBER = r"\d+(?:[.,]\d+)?"
_UNIT = r"%|parts?|pts?|pbw|kg|kgs|g|gr|gm|gms|grams?|lbs?|oz"
_MASS_UNITS = ("kg", "kgs", "g", "gr", "gm", "gms", "gram", "grams", "lb", "lbs", "oz")
_BESIDE = re.compile(r"\(\s*\+\s*([^()]*)\)")
_BULLET = re.compile(r"\A\s*[•·*–—-]\s+")
_NUMBERED = re.compile(r"\A\s*(\d{1,2})[.)]\s+(?=[^\W\d])")
_LEADER = re.compile(r"\s*(?:\.{2,}|…+|_{2,}|\s[–—-]+(?=\s))\s*(?=\d[^\s]*\s*(?:" + _UNIT + r")?\s*\Z)")
_HYPHEN = re.compile(r"\A([^\d]*[^\W\d])[–—-](" + _NUMBER + r")\s*(" + _UNIT + r")?\Z")
_IN_BRACKETS = re.compile(r"\A(.*\S)\s*\(\s*(" + _NUMBER + r")\s*(" + _UNIT + r")?\s*\)\Z")
_BEHIND = re.compile(r"\A(.*?\S(?:\s+|\s*[:=]\s*))(" + _NUMBER + r")\s*(" + _UNIT + r")\.?\Z", re.I)
_BEFORE = re.compile(r"\A(" + _NUMBER + r")\s*(" + _UNIT + r")\.?\s+(?:of\s+)?(\D.*)\Z", re.I)
_TOTAL = re.compile(r"\A\s*(?:=|totals?|sum|altogether)\s*[:=]?\s*(" + _NUMBER + r")\s*(?:" + _UNIT + r")?\s*\Z", re.I)
_ENDS_IN_TOTAL = re.compile(r"\A(.*\d\s*(?:" + _UNIT + r")?)\s*(?:=|,?\s+total:?)\s*(" + _NUMBER + r")\s*%?\s*\Z", re.S)
_RATIO = re.compile(r"\A([^\d,;\n]+?)\s+(" + _NUMBER + r"(?:\s*[/:]\s*" + _NUMBER + r")+)\s*(?:%|parts)?\Z")
_GRADES = frozenset({"mesh", "micron", "microns", "µm", "um", "grade", "mm", "#"})
"""Words that follow a number which belongs to a name: talc 325 mesh."""
_TOKEN = re.compile(r"\s*(?:(" + _NUMBER + r")(?=[\s%:=a-zA-Z]|\Z)|([^\s:=]+))\s*([:=])?")


def put_beside(text: str) -> str:
    """Additions in brackets as further materials.

    >>> put_beside("kaolin 60, quartz 40 (+ bentonite 2)")
    'kaolin 60, quartz 40 + bentonite 2'
    """
    return _BESIDE.sub(r"+ \1", text)


def without_numbering(pieces: list[str]) -> list[str]:
    """Pieces without the 1., 2., 3. that count them; as they are where the numbers do not count.

    >>> without_numbering(["1) kaolin 40", "2) quartz 60"]), without_numbering(["5. kaolin 40"])
    (['kaolin 40', 'quartz 60'], ['5. kaolin 40'])
    """
    counts = [_NUMBERED.match(piece) for piece in pieces]
    if len(pieces) > 1 and all(m and int(m.group(1)) == n for n, m in enumerate(counts, 1)):
        return [piece[m.end() :] for piece, m in zip(pieces, counts, strict=True) if m]
    return pieces


@dataclass(frozen=True, slots=True)
class PlainPiece:
    """One material's text with what stands around it taken off."""

    text: str
    unit: str = ""
    """The unit of its number, a mass; empty for parts, per cent and none."""


def plain_piece(piece: str) -> PlainPiece:
    """A piece without bullet, leader and unit.

    >>> plain_piece("• kaolin .... 40 g"), plain_piece("kaolin (40)")
    (PlainPiece(text='kaolin 40', unit='g'), PlainPiece(text='kaolin = 40', unit=''))
    >>> plain_piece("0.8 kg of kaolin")
    PlainPiece(text='0.8 kaolin', unit='kg')
    """
    text = _LEADER.sub(" ", _BULLET.sub("", piece)).strip()
    for form in (_IN_BRACKETS, _HYPHEN):
        if match := form.match(text):
            return PlainPiece(f"{match.group(1)} = {match.group(2)}", _mass_unit(match.group(3)))
    if match := _BEHIND.match(text):
        return PlainPiece(match.group(1) + match.group(2), _mass_unit(match.group(3)))
    if match := _BEFORE.match(text):
        return PlainPiece(f"{match.group(1)} {match.group(3)}", _mass_unit(match.group(2)))
    return PlainPiece(text)


def _mass_unit(word: str | None) -> str:
    return word.lower() if word and word.lower() in _MASS_UNITS else ""


def in_grams(amount: float, unit: str) -> float:
    """A mass in g."""
    known = find_unit(unit)
    return amount if known is None else round(convert_unit(amount, known.sign, "g"), 9)


def stated_total(piece: str) -> float | None:
    """What a piece says all come to; None where it is a material.

    >>> stated_total("total 100"), stated_total("= 100 %"), stated_total("talc 10")
    (100.0, 100.0, None)
    """
    match = _TOTAL.match(piece)
    return _float(match.group(1)) if match else None


def split_total(piece: str) -> tuple[str, float] | None:
    """The last material and the total that follows it; None where none does.

    >>> split_total("quartz 30 = 100"), split_total("quartz = 30")
    (('quartz 30', 100.0), None)
    """
    match = _ENDS_IN_TOTAL.match(piece)
    return (match.group(1).rstrip(), _float(match.group(2))) if match else None


def read_ratio(text: str) -> list[tuple[str, float]] | None:
    """As many names as numbers, strokes or colons between: `kaolin/quartz 40/60`; None for another form.

    >>> read_ratio("kaolin/ball clay 40/60"), read_ratio("kaolin 1/2")
    ([('kaolin', 40.0), ('ball clay', 60.0)], None)
    """
    match = _RATIO.match(text.strip())
    if match is None:
        return None
    names = [name.strip(" :") for name in re.split(r"[/:]", match.group(1))]
    numbers = re.split(r"\s*[/:]\s*", match.group(2))
    if len(names) < 2 or len(names) != len(numbers) or not all(names):
        return None
    return list(zip(names, map(_float, numbers), strict=True))


def read_run_on(piece: str) -> list[tuple[str, float, str]] | None:
    """Materials one after another with no mark between, each with its number and unit: `kaolin 40 quartz 60`.

    None where there is one material only, where numbers and names do not take turns, or where a number belongs to the
    grade of a name, as in `talc 325 mesh 10`.

    >>> read_run_on("40% kaolin 60% quartz"), read_run_on("talc 325 mesh 10"), read_run_on("grog 0.5 12.5")
    ([('kaolin', 40.0, ''), ('quartz', 60.0, '')], None, None)
    """
    groups: list[tuple[str, str]] = []
    units: list[str] = []
    words: list[str] = []
    for match in _TOKEN.finditer(piece.strip()):
        number, word, _mark = match.groups()
        if number is not None:
            if words:
                groups.append(("name", " ".join(words)))
                words = []
            groups.append(("number", number))
            units.append("")
        elif word:
            folded = word.rstrip(".,").lower()
            if groups and groups[-1][0] == "number" and not words:
                if folded in _GRADES:
                    return None
                if re.fullmatch(_UNIT, folded):
                    units[-1] = _mass_unit(folded)
                    continue
            words.append(word)
    if words:
        groups.append(("name", " ".join(words)))
    kinds = [kind for kind, _ in groups]
    first = ["name", "number"] * (len(groups) // 2)
    if len(groups) < 4 or kinds not in (first, first[::-1]):
        return None
    ahead = kinds[0] == "number"
    pairs = [
        (groups[n + 1][1], groups[n][1]) if ahead else (groups[n][1], groups[n + 1][1])
        for n in range(0, len(groups), 2)
    ]
    if not all(any(mark.isalpha() for mark in name) for name, _ in pairs):
        return None
    return [(name, _float(number), unit) for (name, number), unit in zip(pairs, units, strict=True)]


def _float(text: str) -> float:
    return float(text.replace(",", "."))
