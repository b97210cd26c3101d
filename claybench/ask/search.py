"""Finding anything by a few letters of its code, or by the text of a label that was scanned."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, unquote

from claybench.quantity.shown import natural_key
from claybench.record.lab import Lab
from claybench.terms import TABLE_OF, Batch, Body, Firing, Lot, Material, Piece, Run, Slab
from claybench.terms.naming import fold_name

_KINDS = (Run, Batch, Slab, Body, Piece, Firing, Material, Lot)
_BY_NOUN = {TABLE_OF[kind].noun: kind for kind in _KINDS}
_SCHEME = "claybench:"
_LOOKED_AT = 200
"""Codes of one kind, the shortest first, that are put in order and offered."""


def scan_text(kind: type[Any], code: str) -> str:
    """What the scannable code of a label says: plain text, the code percent-encoded.

    In capitals, since a scannable code takes a third less room for those; codes are the same in either case.

    >>> scan_text(Batch, "b_1"), scan_text(Body, "½ & [x]")
    ('CLAYBENCH:BATCH/B%5F1', 'CLAYBENCH:BODY/%C2%BD%20%26%20%5BX%5D')
    """
    encoded = quote(code, safe="").replace("_", "%5F").replace("~", "%7E")
    return f"{_SCHEME}{TABLE_OF[kind].noun}/{encoded}".upper()


def read_scan(text: str) -> tuple[type[Any], str] | None:
    """Kind and code of a scanned text; None where it is not one.

    >>> read_scan(" CLAYBENCH:Batch/B%2D01\\n") == (Batch, "B-01"), read_scan("B-01"), read_scan("claybench:cup/1")
    (True, None, None)
    """
    code_text = text.strip()
    if code_text[: len(_SCHEME)].casefold() != _SCHEME:
        return None
    noun, _, code = code_text[len(_SCHEME) :].partition("/")
    kind = _BY_NOUN.get(noun.casefold())
    code = unquote(code).strip()
    return (kind, code) if kind is not None and code else None


def noun_of(kind: type[Any]) -> str:
    """What one thing of a scanned kind is called.

    >>> noun_of(Batch)
    'batch'
    """
    return TABLE_OF[kind].noun


@dataclass(frozen=True, slots=True)
class FoundCode:
    """One thing found."""

    kind: str
    """Name of its table."""
    noun: str
    code: str
    text: str


def find_codes(lab: Lab, text: str, *, limit: int = 30) -> list[FoundCode]:
    """Rows whose code begins with or holds the text, exact and leading matches first.

    A scanned label finds what it names and nothing else: a code that is longer is another thing.
    """
    scan = read_scan(text)
    wanted = fold_name(scan[1] if scan else text)
    if not wanted:
        return []
    if scan is not None:
        with lab.reading() as record:
            row = record.find(scan[0], wanted)
        return [] if row is None else [_found(scan[0], getattr(row, str(TABLE_OF[scan[0]].code)))]
    found: list[FoundCode] = []
    with lab.reading() as record:
        for leading in (True, False):
            for kind in _KINDS if len(found) < limit else ():
                codes = record.codes_holding(kind, wanted, leading=leading, most=max(limit, _LOOKED_AT))
                found += (_found(kind, code) for code in sorted(codes, key=natural_key))
    found.sort(key=lambda hit: fold_name(hit.code) != wanted)
    return found[:limit]


def _found(kind: type[Any], code: str) -> FoundCode:
    return FoundCode(TABLE_OF[kind].name, TABLE_OF[kind].noun, code, "")
