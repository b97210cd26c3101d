"""Rows of someone's table that are none of what its rows are: averages, sums, headings between rows, remarks; and ditto
marks, which stand for what is above them.

Such a row is passed over and named; nothing here decides what a value means.
"""

from __future__ import annotations

import re
import statistics
from collections.abc import Collection, Iterable, Sequence

from claybench.exchange.reading.cell_values import bare_number, is_undecided

Row = tuple[int, tuple[str, ...]]
"""A row of the file with its number."""

_DITTO = re.compile(r"""["“”„″〃]|''|[-–—]\s*["“”″]\s*[-–—]|ditto|do\.?|idem|as above""", re.I)
_MEANS = r"mean|average|avge?|ave|ø|⌀|mittel(?:wert)?|durchschnitt|moyenne|media"
_SUMS = r"(?:grand\s+|sub-?\s*)?totals?|sum|summe|gesamt|somme|totale"
_SPREADS = r"st(?:andar)?d\.?\s*dev(?:iation)?s?|std\.?|s\.d|stdev\w*|median|minimum|maximum"
_COUNTS = r"min|max|count|range|spread"
_SUMMARY = re.compile(
    rf"(?:the\s+)?(?:{_MEANS}|{_SUMS}|{_SPREADS})\.?(?:\s*[:=(].*|\s+(?:of|for)\b.*|\s*[\d.,–-]+.*|\s+\S{{1,4}})?"
    rf"|(?:{_COUNTS})\.?(?:\s*[:=].*|\s+\d+)?|(?:n|sd|cv)\s*[:=].*"
    rf"|.{{1,30}}[\s:](?:{_MEANS}|{_SUMS}|st\.?\s*dev\w*)\.?",
    re.I,
)
_WEAK = re.compile(r"n|sd|cv|s|σ", re.I)
"""What is a spread or a count below an average, and may be a code elsewhere."""
_FEW = 3
"""Filled cells that rows usually have, from which one with a single one is no row."""


def is_ditto(text: str) -> bool:
    """Whether a cell says that it is as above.

    >>> [is_ditto(text) for text in ('"', "do.", "-\\"-", '4"', "door")]
    [True, True, True, False, False]
    """
    return _DITTO.fullmatch(text.strip()) is not None


def is_summary(text: str) -> bool:
    """Whether a row that begins so sums up others.

    >>> [is_summary(text) for text in ("Mean", "avg B", "Total: 6 bars", "n = 2", "series A average")]
    [True, True, True, True, True]
    >>> [is_summary(text) for text in ("A1", "Meanwood clay", "N-1", "total white 3", "summer")]
    [False, False, False, False, False]
    """
    return _SUMMARY.fullmatch(" ".join(text.split())) is not None


def rows_passed_over(rows: Sequence[Row], keys: Sequence[int], numbers: Sequence[int], noun: str) -> dict[int, str]:
    """Why each of some rows is no row of its own, by its number.

    Parameters
    ----------
    rows
        Rows under the headings.
    keys
        Columns of codes and names, that which says what a row is first.
    numbers
        Columns of numbers.
    noun
        What a row is.
    """
    out: dict[int, str] = {}
    usual = _usual_fill(rows)
    shapes = {_shape(cells[key]) for _, cells in rows for key in keys[:1] if cells[key].strip() and _fill(cells) > 1}
    block: list[tuple[str, ...]] = []
    for number, cells in rows:
        said = _leading_text(cells, keys)
        if said and (is_summary(said) or (not block and out and _WEAK.fullmatch(said))):
            out[number] = f"'{said}' sums up other rows: it is no {noun} of its own."
        elif _fill(cells) == 1 and usual >= _FEW and said and _shape(said) not in shapes:
            out[number] = f"Only '{said[:40]}' stands here: a heading between rows, or a remark, is no {noun}."
        elif not any(mark.isalpha() for cell in cells for mark in cell) and (what := _sums_up(cells, block, numbers)):
            out[number] = f"{what} It is no {noun} of its own."
        else:
            block.append(cells)
            continue
        block = []
    return out


def _fill(cells: Sequence[str]) -> int:
    return sum(bool(cell.strip()) for cell in cells)


def _usual_fill(rows: Iterable[Row]) -> float:
    fills = [_fill(cells) for _, cells in rows]
    return statistics.median(fills) if fills else 0


def _leading_text(cells: Sequence[str], keys: Iterable[int]) -> str:
    """The text that says what a row is: one that sums up, its key's, else the first that is no number."""
    summary = next((cells[key].strip() for key in keys if is_summary(cells[key])), "")
    if summary:
        return summary
    named = next((cells[key].strip() for key in keys if cells[key].strip()), "")
    first = next((cell.strip() for cell in cells if cell.strip()), "")
    if named and not is_summary(first):
        return named
    return next((cell.strip() for cell in cells if any(mark.isalpha() or mark == "⌀" for mark in cell)), "")


def _shape(text: str) -> str:
    """A text with its letters and digits each as one."""
    return re.sub(r"\d+", "9", re.sub(r"[^\W\d_]+", "a", " ".join(text.split())))


def _sums_up(cells: Sequence[str], block: Sequence[Sequence[str]], numbers: Iterable[int]) -> str:
    """What a row without a name is, where each number in it is the sum or the mean of those above."""
    said = ""
    for column in numbers:
        own = _number(cells[column])
        if own is None:
            continue
        above = [value for each in block if (value := _number(each[column])) is not None]
        if len(above) < 2:
            return ""
        for word, value in (("sum", sum(above)), ("mean", statistics.fmean(above))):
            if abs(own - value) <= 0.006 * max(abs(value), 1e-9):
                said = f"{cells[column].strip()} is the {word} of the rows above."
                break
        else:
            return ""
    return said


def _number(text: str) -> float | None:
    bare = bare_number(text)
    try:
        return None if is_undecided(text) else float(bare.replace(",", "."))
    except ValueError:
        return None


def fill_dittos(rows: Sequence[Row], passed: Collection[int]) -> tuple[tuple[Row, ...], dict[tuple[int, int], str]]:
    """Rows with each ditto mark replaced by what stands above it, and the marks above which nothing stands, by row
    and column. Rows that are passed over stand above nothing."""
    out: list[Row] = []
    lost: dict[tuple[int, int], str] = {}
    above: list[str] = []
    for number, cells in rows:
        if not any(is_ditto(cell) for cell in cells):
            out.append((number, cells))
        else:
            filled = list(cells)
            for column, cell in enumerate(cells):
                if is_ditto(cell):
                    filled[column] = above[column] if above else ""
                    if not filled[column].strip():
                        lost[number, column] = cell
            out.append((number, tuple(filled)))
        if number not in passed:
            above = list(out[-1][1])
    return tuple(out), lost
