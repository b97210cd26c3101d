"""Codes to scratch into clay: five characters at most, none that can be taken for another.

Which codes a lab has used already is the caller's to say; nothing here knows a record.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Collection
from itertools import product

from claybench.errors import BadInput

LONGEST = 5
SYMBOLS = "379ACKNPXY"
"""What is handed out. Left out, since one can pass for the other when scratched, worn or glazed over:
0 O D Q · 1 I L J T 7 (7 stays) · 2 Z · 5 S · 6 G · 8 B 3 E (3 stays) · U V Y (Y stays) · 4 H A (A stays) ·
M W N (N stays) · F R P (P stays) · 6 9 upside down (9 stays)."""

_GROUPS = ("0ODQ", "1ILJT7", "2Z", "5S", "6G", "8B3E", "UVY", "4HA", "MWN", "FRP", "C", "K", "X", "9")
_LOOKS = {symbol: group[0] for group in _GROUPS for symbol in group}
_OURS = frozenset(_LOOKS[symbol] for symbol in SYMBOLS)
_UPSIDE_DOWN = {"L": "7", "7": "L", "J": "7", "6": "9", "9": "6", "3": "E", "E": "3", "U": "N", "V": "A"} | {
    "A": "V", "Y": "A", "4": "H", "M": "W", "W": "M", "P": "D"
}  # fmt: skip
"""What a symbol looks like when the piece lies the other way round, if not like itself."""
_FOLD = str.maketrans(_LOOKS)
_TURN = str.maketrans(_UPSIDE_DOWN)


def is_legible(code: str) -> bool:
    """Whether a code can be scratched and read back without doubt, whichever way up the piece lies.

    Upside down it has to show a symbol that is never handed out (P and 9 do), so that the reader
    turns the piece; of two codes that look like each other turned round, only one is legible.
    """
    if not 0 < len(code) <= LONGEST or any(symbol not in SYMBOLS for symbol in code):
        return False
    turned = code[::-1].translate(_TURN).translate(_FOLD)
    return not _OURS.issuperset(turned) or code.translate(_FOLD) <= turned


def fold_look_alikes(code: str) -> str:
    """What a hurried eye sees: look-alike symbols folded together, case, spaces and marks ignored."""
    return _plain(code).translate(_FOLD)


def next_codes(prefix_hint: str, taken: Collection[str], count: int) -> list[str]:
    """The next `count` free codes, all of one length, beginning with what is usable of the hint.

    A code is free when it cannot be mistaken for a taken one, read either way up, nor for a taken
    one whose end has broken off. The same call gives the same codes.
    """
    if not 1 <= count <= 10_000:
        raise BadInput(f"{count} codes cannot be handed out at once.", "Ask for 1 to 10000.", field="count")
    used = {fold_look_alikes(code) for code in taken} | {fold_look_alikes(_turn(code)) for code in taken}
    broken = {seen[:-1] for seen in used}
    wanted = "".join(symbol for symbol in prefix_hint.upper() if symbol in SYMBOLS)[: LONGEST - 2]
    for prefix in (wanted[:length] for length in range(len(wanted), -1, -1)):
        for length in range(max(3, len(prefix) + 1), LONGEST + 1):
            codes = _free(prefix, length, used, broken, count)
            if len(codes) == count:
                return codes
    raise BadInput(
        f"There are not {count} codes of {LONGEST} characters left.",
        "Write longer codes on a label beside the piece, or ask for fewer.",
        field="count",
    )


def _free(prefix: str, length: int, used: set[str], broken: set[str], count: int) -> list[str]:
    codes: list[str] = []
    for tail in product(SYMBOLS, repeat=length - len(prefix)):
        code = prefix + "".join(tail)
        seen = code.translate(_FOLD)
        if seen in used or seen[:-1] in used or seen in broken:
            continue
        if is_legible(code):
            codes.append(code)
            if len(codes) == count:
                break
    return codes


def _turn(code: str) -> str:
    return _plain(code)[::-1].translate(_TURN)


def _plain(code: str) -> str:
    if not code.isascii():
        code = unicodedata.normalize("NFKD", code)
    return "".join(symbol for symbol in code.upper() if symbol.isalnum())
