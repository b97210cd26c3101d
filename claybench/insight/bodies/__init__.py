"""Bodies: side by side, their plasticity, and which of them a typed question means."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.bodies import comparison as comparison, plasticity as plasticity, query as query
else:
    __getattr__ = modules_of(__name__)
