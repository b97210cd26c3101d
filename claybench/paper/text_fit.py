"""Fitting text into a box: breaking lines, words too long for one, and cutting what finds no room."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from claybench.paper.font_runs import line_width

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
