"""Which type a letter is set in: the embedded one, or, for what it lacks, one that PDF readers bring for Chinese,
Japanese and Korean."""

from __future__ import annotations

from functools import cache
from itertools import groupby
from typing import Any

_JAPANESE, _KOREAN, _CHINESE = "HeiseiKakuGo-W5", "HYGothic-Medium", "STSong-Light"


def font_runs(words: str, font: str) -> list[tuple[str, str]]:
    """Text in pieces, each with the type it is set in."""
    if words.isascii():
        return [(font, words)] if words else []
    known = _letters(font)
    other = _other(words)
    return [
        (font if there else _registered(other), "".join(group))
        for there, group in groupby(words, key=lambda letter: not _eastern(letter) or ord(letter) in known)
    ]


def has_all_letters(words: str, font: str) -> bool:
    """Whether one type has all of it."""
    return all(name == font for name, _ in font_runs(words, font))


def line_width(words: str, font: str, size: float) -> float:
    """How wide a text is, in points."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return sum(float(stringWidth(part, name, size)) for name, part in font_runs(words, font))


def draw_line(canvas: Any, left: float, bottom: float, words: str, font: str, size: float) -> None:
    """Write one line from its lower left corner, in points."""
    for name, part in font_runs(words, font):
        canvas.setFont(name, size)
        canvas.drawString(left, bottom, part)
        left += line_width(part, font, size)


def _eastern(letter: str) -> bool:
    code = ord(letter)
    return 0x1100 <= code <= 0x11FF or 0x2E80 <= code <= 0xD7FF or 0xF900 <= code <= 0xFAFF or 0xFF00 <= code <= 0xFFEF


def _other(words: str) -> str:
    """The type for what the embedded one lacks: by the letters of the text that only one language has."""
    if any(0xAC00 <= ord(letter) <= 0xD7FF or 0x1100 <= ord(letter) <= 0x11FF for letter in words):
        return _KOREAN
    return _JAPANESE if any(0x3040 <= ord(letter) <= 0x30FF for letter in words) else _CHINESE


@cache
def _registered(name: str) -> str:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.cidfonts import UnicodeCIDFont

    pdfmetrics.registerFont(UnicodeCIDFont(name))
    return name


@cache
def _letters(font: str) -> frozenset[int]:
    from reportlab.pdfbase import pdfmetrics

    return frozenset(pdfmetrics.getFont(font).face.charToGlyph)
