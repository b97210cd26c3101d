"""Test pieces: whose a bar is, odd readings, how well readings repeat, where a fault came from."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.insight.pieces import (
        fault_trace as fault_trace,
        measurement_study as measurement_study,
        outliers as outliers,
        piece_identification as piece_identification,
        piece_lines as piece_lines,
        reading_questions as reading_questions,
        repeatability as repeatability,
    )
else:
    __getattr__ = modules_of(__name__)
