"""The code that a new row is offered: after the newest one, or the next of its kind that is free."""

from __future__ import annotations

from collections.abc import Sequence


def next_code(taken: Sequence[str], first: str) -> str:
    """The code after the newest one, its last number raised by one; `first` where none is taken.

    >>> next_code(["W-08", "W-09"], "R1"), next_code([], "R1")
    ('W-10', 'R1')
    """
    if not taken:
        return first
    used = {code.casefold() for code in taken}
    stem = taken[-1].rstrip("0123456789")
    digits = taken[-1][len(stem) :]
    number = int(digits) if digits else 0
    while True:
        number += 1
        code = f"{stem}{str(number).zfill(len(digits))}" if digits else f"{taken[-1]}-{number + 1}"
        if code.casefold() not in used:
            return code


def next_batch_code(body: str, taken: Sequence[str]) -> str:
    """The first free code of a body's batches.

    >>> next_batch_code("B-01", ["b-01-1", "W-1"])
    'B-01-2'
    """
    used = {code.casefold() for code in taken}
    number = 1
    while f"{body}-{number}".casefold() in used:
        number += 1
    return f"{body}-{number}"
