"""What loads only when it is first used: numpy, scipy.special, and the modules of rooms that stand on them or on the
database.

Imports stand at the top of a module; these two are the only ways around that, so that `--help` and the first paint of
the screen do not wait for libraries they never use.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from scipy import special

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]
else:

    class _Later(ModuleType):
        """A library by its name; each name in it is kept once it was asked for."""

        def __getattr__(self, name: str) -> object:
            value = getattr(import_module(self.__name__), name)
            setattr(self, name, value)
            return value

    Floats = Ints = Bools = object  # annotations alone, which nothing evaluates
    np = _Later("numpy")
    special = _Later("scipy.special")

__all__ = ["Bools", "Floats", "Ints", "modules_of", "np", "special"]


def modules_of(package: str) -> Callable[[str], ModuleType]:
    """The `__getattr__` of a package whose modules load when they are first named (PEP 562).

    Those that are named through the package stand in it under `TYPE_CHECKING`, for the types:

        from claybench import ask

        ask.bench.bench_now(lab)
    """

    def load(name: str) -> ModuleType:
        if name.startswith("_") or find_spec(f"{package}.{name}") is None:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        return import_module(f"{package}.{name}")

    return load
