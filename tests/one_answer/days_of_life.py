"""Days in the life of a slab: new, in service, retired, broken, and all that at once."""

from __future__ import annotations

from tests.one_answer.bench_day import (
    ABSENT,
    ASK,
    FINE,
    NO,
    NOW,
    anyway,
    asks,
    day,
    does,
    forecast,
    pours,
    says,
    sizing,
)

LIFE = (
    day(
        "broken yesterday",
        "P1 broke in two yesterday. Nobody offers it; what was poured on a half all the same is recorded.",
        "slab P1\n slab P2\n batch W-1 W\n log P1 2026-03-09T15:00 broken",
        says("P1", NO, "brok", verdict="suspect"),
        says("P2", FINE),
        forecast("W", "P1", NO, "brok"),
        forecast("W", "P2", FINE),
        sizing("P1", False),
        sizing("P2", True),
        asks("W-1 P1", "brok"),
        anyway("W-1 P1"),
    ),
    day(
        "broken by a command",
        "P1 fell off the trolley this minute.",
        "slab P1\n batch W-1 W",
        says("P1", FINE, at="2026-03-10 08:30"),
        does("event P1 broken --at '2026-03-10 08:45'"),
        says("P1", NO, "brok", verdict="suspect"),
        asks("W-1 P1", "brok"),
    ),
    day(
        "broken, then only cleaned",
        "P1 broke on Friday; somebody washed the halves on Saturday. It is still broken.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 broken\n log P1 2026-03-07T09:00 cleaned",
        says("P1", NO, "brok", verdict="suspect"),
        asks("W-1 P1", "brok"),
    ),
    day(
        "broken, then weighed dry",
        "The bigger half of P1 was put on the scale out of curiosity. It is still broken.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 broken\n log P1 2026-03-07T09:00 weighed_dry mass_g=6200",
        says("P1", NO, "brok", verdict="suspect"),
    ),
    day(
        "broken and in service again",
        "P1 lost an end and was logged broken; what is left was resurfaced, measured anew and weighed dry, for use.",
        "slab P1 length_mm=400 usable_area_cm2=1300\n batch W-1 W\n log P1 2026-02-22T09:00 broken\n"
        "log P1 2026-03-01T09:00 resurfaced\n log P1 2026-03-08T09:00 weighed_dry mass_g=8000",
        says("P1", FINE),
        pours("W-1 P1 --mass 2320g --area 1300cm2"),
    ),
    day(
        "broken while a layer lay on it",
        "P1 cracked through under its layer. The layer is lifted all the same, and nothing else goes on.",
        "slab P1\n batch W-1 W\n batch W-2 W\n run R1 W-1 P1 2026-03-10T08:00\n log P1 2026-03-10T08:30 broken",
        does("lift R1 --outcome workable --clay 1500g --at '2026-03-10 08:55'"),
        says("P1", NO, "brok", verdict="suspect"),
        asks("W-2 P1", "brok"),
    ),
    day(
        "retired on Sunday",
        "P1 was retired on Sunday. It is not listed any more; a pour on it is asked about, and recorded.",
        "slab P1 retired_on=2026-03-08\n slab P2\n batch W-1 W",
        says("P1", ABSENT),
        forecast("W", "P1", NO, "retired"),
        sizing("P1", False),
        asks("W-1 P1", "retired"),
        anyway("W-1 P1"),
    ),
    day(
        "retired an hour ago",
        "P1 was retired at eight this morning, with the hour on its card.",
        "slab P1 retired_on=2026-03-10T08:00\n batch W-1 W",
        says("P1", ABSENT),
        says("P1", FINE, at="2026-03-10 07:30"),
        asks("W-1 P1", "retired"),
    ),
    day(
        "retired today, by its card",
        "P1 is retired today, as is typed on its card. It is listed no more, and a pour from now on is asked about.",
        "slab P1\n slab P2",
        does("amend slab P1 retired_on=today"),
        says("P1", ABSENT, at=""),
        asks("W-9 P1 --body W --mass 2320g --area 1600cm2", "retired", at=""),
    ),
    day(
        "poured before it was in service",
        "P6 is old; Monday is on its card as its day in service. A layer of the Thursday before is typed in.",
        "old_slab P6 in_service_on=2026-03-09\n batch W-1 W mixed_at=2026-03-05T08:00",
        asks("W-1 P6", "service", at="2026-03-05 09:00"),
        anyway("W-1 P6", at="2026-03-05 09:00"),
    ),
    day(
        "retired and broken",
        "P1 broke and was retired. Both stand in the one question.",
        "slab P1 retired_on=2026-03-08\n batch W-1 W\n log P1 2026-03-08T09:00 broken",
        asks("W-1 P1", "retired", "brok"),
    ),
    day(
        "cast last week",
        "P1 was cast a week ago and stands in the room. It is not dry yet.",
        "slab P1 cast_at=2026-03-03T10:00 in_service_on= dry_mass_g=\n batch W-1 W\n"
        "log P1 2026-03-09T09:00 weighed mass_g=12900",
        says("P1", ASK, "dry|cast|service"),
        forecast("W", "P1", ASK, "dry|cast|service"),
        asks("W-1 P1", "dry|cast|service"),
        anyway("W-1 P1"),
    ),
    day(
        "cast two days ago, never weighed",
        "P1 came out of its form on Sunday.",
        "slab P1 cast_at=2026-03-08T10:00 in_service_on= dry_mass_g=\n batch W-1 W",
        says("P1", ASK, "dry|cast|service"),
        asks("W-1 P1", "dry|cast|service"),
    ),
    day(
        "in service from tomorrow",
        "P1 is to go into service tomorrow; today it still dries from its cast.",
        "slab P1 cast_at=2026-02-25T10:00 in_service_on=2026-03-11 dry_mass_g=\n batch W-1 W\n batch W-2 W",
        says("P1", ASK, "dry|cast|service"),
        asks("W-1 P1", "dry|cast|service"),
    ),
    day(
        "in service on the day it was cast",
        "Somebody typed the day of the cast as the day in service. P1 is full of water.",
        "slab P1 cast_at=2026-03-09T10:00 in_service_on=2026-03-09 dry_mass_g=\n batch W-1 W\n"
        "log P1 2026-03-10T08:00 weighed mass_g=13900",
        says("P1", ASK, "dry|cast|satur|wet"),
        asks("W-1 P1", "dry|cast|satur|wet"),
    ),
    day(
        "everything at once",
        "P1 is chipped, has salts and was overheated; red slip is to go on it, and the batch was poured out already.",
        "slab P1\n slab P2 family=red\n batch R-1 R\n log P1 2026-03-05T09:00 chipped face=form\n"
        "log P1 2026-03-05T10:00 salts face=form\n log P1 2026-03-06T09:00 moved place=drying_room air_temp_c=70\n"
        "log P1 2026-03-07T09:00 moved place=shelf air_temp_c=18\n"
        "run R1 R-1 P2 2026-03-09T17:00 ended_at=2026-03-09T18:00 outcome=workable",
        asks("R-1 P1", "chip", "salt", "49|heat|hot", "red|white|famil", "used up|nothing|left"),
        anyway("R-1 P1"),
    ),
    day(
        "asked in the past, known by then",
        "P1 broke on Monday evening. On Sunday it was fine, on Tuesday it is not.",
        "slab P1\n log P1 2026-03-09T18:00 broken",
        says("P1", FINE, at="2026-03-08 12:00"),
        says("P1", NO, "brok", at=NOW),
    ),
)
