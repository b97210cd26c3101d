"""Which of the lab's bodies: a question typed in one line, and the bodies that answer it.

Plain tables in, rows out; the record is read in `ask`, and the numbers are those of the comparison."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.bodies.query import matching as matching, parsing as parsing, query as query
else:
    __getattr__ = modules_of(__name__)
