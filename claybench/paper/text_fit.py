"""Fitting text into a box: breaking lines, words too long for one, and cutting what finds no room."""

from __future__ import annotations

from collections.abc import Callable, Sequence
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


MORE = "…"
Measure = Callable[[str], float]
"""How wide a text is."""


def text_width(font: str, size: float) -> Measure:
    """The width in points of text in a type and size."""
    return lambda words: line_width(words, font, size)


def wrap_text(words: str, measure: Measure, room: float | Callable[[int], float]) -> list[str]:
    """Text in lines no wider than there is room; a word too long for a line is broken where it has to be.

    `room` is a width, or tells the width of each line by its number.

    >>> wrap_text("kaolin and ball clay", len, 8), wrap_text("unbreakable", len, 4)
    (['kaolin', 'and ball', 'clay'], ['unbr', 'eaka', 'ble'])
    """
    lines: list[str] = []

    def width() -> float:
        return room(len(lines)) if callable(room) else room

    now = ""
    for word in words.split():
        if now and measure(f"{now} {word}") <= width():
            now = f"{now} {word}"
            continue
        if now:
            lines.append(now)
        now = word
        while measure(now) > width() and len(now) > 1:
            kept = _begin(now, measure, width())
            lines.append(kept)
            now = now[len(kept) :]
    return [*lines, now] if now else lines


def clip_lines(lines: Sequence[str], most: int, measure: Measure, room: float) -> list[str]:
    """At most so many lines, the last one ending in … where more would have come.

    >>> clip_lines(["kaolin", "and ball", "clay"], 2, len, 8)
    ['kaolin', 'and bal…']
    """
    if len(lines) <= most:
        return list(lines)
    if most < 1:
        return []
    last = lines[most - 1]
    while last and measure(last + MORE) > room:
        last = last[:-1]
    return [*lines[: most - 1], last.rstrip() + MORE]


def fit_one_line(words: str, measure: Measure, room: float) -> str:
    """The text on one line, cut where it is too long."""
    flat = " ".join(words.split())
    return flat if measure(flat) <= room else clip_lines([flat, ""], 1, measure, room)[0]


def _begin(word: str, measure: Measure, room: float) -> str:
    end = next((n for n in range(2, len(word) + 1) if measure(word[:n]) > room), len(word) + 1)
    return word[: end - 1]
