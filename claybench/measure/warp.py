"""Warp of a fired piece."""

from __future__ import annotations

import math

from claybench.errors import OutOfRange
from claybench.facts.reason import formula
from claybench.quantity.shown import show


@formula()
def warp(gap_mm: float, edge_mm: float) -> float:
    """Warp of an edge: how far its middle lies off a straight edge, of its length.

    Formula: W = 100 · d / L

    Parameters
    ----------
    gap_mm : float [mm]
        d at mid-length, negative where the middle lies below its ends.
    edge_mm : float [mm]
        L of the edge, more than 0 and more than d.

    Returns
    -------
    warp_pct : float [%]

    Raises
    ------
    OutOfRange
        No length, or a gap as long as the edge.

    Sources
    -------
    1. ASTM C485: deviation at mid-length, per cent of the edge.

    Examples
    --------
    >>> round(warp(0.4, 130), 4)
    0.3077
    """
    if not 0 < edge_mm < math.inf or not abs(gap_mm) < edge_mm:
        raise OutOfRange(
            f"A gap of {show(gap_mm, 'mm')} on an edge of {show(edge_mm, 'mm')} cannot be.",
            "Gap first, then the edge: 0.4 of 130 mm.",
            field="gap_mm",
        )
    return 100 * gap_mm / edge_mm
