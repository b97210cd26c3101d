"""Materials with their parts as people write them: `kaolin 30, ball clay 2 50; 22.5 feldspar`.

One rule for recipes, additions and the parts of a command. A name may end in a number, so the lab's own names decide
first, then a mark between name and number (`:`, `=`, a tab, quotes), and else the last number is the parts. What can
be read in two ways is refused with both named.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from claybench import quantity
from claybench.errors import BadInput
from claybench.mix.recipe_forms import (
    PlainPiece,
    in_grams,
    plain_piece,
    put_beside,
    read_ratio,
    read_run_on,
    split_total,
    stated_total,
    without_numbering,
)
from claybench.quantity.grammar import LONGEST
from claybench.quantity.shown import plain
from claybench.terms.naming import Names, fold_name

Line = tuple[str, float]
"""A material and its parts."""

_APART = re.compile(
    r"[;\n|&•]|(?<=[^\W\d]),(?=\d)|,(?!\d)|\+"
    r"|(?<=[\d%])\s*/\s*(?=[^\W\d])|(?<=[^\W\d])\s+/\s+(?=\d)"
    r"|(?<=[\d%])\s+and\s+(?=[^\W\d])|(?<=[^\W\d])\s+and\s+(?=\d)"
)
_FINEST_FRACTION = 16
"""Largest number under a stroke that makes a fraction; `40/60` is two numbers."""
_TOTAL_SLACK = 0.05
"""How far parts may be off the total that is stated with them, by rounding."""
_QUOTED = re.compile(r'"((?:[^"]|"")*)"')
_TIMES = re.compile(r"\s*[x×%]?\s+|\s*[x×%]\s*")
"""Between parts and a name that follows them: `30 kaolin`, `30 x kaolin`, `30 % kaolin`."""
_MARK = re.compile(r"\s*[:=\t]\s*")
_NO_NAMES = Names("material")


@dataclass(frozen=True, slots=True)
class _Reading:
    """One way to read a piece."""

    name: str
    parts: float
    written: str
    """The number as it stands there."""
    marked: bool = False
    """A mark stands between name and number."""
    quoted: bool = False

    @property
    def bare(self) -> str:
        """The name, however many blanks were typed in it; one in quotes stands as it is."""
        return self.name if self.quoted else " ".join(self.name.split())

    def spelt(self, names: Names) -> str:
        """The name as the lab writes it; empty where it is not held."""
        return names.spelt(self.name) or names.spelt(" ".join(self.name.split()))


def read_recipe(text: str, names: Names = _NO_NAMES) -> list[Line]:
    """Materials and parts, in order; parts before or behind the name. Names that are held come as the lab writes them.

    >>> read_recipe("kaolin 30, ball clay 30; 22.5 feldspar")
    [('kaolin', 30.0), ('ball clay', 30.0), ('feldspar', 22.5)]
    >>> read_recipe("ball clay 2 50, talc 325 mesh 10; nepheline syenite 270: 20, grog 0.5 12.5")
    [('ball clay 2', 50.0), ('talc 325 mesh', 10.0), ('nepheline syenite 270', 20.0), ('grog 0.5', 12.5)]
    """
    pieces = without_numbering(list(split_recipe(put_beside(text) if '"' not in text else text, names)))
    if len(pieces) == 1 and (ratio := read_ratio(pieces[0])) and not _is_held(pieces[0], names):
        return _checked([(names.spelt(name) or name, parts) for name, parts in ratio])
    pieces, total = _without_total(pieces, names)
    lines = _checked(_read_pieces(pieces, names))
    come_to = sum(parts for _, parts in lines)
    if total is not None and abs(come_to - total) > _TOTAL_SLACK:
        raise BadInput(
            f"The parts come to {plain(come_to)}, and the total is said to be {plain(total)}.",
            "Look at each of them.",
            field="recipe",
        )
    return lines


def _without_total(pieces: list[str], names: Names) -> tuple[list[str], float | None]:
    """The materials, and what they are said to come to where the last of the text says it."""
    if len(pieces) > 1 and (total := stated_total(pieces[-1])) is not None:
        return pieces[:-1], total
    last = split_total(pieces[-1]) if pieces else None
    if last is not None and not _is_held(pieces[-1], names) and (len(pieces) > 1 or read_run_on(last[0])):
        return [*pieces[:-1], last[0]], last[1]
    return pieces, None


def _is_held(piece: str, names: Names) -> bool:
    """Whether a piece is a number and a name that the lab has, or one in quotes."""
    return any(each.quoted or each.spelt(names) for each in _readings(piece.strip(), "1"))


def _checked(lines: list[Line]) -> list[Line]:
    """Parts above nothing, each material once."""
    seen: set[str] = set()
    for name, parts in lines:
        if parts <= 0:
            raise BadInput(f"{name} has {plain(parts)} parts.", "Leave it out, or give it more.", field="recipe")
        if fold_name(name) in seen:
            raise BadInput(f"{name} stands twice.", "Add its parts together.", field="recipe")
        seen.add(fold_name(name))
    return lines


def _read_pieces(pieces: list[str], names: Names) -> list[Line]:
    """Each piece as one material, or as several with no mark between where their names are held or all come to 100."""
    plains = [PlainPiece(piece) if _is_held(piece, names) else plain_piece(piece) for piece in pieces]
    run_on = [None if _is_held(piece, names) else read_run_on(piece) for piece in pieces]
    several = [_several(one, pair, names) for one, pair in zip(run_on, plains, strict=True)]
    if any(run_on):
        sure = all(names.spelt(name) for found in run_on if found for name, _, _ in found)
        try:
            total = sum(parts for found in several for _, parts, _ in found)
        except BadInput:
            total = 0.0
        if not (sure or abs(total - 100) <= _TOTAL_SLACK):
            raise _one_or_several(next(found for found in run_on if found), pieces, run_on)
    units = {bool(unit) for found in several for _, _, unit in found}
    if len(units) > 1:
        raise BadInput(
            "Some of its amounts have a unit, and others none.", "Write the unit to each, or to none.", field="recipe"
        )
    return [(name, in_grams(parts, unit) if unit else parts) for found in several for name, parts, unit in found]


def _several(
    run_on: list[tuple[str, float, str]] | None, piece: PlainPiece, names: Names
) -> list[tuple[str, float, str]]:
    if run_on:
        return [(names.spelt(name) or name, parts, unit) for name, parts, unit in run_on]
    name, parts = read_line(piece.text, names, field="recipe")
    return [(name, parts, piece.unit)]


def _one_or_several(
    found: list[tuple[str, float, str]], pieces: list[str], run_on: list[list[tuple[str, float, str]] | None]
) -> BadInput:
    piece = next(piece for piece, each in zip(pieces, run_on, strict=True) if each is found)
    as_several = ", ".join(f"{name} {plain(parts)}" for name, parts, _ in found)
    return BadInput(
        f"'{' '.join(piece.split())}' can be read as one material or as {len(found)}, and nothing tells which.",
        f"Put commas between, as in {as_several}, or the name in quotes.",
        field="recipe",
    )


def read_line(text: str, names: Names = _NO_NAMES, *, unit: str = "1", field: str = "") -> Line:
    """One material and its parts, or its amount in a unit; refused where the number may begin one word earlier.

    >>> read_line("talc 325 10"), read_line('"grog 20" 30'), read_line("sodium silicate 0,3 %", unit="%")
    (('talc 325', 10.0), ('grog 20', 30.0), ('sodium silicate', 0.3))
    """
    piece = text.strip()
    readings = list(_readings(piece, unit))
    held = [each for each in readings if each.spelt(names)]
    marked = [each for each in readings if each.marked]
    chosen = _distinct(held or marked or [each for each in readings if _is_name(each.name)])
    if len(chosen) > 1:
        raise _ambiguous(piece, chosen, field)
    if chosen:
        return chosen[0].spelt(names) or chosen[0].bare, chosen[0].parts
    raise _unread(" ".join(piece.split()), unit, field)


def write_recipe(lines: Iterable[Line], names: Names = _NO_NAMES) -> str:
    """Write a recipe so that it reads back as these lines, whatever the names are; a name is quoted where it has to be.

    >>> write_recipe([("kaolin", 30.0), ("ball clay 2", 22.5), ("clay, red", 10.0)])
    'kaolin 30, ball clay 2 22.5, "clay, red" 10'
    """
    held = list(lines)
    bare = [f"{name} {_figure(parts)}" for name, parts in held]
    quoted = [f"{_quote(name)} {_figure(parts)}" for name, parts in held]
    text = ", ".join(
        short if _reads_back(short, line) else full for short, full, line in zip(bare, quoted, held, strict=True)
    )
    try:
        return text if read_recipe(text, names) == held else ", ".join(quoted)
    except BadInput:
        return ", ".join(quoted)


def echo_recipe(text: str, names: Names = _NO_NAMES) -> str:
    """What was understood: number of materials and their total, and how a name that ends in a number was read."""
    lines = read_recipe(text, names)
    total = sum(parts for _, parts in lines)
    said = (
        f"= {len(lines)} materials, {plain(total)} parts" if len(lines) != 1 else f"= 1 material, {plain(total)} parts"
    )
    said += "" if abs(total - 100) < 0.005 else f" (taken as shares of {plain(total)})"
    numbered = [f"{plain(parts)} of {name}" for name, parts in lines if name[-1:].isdigit()]
    said += f"; {', '.join(numbered)}" if numbered else ""
    new = [name for name, _ in lines if names.match(name).is_new and not names.match(name).near]
    return said + (f"; new: {', '.join(new)}" if new and names.held else "")


def doubt_recipe(text: str, names: Names) -> str:
    """What is doubtful about the names of a recipe: those that are near to one the lab holds, or were given up."""
    said = []
    for name, _ in read_recipe(text, names):
        words, doubtful = names.says(name, made=True)
        if doubtful:
            said.append(f"{name}: {words}")
    return "; ".join(said)


# -- pieces ----------------------------------------------------------------------------------------


def split_recipe(text: str, names: Names = _NO_NAMES) -> Iterator[str]:
    """The text of each material: parted by commas, semicolons, lines and plus signs, except in quotes and in names."""
    marked = sorted((name for name in names if _APART.search(name)), key=len, reverse=True)
    at = start = 0
    begins = True
    while at < len(text):
        skip = _marked_name_length(text, at, marked) if begins else 0
        if skip:
            at, begins = at + skip, False
        elif apart := _APART.match(text, at):
            yield from filter(str.strip, [text[start:at]])
            at = start = apart.end()
            begins = True
        else:
            # a name in quotes, or one that holds a mark, may follow parts as well
            begins = text[at] in " \t\n" and _numeric(text[start : at + 1])
            at += 1
    yield from filter(str.strip, [text[start:]])


def _marked_name_length(text: str, at: int, marked: Iterable[str]) -> int:
    """How much of the text from here on is a name that is not to be taken apart."""
    blank = len(text[at:]) - len(text[at:].lstrip(" \t"))
    quoted = _QUOTED.match(text, at + blank)
    if quoted is not None:
        return quoted.end() - at
    for name in marked:
        held = text[at + blank : at + blank + len(name)]
        after = text[at + blank + len(name) :][:1]
        if fold_name(held) == fold_name(name) and (not after or after in " \t:=,;\n"):
            return blank + len(name)
    return 0


def _numeric(text: str) -> bool:
    return bool(re.fullmatch(r"\s*[\d.,½⅓⅔¼¾⅛⅜⅝⅞/]+\s*[x×%]?\s*", text))


def _readings(piece: str, unit: str) -> Iterator[_Reading]:
    """Every way to take a piece apart into a name and a number."""
    quoted = _QUOTED.match(piece)
    if quoted is not None:
        number = piece[quoted.end() :].strip().lstrip(":=").strip()
        if (parts := _number(number, unit)) is not None:
            yield _Reading(_unquoted(quoted), parts, number, marked=True, quoted=True)
            return
    for mark in _MARK.finditer(piece):
        name, number = piece[: mark.start()].strip(), piece[mark.end() :].strip()
        if name and (parts := _number(number, unit)) is not None:
            yield _Reading(name, parts, number, marked=True)
    for gap in re.finditer(r"\s+", piece):
        name, number = piece[: gap.start()], piece[gap.end() :]
        if name[-1] not in ":=" and (parts := _number(number, unit)) is not None:
            yield _Reading(name, parts, number)
    for gap in _TIMES.finditer(piece):
        number, name = piece[: gap.start()], piece[gap.end() :].strip()
        if not name or (parts := _number(number, unit)) is None:
            continue
        if (whole := _QUOTED.fullmatch(name)) is not None:
            yield _Reading(_unquoted(whole), parts, number, marked=True, quoted=True)
        else:
            yield _Reading(name, parts, number)


def _unquoted(match: re.Match[str]) -> str:
    return match.group(1).replace('""', '"').strip()


def _number(text: str, unit: str) -> float | None:
    """A number, or a quantity of the unit; None where the text is neither."""
    if not text or not (text[0].isdigit() or text[0] in ".,½⅓⅔¼¾⅛⅜⅝⅞"):
        return None
    if "/" in text and int(re.sub(r"\D.*", "", text.rpartition("/")[2].strip()) or 0) > _FINEST_FRACTION:
        return None
    try:
        if unit != "1":
            return quantity.parse_quantity(text, unit).value
        return quantity.parse_number(text.removesuffix("%").rstrip())
    except BadInput:
        return None


def _is_name(name: str) -> bool:
    return not name.startswith('"') and any(mark.isalpha() for mark in name)


def _distinct(readings: Iterable[_Reading]) -> list[_Reading]:
    distinct: dict[tuple[str, float], _Reading] = {}
    for each in readings:
        distinct.setdefault((fold_name(" ".join(each.name.split())), each.parts), each)
    return list(distinct.values())


def _ambiguous(piece: str, readings: list[_Reading], field: str) -> BadInput:
    one, other = readings[0], readings[1]
    return BadInput(
        f"'{' '.join(piece.split())}' can be read as {other.written} of '{other.name}' "
        f"or as {one.written} of '{one.name}'.",
        f"Write it as '{one.name} = {one.written}' or '{other.name} = {other.written}'.",
        field=field,
    )


def _unread(piece: str, unit: str, field: str) -> BadInput:
    """What is the matter with a piece that is no name with a number."""
    said, remedy = f"'{piece}' has no parts.", "Write it as: kaolin 30, ball clay 30, feldspar 22."
    if piece.startswith('"'):
        return BadInput(said, 'Close the quotes behind the name, as in "grog 20" 30.', field=field)
    name, _, number = piece.rpartition("=") if "=" in piece else piece.rpartition(" ")
    if name.strip() and number.strip():
        try:
            quantity.parse_quantity(number, unit)
        except BadInput as error:
            if unit != "1":
                return BadInput(error.reason, error.remedy, field=field)
            if number.strip()[:1].isdigit():
                remedy = str(error)
    return BadInput(said, remedy, field=field)


# -- writing ---------------------------------------------------------------------------------------


def _figure(parts: float) -> str:
    text = f"{Decimal(repr(float(parts))):f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text if len(text) <= LONGEST else repr(float(parts))


def _quote(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'


def _reads_back(text: str, line: Line) -> bool:
    """Whether a line reads as this material, in a lab that knows it and in one that does not."""
    beside = "b" if fold_name(line[0]) == "a" else "a"
    own = Names(_NO_NAMES.noun, (line[0],))
    try:
        return all(read_recipe(f"{text}, {beside} 1", names) == [line, (beside, 1.0)] for names in (_NO_NAMES, own))
    except BadInput:
        return False
