"""Which row holds the headings, the unit in a heading, and the column that a heading's words speak of."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence

from claybench import clock
from claybench.errors import BadInput
from claybench.exchange.reading.cell_dates import looks_like_date
from claybench.exchange.reading.heading_aliases import ALIASES
from claybench.exchange.reading.raw_table import RawTable
from claybench.exchange.reading.row_kinds import RowKind, Target
from claybench.quantity.units import KnownUnit, find_unit

_LOOKED_AT = 30
_STEM = 4
"""Letters by which two words of headings are alike."""
_IN_BRACKETS = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]{1,20})\s*[)\]]\s*$", re.S)
_ZONE = re.compile(r"\(((?:[A-Z][A-Za-z_]+/)+[A-Za-z_/+-]+|UTC|GMT)\)$")
_BEHIND = re.compile(r"(.+?)\s*(?:[,/]\s*|\s|_)([^\s,/_]{1,4})$", re.S)
_BARE_UNITS = {"mm", "cm", "g", "kg", "mg", "lb", "oz", "ml", "°c", "°f", "%", "cm2", "cm²", "min", "m/s"}
_PER = re.compile(r"(?:\bper|[€$£]|\b(?:eur|usd|gbp|chf|price|cost))\s*\Z", re.I)
_NUMERIC = re.compile(r"[-+−]?[\d.,' /:%-]*\d[\d.,' /:%-]*")
_WORDS = {
    "weight": "mass",
    "wt": "mass",
    "no": "",
    "nr": "",
    "number": "",
    "the": "",
    "of": "",
    "test": "",
    "len": "length",
    "temp": "temperature",
    "max": "maximum",
    "moist": "moisture",
    "shr": "shrinkage",
    "abs": "absorption",
    "l": "length",
    "lgth": "length",
    "qty": "quantity",
    "amt": "amount",
    "mat": "material",
}
"""Words of headings that say the same, or nothing."""


def split_heading(text: str) -> tuple[str, str]:
    """Name and unit of a heading; the unit is empty where none is known by it.

    >>> split_heading("length (in)"), split_heading("dry mass, g"), split_heading("note (all)")
    (('length', 'in'), ('dry mass', 'g'), ('note (all)', ''))
    """
    flat = " ".join(text.split())
    if flat.lower() in _BARE_UNITS and (known := unit_of(flat)):
        return "", known.sign
    if flat.startswith("%") and len(flat) > 1:
        return flat[1:].strip(), "%"
    if (match := _ZONE.search(flat)) and zone_in(flat):
        return flat[: match.start()].strip(), ""
    if (match := _IN_BRACKETS.fullmatch(flat)) and (known := unit_of(match.group(2))):
        return match.group(1), known.sign
    if (
        (match := _BEHIND.fullmatch(flat))
        and match.group(2).lower() in _BARE_UNITS
        and not _PER.search(match.group(1))  # a price per kg is no kg
        and (known := unit_of(match.group(2)))
    ):
        return match.group(1), known.sign
    return flat, ""


def zone_in(text: str) -> str:
    """The clock that a heading names, as saved tables do; empty where it names none.

    >>> zone_in("mixed (Europe/Lisbon)"), zone_in("mixed (UTC)"), zone_in("mixed (twice)")
    ('Europe/Lisbon', 'UTC', '')
    """
    match = _ZONE.search(text.strip())
    if match is None:
        return ""
    try:
        clock.parse_zone(match.group(1))
    except BadInput:
        return ""
    return match.group(1)


def unit_of(text: str) -> KnownUnit | None:
    """The unit of a name; None where it is none, or means two things."""
    try:
        return find_unit(text)
    except BadInput:
        return None


def heading_row(raw: RawTable, kind: RowKind | None = None) -> int:
    """Number of the row that most likely holds the headings: many words, no numbers, words the record knows."""
    known = {word for target in (kind.targets().values() if kind else ()) for word in _names(target)}
    best, most_likely = 0.0, raw.rows[0][0]
    for number, cells in raw.rows[:_LOOKED_AT]:
        filled = [cell for cell in cells if cell.strip()]
        words = {cell.strip() for cell in filled if not _NUMERIC.fullmatch(cell.strip())}
        score = len(words) - 0.5 * (len(filled) - len(words))
        score += sum(1 for cell in words if fold_heading(split_heading(cell)[0]) in known)
        if score > best:
            best, most_likely = score, number
    return most_likely


def headings_of(cells: Sequence[str], width: int) -> tuple[str, ...]:
    """A name for every column: its heading, `column C` where it has none, `dry (2)` where it stands twice."""
    out: list[str] = []
    for number in range(width):
        name = " ".join(cells[number].split()) if number < len(cells) else ""
        name = name or f"column {_letters(number)}"
        same, wanted = 1, name
        while wanted in out:
            same += 1
            wanted = f"{name} ({same})"
        out.append(wanted)
    return tuple(out)


def _letters(number: int) -> str:
    """As a spreadsheet names columns.

    >>> _letters(0), _letters(27)
    ('A', 'AB')
    """
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(65 + rest) + text
    return text


def units_row(cells: Sequence[str]) -> dict[int, str]:
    """Units by column where a row under the headings holds units, with no number and few other words; else empty.

    >>> units_row(["code", "", "cm", "(kg)"]), units_row(["A1", "X-1", "cm", ""]), units_row(["white", "g", "", ""])
    ({2: 'cm', 3: 'kg'}, {}, {})
    """
    units: dict[int, str] = {}
    others = 0
    for number, cell in enumerate(cells):
        bare = cell.strip().strip("[]()").strip()
        if not bare or bare in ("-", "–"):
            continue
        known = None if bare[:1].isdigit() else unit_of(bare)
        if known is not None:
            units[number] = known.sign
        elif any(mark.isdigit() for mark in bare):
            return {}
        else:
            others += 1
    return units if not others or (len(units) >= 2 and others <= len(units)) else {}


def joined_headings(upper: Sequence[str], lower: Sequence[str]) -> list[str] | None:
    """One row of headings from two, the upper of which stand over several columns; None where they are no such pair.

    >>> joined_headings(["Bar", "Length (mm)", "", "Mass"], ["", "wet", "dry", "dry"])
    ['Bar', 'wet Length (mm)', 'dry Length (mm)', 'dry Mass']
    >>> joined_headings(["Bar", "Batch", "wet"], ["A1", "X-1", ""])
    """
    width = max(len(upper), len(lower))
    top = [cell.strip() for cell in upper] + [""] * (width - len(upper))
    below = [cell.strip() for cell in lower] + [""] * (width - len(lower))
    over = any(below[n] and not top[n] for n in range(1, width))
    if not over or below[0] or not top[0] or any(any(mark.isdigit() for mark in cell) for cell in below):
        return None
    if sum(map(bool, below)) < 2:
        return None
    out, group = [], ""
    for first, second in zip(top, below, strict=True):
        group = first or (group if second else "")
        out.append(f"{second} {group}".strip())
    return out


def fold_heading(text: str) -> str:
    """Words of a heading without case, marks and words that say nothing."""
    words = re.findall(r"[^\W\d_]+|\d+", text.casefold())
    return " ".join(filter(None, (_WORDS.get(word, word) for word in words)))


def _names(target: Target) -> set[str]:
    column = target.column
    own = {
        fold_heading(column.label),
        fold_heading(split_heading(column.name.replace("_", " "))[0]),
        fold_heading(column.name),
    }
    return own | {fold_heading(word) for word in ALIASES.get(column.name, ())} - {""}


_BESIDE_THE_POINT = frozenset(
    """
    year page price cost rating score stars temp temperature week rh humidity shrinkage absorption density gravity
    porosity strength mor currency eur usd gbp paid tested rank mesh sieve bag bags id index ref reference row line mean
    average marked tests pieces bars tiles yield value age batches limit ramp rate position pos total sum check no nr
    """.split()  # noqa: SIM905
)
"""Words of headings of what is noted beside such tables and has no place in the record; common practice, no source."""


def is_beside_the_point(heading: str) -> bool:
    """Whether a heading speaks of what people note beside such a table, as a page or a price."""
    words = set(re.findall(r"[^\W\d_]+", heading.casefold()))
    return not words or bool(words & _BESIDE_THE_POINT)


def suggest_target(
    headings: Sequence[str],
    kind: RowKind,
    units: dict[int, str] | None = None,
    content: Sequence[str] = (),
) -> dict[int, str]:
    """Target by column number where a heading names one well enough; each target once, a date and a time together.

    `content` says what the cells of each column mostly are: `numbers`, `dates`, `text`, or nothing where it is empty.
    """
    targets = kind.targets()
    scored: list[tuple[float, int, str]] = []
    for number, heading in enumerate(headings):
        name, unit = split_heading(heading)
        unit = unit or (units or {}).get(number, "")
        for order, target in enumerate(targets.values()):
            if content and not _may_hold(target, content[number]):
                continue
            score = _score(fold_heading(name), unit, target)
            if score >= 0.6:
                scored.append((score - order / 1000, number, target.name))
    out: dict[int, str] = {}
    taken: set[str] = set()
    for _, number, name in sorted(scored, key=lambda each: (-each[0], each[1])):
        column = targets[name].column
        twice = column.kind == "time" and fold_heading(headings[number]) == "time"
        if number not in out and (name not in taken or twice):
            out[number] = name
            taken.add(name)
    for number, heading in enumerate(headings):
        name, unit = split_heading(heading)
        if number not in out and not name and (bare := _only_one(unit, kind, taken)):
            out[number] = bare
            taken.add(bare)
    return dict(sorted(out.items()))


def _may_hold(target: Target, content: str) -> bool:
    """Whether cells of such a content can belong to a column."""
    kind = target.column.kind
    if kind in ("number", "whole"):
        return content != "dates"
    return content != "numbers" if kind in ("time", "day") else True


def _only_one(unit: str, kind: RowKind, taken: Collection[str]) -> str:
    """The one column of the row itself that a heading can mean which is a unit alone; empty where there are several."""
    given = unit_of(unit)
    fit = [
        target.name
        for target in kind.targets().values()
        if target.table == kind.tables[0]
        and target.name not in taken
        and given is not None
        and (wanted := unit_of(target.column.unit)) is not None
        and wanted.dimension == given.dimension
    ]
    first = [name for name in fit if name in kind.datum or kind.targets()[name].column.required]
    chosen = first or fit
    return chosen[0] if len(chosen) == 1 else ""


def content_of(cells: Sequence[str]) -> str:
    """What the cells of a column mostly are: `numbers`, `dates` or `text`; empty where they are.

    >>> [content_of(cells) for cells in (["12", "3,5 kg", ""], ["14 Jan 2025", "3.4.25"], ["bar", "9"], [""])]
    ['numbers', 'dates', 'text', '']
    """
    filled = [cell.strip() for cell in cells if cell.strip()][:200]
    if not filled:
        return ""
    for name, holds in (("dates", looks_like_date), ("numbers", _looks_like_number)):
        if sum(map(holds, filled)) > 0.5 * len(filled):
            return name
    return "text"


def _looks_like_number(cell: str) -> bool:
    return re.match(r"[-+−<>~]?\s*[\d.,½⅓⅔¼¾⅛⅜⅝⅞]", cell) is not None


def likely_targets(heading: str, content: str, kind: RowKind, unit: str, filled: Collection[str]) -> list[str]:
    """Columns that nothing fills yet and that a heading may speak of, where it names none well enough to be put there.

    By its words, of which each has to begin as one of theirs does; else, for dates and numbers that are not of
    something the record has no place for, the first that hold such. Two at most.
    """
    name, said = split_heading(heading)
    words = [word for word in fold_heading(name).split() if len(word) >= _STEM]
    given = unit_of(said or unit) if said or unit else None
    if not content or (given is not None and given.sign == "%"):
        return []  # what a percentage follows from stands beside it
    free = [
        target
        for target in kind.targets().values()
        if target.name not in filled and target.name != "position" and "." not in target.name
    ]
    fit = [each for each in free if _may_hold(each, content) and (given is None or _is_of(each, given))]
    alike = [each for each in fit if words and all(_stems(word, each) for word in words)]
    if alike or is_beside_the_point(heading):
        return [each.name for each in alike][:2] if not is_beside_the_point(heading) else []
    kinds = {"dates": ("day", "time"), "numbers": ("number", "whole")}.get(content, ())
    own = [each.name for each in fit if each.column.kind in kinds and each.table == kind.tables[0]]
    return own[:2] if kind.wide is None or content == "dates" else []


def _is_of(target: Target, given: KnownUnit) -> bool:
    wanted = unit_of(target.column.unit)
    return wanted is not None and wanted.dimension == given.dimension


def _stems(word: str, target: Target) -> bool:
    others = {other for names in _names(target) for other in names.split()}
    return any(word[:_STEM] == other[:_STEM] for other in others)


def _score(words: str, unit: str, target: Target) -> float:
    if not words:
        return 0.0
    column, names = target.column, _names(target)
    score = 1.0 if words in names else max((_overlap(words, name) for name in names), default=0.0)
    if not unit:
        return score
    if column.kind not in ("number", "whole"):
        return 0.0
    wanted, given = unit_of(column.unit), unit_of(unit)
    return score + 0.3 if wanted and given and wanted.dimension == given.dimension else 0.0


def _overlap(first: str, second: str) -> float:
    a, b = set(first.split()), set(second.split())
    return 0.8 * len(a & b) / len(a | b) if a and b else 0.0


def numbers_in(cells: Iterable[str]) -> bool:
    """Whether most of the cells that say anything are numbers."""
    filled = [cell.strip() for cell in cells if cell.strip()]
    return bool(filled) and sum(bool(_NUMERIC.fullmatch(cell)) for cell in filled) > 0.5 * len(filled)
