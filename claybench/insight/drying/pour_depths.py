"""Depths of slip: which can be, and which a body was last poured at."""

from __future__ import annotations

from claybench.errors import BadInput
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.slip_layers import USUAL_DEPTH_MM
from claybench.quantity.shown import plain
from claybench.terms.sizing import SLIP

_SHALLOWEST_MM, _DEEPEST_MM = (limit or 0.0 for limit in SLIP["layer_mm"].possible)


def check_depth(depth_mm: float) -> None:
    """Refuse a depth of slip that cannot be."""
    if not _SHALLOWEST_MM <= depth_mm <= _DEEPEST_MM:
        raise BadInput(
            f"The depth of slip has to be between {plain(_SHALLOWEST_MM)} and {plain(_DEEPEST_MM)} mm.",
            f"{plain(USUAL_DEPTH_MM)} mm is usual.",
            field="layer",
        )


def last_depth_mm(model: LabModel, body: str) -> float:
    """Whole millimetres at which a body was last poured; the usual depth where it never was."""
    runs = [each.run for each in model.poured.values() if each.body is not None and each.body.body == body]
    depths = [run.layer_mm for run in sorted(runs, key=lambda run: run.started_at) if run.layer_mm is not None]
    rounded = [round(depth) for depth in depths if _SHALLOWEST_MM <= round(depth) <= _DEEPEST_MM]
    return rounded[-1] if rounded else USUAL_DEPTH_MM
