"""Python's collector of cyclic garbage, put off while a million values are held at once: it would go through all of
them again and again, a fifth of the whole time, and there are no cycles among them."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collection_put_off() -> Iterator[None]:
    """Collect nothing until this is done; what was switched off before stays so."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
