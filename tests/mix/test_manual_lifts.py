"""The lifts a lab makes with a slab, by NIOSH 94-110 (rev. 2021), each worked by hand from its factors."""

from __future__ import annotations

import pytest

from claybench.errors import BadInput
from claybench.mix.lifting import coupling_of, index_of_lift, people_to_lift
from claybench.mix.manual_lifts import hardest_lift, lifts_of_slab
from claybench.mix.slab_figures import slab_figures
from claybench.mix.slab_request import SlabRequest
from claybench.mix.slab_sizing import size_slab
from claybench.terms import LIFTS

LOAD = 15.7
"""kg: a slab of 60 × 40 × 4 cm, full of water, at mix ratio 70."""


def test_the_slab_weighs_what_the_lifts_are_worked_for() -> None:
    assert size_slab(SlabRequest(length_mm=600, width_mm=400, depth_mm=40)).full_g / 1000 == pytest.approx(
        LOAD, abs=0.05
    )


def test_from_the_floor_it_is_about_twice_what_one_person_should_lift() -> None:
    """60 × 40 × 4 cm flat on the floor, to a bench 90 cm high (V 2, D 88).

    Held by its ends, H = 25 + 40 / 2 = 45: 23 × .556 × .781 × .871 = 8.69 kg. With a fair grip (CM .95) 8.26 kg, index
    1.9; without handles the grip is poor (CM .90): 7.82 kg, index 2.0. End on, H = 25 + 60 / 2 = 55, it is 2.5.
    """
    ends, end_on = lifts_of_slab(600, 400, 40, ("floor", "end on"))
    assert (ends.hands_cm, ends.height_cm, ends.travel_cm, ends.coupling) == (45, 2, 88, 0.9)
    assert index_of_lift(LOAD, 45, 2, 88, 0.95) == pytest.approx(1.9, abs=0.01)
    assert ends.index(LOAD) == pytest.approx(2.01, abs=0.01) == LOAD / (23 * 25 / 45 * 0.781 * (0.82 + 4.5 / 88) * 0.9)
    assert end_on.hands_cm == 55 and end_on.index(LOAD) == pytest.approx(2.45, abs=0.01)


def test_each_lift_counts_at_its_harder_end() -> None:
    """By its ends, H 40 wherever V is 25 or more; VM and DM by hand: at 40 cm .895 and .91, at 90 .955 and 1, at 150
    .775 and .895."""
    by_place = {each.lift: each for each in lifts_of_slab(600, 400, 40, LIFTS[:-1])}
    expected = {"shelf below": 14.375 * 0.895 * 0.91, "bench": 14.375 * 0.955, "shelf above": 14.375 * 0.775 * 0.895}
    for place, before_grip in expected.items():
        assert by_place[place].recommended_kg == pytest.approx(before_grip * 0.9), place
        assert not by_place[place].end_on
    assert hardest_lift(list(by_place.values())).lift == "floor"
    assert len(lifts_of_slab(400, None, 40)) == 4 == len(lifts_of_slab(400, 400, 40)), "no side is longer"


def test_the_figures_give_the_index_of_each_lift_and_why() -> None:
    sized = size_slab(SlabRequest(length_mm=600, width_mm=400, depth_mm=40))
    figures = slab_figures(sized)
    places = [name for name in figures if name.startswith("lifting_index_")]
    assert len(places) == 4 and max(figures[name].value for name in places) == figures["lifting_index"].value
    assert "V, hands above the floor = 2 cm" in "\n".join(figures["lifting_index_floor"].why.lines())
    assert "end on" in sized.lift_case and sized.lift_case.startswith("2.4 times")
    wide = slab_figures(size_slab(SlabRequest(length_mm=800, width_mm=400, depth_mm=40)))
    assert "lifting_index_floor" not in wide and "recommended_kg" not in wide and wide["people"].value == 2


def test_two_people_stand_at_its_ends_and_more_take_a_lifting_aid() -> None:
    assert [people_to_lift(load, 10, 14) for load in (10, 10.1, 28, 28.1)] == [1, 2, 2, 3]
    assert people_to_lift(1, 0, 14) == 2, "out of reach of one, however light"


def test_a_grip_is_one_of_the_manual_s() -> None:
    assert [coupling_of(grip, height) for grip in ("good", "fair", "poor") for height in (74, 75)] == [
        *(1.0, 1.0), *(0.95, 1.0), *(0.9, 0.9)
    ]  # fmt: skip
    with pytest.raises(BadInput, match="good, fair, poor"):
        coupling_of("slippery", 75)
