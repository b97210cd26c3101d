"""How long the two sizings take as pure functions: `python -m tests.bench.sizing` prints a line for each."""

from __future__ import annotations

import timeit

from claybench.mix.slab_request import SlabRequest
from claybench.mix.slab_sizing import size_slab
from claybench.mix.slip_request import BodyPart, PieceWanted, SlabState, SlipRequest
from claybench.mix.slip_sizing import size_slip

_CALLS = 2000


def main() -> None:
    """Measure and print."""
    slab = SlabRequest(
        length_mm=500, width_mm=400, capacity_g=3000, weighing_bucket_ml=5000, mixing_bucket_ml=15_000, count=3
    )
    parts = [BodyPart(material=name, parts=25.0, moisture_pct=4.0, price_per_kg=1.0) for name in "abcd"]
    slabs = [SlabState(slab=f"P{n}", usable_area_cm2=1800, capacity_left_g=2500, rim_mm=25) for n in range(8)]
    slip = SlipRequest(
        body=tuple(parts),
        pieces=(PieceWanted(count=5, length_mm=130, width_mm=30, thickness_mm=10, spares=1),),
        firings=3,
        layer_mm=10,
        slabs=tuple(slabs),
    )
    for name, call in (("size_slab", lambda: size_slab(slab)), ("size_slip", lambda: size_slip(slip))):
        best = min(timeit.repeat(call, number=_CALLS, repeat=5)) / _CALLS
        print(f"{name}: {1000 * best:.3f} ms a call (wanted: under 1 ms)")


if __name__ == "__main__":
    main()
