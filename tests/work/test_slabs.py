"""Acts on slabs: casting, entering an old one, weighing, service, retirement, and the air around them."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from claybench.errors import BadInput, NotFound, OutOfRange, Refused
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.terms import Air, Family, Slab, SlabEvent
from claybench.work import runs, slabs

HOUR = timedelta(hours=1)
CAST = Slab(
    slab="P2",
    family="white",
    length_mm=400.0,
    width_mm=300.0,
    thickness_mm=50.0,
    mix_ratio=70.0,
    plaster_g=7000.0,
    water_g=4900.0,
)


def test_a_slab_is_cast_and_its_log_begins(lab: Lab, at: datetime) -> None:
    slabs.cast_slab(lab, CAST, mixed_at=at)
    with lab.reading() as record:
        assert record.rows(Slab) == [CAST]
        assert record.rows(SlabEvent) == [SlabEvent(slab="P2", at=at, event="mixed", water_g=4900.0)]
        assert record.codes(Family) == ["white"]
    with pytest.raises(Refused, match="already a slab 'p2'"):
        slabs.cast_slab(lab, Slab(slab="p2", length_mm=1.0, thickness_mm=1.0))


def test_a_slab_is_cast_without_the_hour(lab: Lab) -> None:
    slabs.cast_slab(lab, CAST)
    with lab.reading() as record:
        assert record.rows(SlabEvent) == []


def test_an_old_slab_is_entered_with_what_it_weighs_now(lab: Lab, at: datetime) -> None:
    old = Slab(slab="P0", length_mm=350.0, thickness_mm=40.0)
    slabs.enter_slab(lab, old, at=at, mass_g=8200.0)
    with lab.reading() as record:
        assert record.rows(Slab) == [old]
        assert record.rows(SlabEvent) == [SlabEvent(slab="P0", at=at, event="weighed", mass_g=8200.0)]
        assert next(entry.label for entry in list_acts(record)) == "Entered slab P0"


def weigh(lab: Lab, slab: str, mass_g: float, *, at: datetime, dry: bool = False, by: str | None = None) -> None:
    event = "weighed_dry" if dry else "weighed"
    slabs.log_slab(lab, SlabEvent(slab=slab, at=at, event=event, mass_g=mass_g, by=by))


@pytest.mark.parametrize("dry", [False, True])
def test_a_slab_is_weighed(bench: Lab, at: datetime, dry: bool) -> None:
    weigh(bench, "P1", 9800.0, at=at, dry=dry, by="the tall one")
    with bench.reading() as record:
        event = SlabEvent(slab="P1", at=at, event="weighed_dry" if dry else "weighed", mass_g=9800.0, by="the tall one")
        assert record.rows(SlabEvent) == [event]
        assert list_acts(record)[0].label == f"Weighed slab P1{' dry' if dry else ''}"


def test_a_mass_that_cannot_be(bench: Lab, at: datetime) -> None:
    with pytest.raises(OutOfRange, match="Mass is 0. It must be more than 0"):
        weigh(bench, "P1", 0.0, at=at)
    with pytest.raises(NotFound, match="no slab 'P9'"):
        weigh(bench, "P9", 9000.0, at=at)


@pytest.mark.parametrize("lifted", [False, True])
def test_a_slab_under_a_layer_is_not_weighed_as_bare(poured: Lab, at: datetime, lifted: bool) -> None:
    """Neither now nor, typed in late, for a time at which a layer lay there."""
    if lifted:
        runs.lift_off(poured, "R-1", "workable", at=at + 3 * HOUR)
    with pytest.raises(Refused, match="R-1 lies on slab P1, so this is not the mass of the bare slab. Weigh it"):
        weigh(poured, "P1", 9800.0, at=at + HOUR)
    weigh(poured, "P1", 9700.0, at=at - HOUR)
    if lifted:
        weigh(poured, "P1", 9900.0, at=at + 3 * HOUR)


@pytest.mark.parametrize(
    ("event", "label"),
    [
        ({"event": "turned"}, "Turned slab P1"),
        ({"event": "moved", "place": "sun", "air_temp_c": 24.0}, "Moved slab P1"),
        ({"event": "ring_test", "face": "form", "ring_area_cm2": 20.0, "ring_seconds": 40.0}, "Ring test on slab P1"),
        ({"event": "wetted"}, "Slab P1: wetted"),
        ({"event": "other_clay", "family": "red", "water_g": 300.0}, "Slab P1: other clay"),
        ({"event": "chipped", "face": "open", "count": 2, "note": "corner"}, "Slab P1: chipped"),
    ],
)
def test_whatever_else_happens_to_a_slab(bench: Lab, at: datetime, event: dict[str, object], label: str) -> None:
    row = SlabEvent(slab="P1", at=at, **event)  # type: ignore[arg-type]
    slabs.log_slab(bench, row)
    with bench.reading() as record:
        assert record.rows(SlabEvent) == [row]
        assert list_acts(record)[0].label == label
        assert ("red" in record.codes(Family)) == (event["event"] == "other_clay")


def test_a_layer_does_not_stand_in_the_way_of_other_events(poured: Lab, at: datetime) -> None:
    slabs.log_slab(poured, SlabEvent(slab="P1", at=at + HOUR, event="moved", place="fan"))
    with pytest.raises(BadInput, match="Place cannot be 'attic'"):
        slabs.log_slab(poured, SlabEvent(slab="P1", at=at + HOUR, event="moved", place="attic"))


def test_the_air_is_noted_once_for_a_place_and_time(lab: Lab, at: datetime) -> None:
    slabs.note_air(lab, Air(at=at, air_temp_c=19.0, air_rh_pct=54.0))
    slabs.note_air(lab, Air(at=at, place="fan", air_speed_m_s=2.5))
    with pytest.raises(Refused):
        slabs.note_air(lab, Air(at=at, air_temp_c=20.0))
    with pytest.raises(OutOfRange, match="Relative humidity is 104"):
        slabs.note_air(lab, Air(at=at + HOUR, air_rh_pct=104.0))
    with lab.reading() as record:
        assert len(record.rows(Air)) == 2


def test_a_mass_that_no_plaster_can_have_is_refused(bench: Lab, at: datetime) -> None:
    """3 kg/m³ is no plaster; gypsum itself has 2320 (NIOSH Pocket Guide)."""
    with pytest.raises(BadInput, match=r"3 kg/m³ cannot be plaster.*about .* g dry"):
        weigh(bench, "P1", 18.0, at=at)
    with pytest.raises(BadInput, match="cannot be plaster"):
        slabs.enter_slab(bench, Slab(slab="P9", length_mm=400, width_mm=300, thickness_mm=50), at=at, mass_g=60_000)
    weigh(bench, "P1", 7000.0, at=at)
