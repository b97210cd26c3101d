"""Finding by a few letters: what is called so, then what begins so, then what holds it; on both databases."""

from __future__ import annotations

from claybench.ask.search import find_codes
from claybench.record.lab import Lab
from claybench.terms import Body, Firing, Material, Slab


def test_the_exact_one_then_what_begins_so_then_what_holds_it(lab: Lab) -> None:
    with lab.acting("made up") as act:
        codes = ("P1", "100%", "Ölton P1", "xP1", *(f"P1-{n}" for n in range(1, 41)))
        act.add_many([Body(body=code) for code in codes])
        act.add_many([Material(material=code) for code in ("kaolin p1", "1000")])
        act.add(Firing(firing="P1"))
        act.add(Slab(slab="P1", length_mm=300.0, thickness_mm=40.0))

    def found(typed: str, limit: int = 60) -> list[str]:
        return [f"{hit.noun} {hit.code}" for hit in find_codes(lab, typed, limit=limit)]

    everything = found(" p1 ")
    assert everything[:4] == ["slab P1", "body P1", "firing P1", "body P1-1"]
    assert everything[-3:] == ["body xP1", "body Ölton P1", "material kaolin p1"]
    assert len(everything) == 46
    # so many codes begin so that the list is full, and the firing of just that name stands in it all the same
    assert found("P1", 5) == everything[:5]
    assert found("100%") == ["body 100%"] and found("ÖLTON") == ["body Ölton P1"] and found("_") == found("  ") == []
