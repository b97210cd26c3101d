"""From what was typed to the request of a sizing, and what is on the shelf for it."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.sizing import (
        pour_weighings as pour_weighings,
        requests as requests,
        shelf as shelf,
        slabs_for_sizing as slabs_for_sizing,
    )
else:
    __getattr__ = modules_of(__name__)
