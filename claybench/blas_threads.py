"""One thread for linear algebra on matrices of a few hundred rows, wherever it is called from.

BLAS shares such matrices among all cores; where these are busy the threads wait for each other, and a fit of
milliseconds takes more than a second now and then.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache

from threadpoolctl import ThreadpoolController

from claybench.later import np


@cache
def _blas() -> ThreadpoolController:
    """The BLAS that numpy brings; loaded here, since only libraries in memory are found."""
    np.linalg  # noqa: B018
    return ThreadpoolController().select(user_api="blas")


@contextmanager
def one_blas_thread() -> Iterator[None]:
    """Keep numpy's linear algebra to one thread inside the block or the decorated function.

    >>> with one_blas_thread():
    ...     np.linalg.cholesky(np.array([[4.0, 2.0], [2.0, 5.0]])).tolist()
    [[2.0, 0.0], [1.0, 2.0]]
    """
    with _blas().limit(limits=1):
        yield
