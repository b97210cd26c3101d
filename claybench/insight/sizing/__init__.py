"""From what was typed to the request of a sizing, and what is on the shelf for it."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.sizing import requests as requests
else:
    __getattr__ = modules_of(__name__)
