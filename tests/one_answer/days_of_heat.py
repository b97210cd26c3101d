"""Days of heat and frost: plaster above 49 °C, and water that froze in it."""

from __future__ import annotations

from tests.one_answer.bench_day import ASK, FINE, anyway, asks, day, does, forecast, pours, says

LIFT = "lift R1 --outcome workable --clay 1500g --at '2026-03-10 10:00'"
NEXT = "2026-03-11 09:00"

HEAT = (
    day(
        "hot before it was cast",
        "The drying room was at 55 °C in January, and the shelf in frost. P1 was cast in March: it saw neither.",
        "slab P1 cast_at=2026-03-01 in_service_on=2026-03-05\n batch W-1 W\n"
        "air 2026-01-08T12:00 shelf air_temp_c=55\n air 2026-01-10T12:00 shelf air_temp_c=-5\n"
        "air 2026-01-12T12:00 shelf air_temp_c=18",
        says("P1", FINE, silent="49|heat|hot|fro(st|ze)"),
    ),
    day(
        "a ring test in the midst of the heat",
        "P1 stood at 60 °C for two days. The ring test of the first morning says nothing of the rest.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 moved place=drying_room air_temp_c=60\n"
        "log P1 2026-03-06T15:00 ring_test ring_seconds=60 ring_water_ml=20 ring_area_cm2=20\n"
        "log P1 2026-03-08T09:00 moved place=shelf air_temp_c=18",
        says("P1", ASK, "49|heat|hot"),
    ),
    day(
        "sixty degrees in the drying room",
        "P1 was moved into a drying room at 60 °C on Saturday and taken out on Sunday. It has lost bound water.",
        "slab P1\n batch W-1 W\n log P1 2026-03-07T09:00 moved place=drying_room air_temp_c=60\n"
        "log P1 2026-03-08T09:00 moved place=shelf air_temp_c=18",
        says("P1", FINE, at="2026-03-06 09:00"),
        says("P1", ASK, "49|heat|hot"),
        forecast("W", "P1", ASK, "49|heat|hot"),
        asks("W-1 P1", "49|heat|hot"),
        anyway("W-1 P1"),
    ),
    day(
        "a hot drying room, as its own thermometer says",
        "P1 stood in the drying room from Saturday on; the air there was read that day: 62 °C.",
        "slab P1\n batch W-1 W\n log P1 2026-03-07T09:00 moved place=drying_room\n"
        "air 2026-03-07T12:00 drying_room air_temp_c=62 air_rh_pct=10\n log P1 2026-03-08T09:00 moved place=shelf",
        says("P1", ASK, "49|heat|hot"),
        asks("W-1 P1", "49|heat|hot"),
    ),
    day(
        "overheated, then resurfaced",
        "P1 stood at 60 °C. A new face does not mend plaster that was overheated all through.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 moved place=drying_room air_temp_c=60\n"
        "log P1 2026-03-07T09:00 moved place=shelf air_temp_c=18\n log P1 2026-03-08T09:00 resurfaced",
        says("P1", ASK, "49|heat|hot"),
        asks("W-1 P1", "49|heat|hot"),
    ),
    day(
        "overheated twice",
        "The first heat was answered with a pour. Then P1 was overheated again: a new fact.",
        "slab P1\n batch W-1 W\n batch W-2 W\n batch W-3 W\n"
        "log P1 2026-03-07T09:00 moved place=drying_room air_temp_c=60\n"
        "log P1 2026-03-08T09:00 moved place=shelf air_temp_c=18",
        anyway("W-1 P1 --code R1"),
        does(LIFT),
        pours("W-2 P1 --code R2", at=NEXT),
        does("lift R2 --outcome workable --clay 1500g --at '2026-03-11 10:00'"),
        does("event P1 moved --place 'drying room' --air-temp '65 °C' --at '2026-03-11 12:00' --anyway"),
        does("event P1 moved --place shelf --air-temp '18 °C' --at '2026-03-12 08:00'"),
        asks("W-3 P1", "49|heat|hot", at="2026-03-12 09:00"),
    ),
    day(
        "frost on a wet slab",
        "P1, half full of water, was left outdoors on a night of 5 degrees of frost.",
        "slab P1\n batch W-1 W\n log P1 2026-03-08T17:00 weighed mass_g=11900\n"
        "log P1 2026-03-08T18:00 moved place=outdoors air_temp_c=-5\n"
        "log P1 2026-03-09T08:00 moved place=shelf air_temp_c=18",
        says("P1", ASK, "fro(st|ze)"),
        forecast("W", "P1", ASK, "fro(st|ze)"),
        asks("W-1 P1", "fro(st|ze)"),
        anyway("W-1 P1"),
    ),
    day(
        "frozen, answered, frozen again",
        "P1 froze wet and was wanted anyway. Wet from that layer, it froze once more on Wednesday: a new fact.",
        "slab P1\n batch W-1 W\n batch W-2 W\n log P1 2026-03-08T17:00 weighed mass_g=12000\n"
        "log P1 2026-03-08T18:00 moved place=outdoors air_temp_c=-5\n"
        "log P1 2026-03-09T08:00 moved place=shelf air_temp_c=18",
        anyway("W-1 P1 --code R1"),
        does(LIFT),
        does("event P1 moved --place outdoors --air-temp '-4 °C' --at '2026-03-11 20:00' --anyway"),
        does("event P1 moved --place shelf --air-temp '18 °C' --at '2026-03-12 08:00'"),
        asks("W-2 P1", "fro(st|ze)", at="2026-03-12 09:00"),
    ),
    day(
        "a frosty yard, as its own thermometer says",
        "P1, half full of water, stood in the yard overnight; the thermometer there said -6.",
        "slab P1\n batch W-1 W\n log P1 2026-03-08T17:00 weighed mass_g=11900\n"
        "log P1 2026-03-08T18:00 moved place=outdoors\n"
        "air 2026-03-08T20:00 outdoors air_temp_c=-6\n log P1 2026-03-09T08:00 moved place=shelf",
        says("P1", ASK, "fro(st|ze)"),
        asks("W-1 P1", "fro(st|ze)"),
    ),
    day(
        "frozen while it dried from its cast",
        "P1 was cast in January, and froze on the second night. Since then it dried and went into service.",
        "slab P1 cast_at=2026-01-10T10:00\n batch W-1 W\n log P1 2026-01-11T18:00 moved place=outdoors air_temp_c=-7\n"
        "log P1 2026-01-12T09:00 moved place=shelf air_temp_c=18\n log P1 2026-02-18T09:00 weighed_dry mass_g=10000",
        says("P1", ASK, "fro(st|ze)"),
        asks("W-1 P1", "fro(st|ze)"),
    ),
)
