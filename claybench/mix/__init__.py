"""Sizing slabs and batches of slip: pure functions, floats and frozen dataclasses in and out.

No database, no clock, no screen. `size_slab` and `size_slip` are the two ways in; each formula they
use stands alone in a module beside them."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.mix import cautions as cautions, folded_cautions as folded_cautions
else:
    __getattr__ = modules_of(__name__)
