"""Products and roots of matrices in pieces so small that one thread does them.

Linear algebra libraries share larger ones among threads, and where all cores are busy these wait for each other a
hundred times longer than the work takes.
"""

from __future__ import annotations

from claybench.later import Floats, np

_BLOCK = 60
_WORK = 200_000
"""Multiplications that stay with one thread; OpenBLAS shares from 262,144 on."""


def times(left: Floats, right: Floats) -> Floats:
    """left @ right.

    >>> import numpy as np
    >>> times(np.array([[1.0, 2.0]]), np.array([[3.0], [4.0]])).tolist()
    [[11.0]]
    """
    width = max(_WORK // max(left.size, 1), 1)
    if width >= right.shape[1]:
        return np.asarray(left @ right, dtype=float)
    return np.hstack([left @ right[:, start : start + width] for start in range(0, right.shape[1], width)])


def root_of(matrix: Floats) -> Floats:
    """Cholesky root.

    >>> import numpy as np
    >>> root_of(np.array([[4.0, 2.0], [2.0, 5.0]])).tolist()
    [[2.0, 0.0], [1.0, 2.0]]
    """
    left, size = np.array(matrix), len(matrix)
    for start in range(0, size, _BLOCK):
        end = min(start + _BLOCK, size)
        own = left[start:end, start:end] = np.linalg.cholesky(left[start:end, start:end])
        back = np.linalg.inv(own).T
        for row in range(end, size, _BLOCK):
            left[row : row + _BLOCK, start:end] = left[row : row + _BLOCK, start:end] @ back
            for column in range(end, row + 1, _BLOCK):
                across = left[column : column + _BLOCK, start:end].T
                left[row : row + _BLOCK, column : column + _BLOCK] -= left[row : row + _BLOCK, start:end] @ across
    found: Floats = np.tril(left)
    return found


def solved(root: Floats, right: Floats) -> Floats:
    """x where root · x = right, for a root as `root_of` gives it.

    >>> import numpy as np
    >>> solved(np.array([[2.0, 0.0], [1.0, 2.0]]), np.array([[2.0], [5.0]])).tolist()
    [[1.0], [2.0]]
    """
    found, size = np.array(right), len(root)
    for start in range(0, size, _BLOCK):
        end = min(start + _BLOCK, size)
        if start:
            found[start:end] -= times(root[start:end, :start], found[:start])
        own: Floats = np.linalg.inv(root[start:end, start:end]).astype(np.float64)
        found[start:end] = times(own, found[start:end])
    return found
