"""Which of the lab's bodies: a question typed in one line, and the bodies that answer it.

Plain tables in, rows out; the record is read in `ask`, and the numbers are those of the comparison.
"""

from claybench.insight.bodies.query.body_lines import Line, Value, cost_per_kg, lines_of
from claybench.insight.bodies.query.matching import answer, sorted_lines
from claybench.insight.bodies.query.parsing import EXAMPLE, Known, read_limit, read_question
from claybench.insight.bodies.query.query import NUMBERS, Limit, Question, number_label, number_short, said, written

__all__ = [
    "EXAMPLE",
    "NUMBERS",
    "Known",
    "Limit",
    "Line",
    "Question",
    "Value",
    "answer",
    "cost_per_kg",
    "lines_of",
    "number_label",
    "number_short",
    "read_limit",
    "read_question",
    "said",
    "sorted_lines",
    "written",
]
