"""Sound days: nothing speaks against the layer, so nothing may be asked. A false question is a fault."""

from __future__ import annotations

from tests.one_answer.bench_day import ABSENT, ASK, FINE, anyway, asks, day, does, forecast, pours, says, sizing

SOUND = (
    day(
        "a dry slab and a fresh batch",
        "P1 has been in service for weeks and is dry. W-1 was mixed last night, enough for one layer.",
        "slab P1\n batch W-1 W",
        says("P1", FINE, verdict="ready"),
        forecast("W", "P1", FINE),
        sizing("P1", True),
        pours("W-1 P1"),
    ),
    day(
        "an old slab that nobody ever weighed",
        "P6 was here before the notebook; nobody knows how it was mixed, and nobody put it on a scale.",
        "old_slab P6\n batch W-1 W",
        says("P6", FINE),
        pours("W-1 P6"),
    ),
    day(
        "a slab of no family",
        "P1 was never kept for anything, and nothing has dried on it yet.",
        "slab P1 family=\n batch W-1 W",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "a body of no family yet",
        "N is poured first; which family it is gets filled in later. Unknown is not another family.",
        "slab P1\n batch N-1 N",
        pours("N-1 P1"),
    ),
    day(
        "in service since this morning",
        "P1 dried for weeks, was weighed dry yesterday and goes into service today, as its card says.",
        "slab P1 in_service_on=2026-03-10\n batch W-1 W\n log P1 2026-03-09T09:00 weighed_dry mass_g=10000",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "weighed dry, but no day in service typed",
        "P1 was cast in January. Two weighings agreed and it was logged weighed dry; its card has no date of service.",
        "slab P1 cast_at=2026-01-10T10:00 in_service_on= dry_mass_g=\n batch W-1 W\n"
        "log P1 2026-03-08T09:00 weighed mass_g=10003\n log P1 2026-03-09T09:00 weighed_dry mass_g=10002",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "in service since eight o'clock",
        "P1 went into service at eight this morning, with the hour on its card.",
        "slab P1 in_service_on=2026-03-10T08:00\n batch W-1 W",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "entered today, in service today",
        "P7 was there before the notebook; it is entered now, in service since today, and poured on at once.",
        "slab P2",
        does("slab P7 --family white --length 50cm --width 40cm --thickness 45mm --in-service today"),
        says("P7", FINE, at=""),
        pours("W-9 P7 --body W --mass 2320g --area 1600cm2", at=""),
    ),
    day(
        "retired in the evening",
        "P1 was retired on Tuesday; its card says the day alone. The layer of that morning is typed in afterwards.",
        "slab P1 retired_on=2026-03-10\n batch W-1 W",
        pours("W-1 P1"),
        says("P1", ABSENT, at="2026-03-11 09:00"),
    ),
    day(
        "retired tomorrow",
        "P1 goes to the skip tomorrow. Today it still works.",
        "slab P1 retired_on=2026-03-11\n batch W-1 W",
        says("P1", FINE),
        forecast("W", "P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "retired this noon, poured this morning",
        "P1 was retired at noon. The layer of nine o'clock is typed in afterwards.",
        "slab P1 retired_on=2026-03-10T12:00\n batch W-1 W",
        says("P1", FINE),
        pours("W-1 P1"),
        says("P1", ABSENT, at="2026-03-10 12:30"),
    ),
    day(
        "brought back from retirement",
        "P1 was retired on Sunday by mistake; the date is cleared on its card.",
        "slab P1 retired_on=2026-03-08\n batch W-1 W",
        does("amend slab P1 retired_on="),
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "only damp",
        "P1 weighs 11.5 kg, dry it is 10: about 40 % wet. Slower, but nothing to ask about.",
        "slab P1\n batch W-1 W\n log P1 2026-03-10T08:50 weighed mass_g=11500",
        says("P1", FINE, verdict="damp"),
        pours("W-1 P1"),
    ),
    day(
        "a layer lifted a minute ago",
        "R1 came off P1 at 8:59, workable, and the slab was weighed bare: 10.7 kg. The next one goes on at nine.",
        "slab P1\n batch W-0 W\n batch W-1 W\n"
        "run R1 W-0 P1 2026-03-10T08:00 ended_at=2026-03-10T08:59 outcome=workable clay_off_g=1500 slab_after_g=10700",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "soaked, then dried out",
        "P1 was soaked through in February, stood before the fan for three weeks and was weighed dry on Monday.",
        "slab P1\n batch W-1 W\n log P1 2026-02-21T09:00 weighed mass_g=13500\n"
        "log P1 2026-02-21T09:10 moved place=fan\n"
        "log P1 2026-03-09T09:00 weighed_dry mass_g=10001",
        says("P1", FINE, verdict="ready"),
        pours("W-1 P1"),
    ),
    day(
        "the chip was resurfaced away",
        "A corner came off P1 in February; it was resurfaced last week.",
        "slab P1\n batch W-1 W\n log P1 2026-02-25T09:00 chipped face=form\n log P1 2026-03-02T09:00 resurfaced",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "the chip was looked over",
        "A corner came off P1 on Friday. On Saturday its face was looked over for loose plaster and cleaned.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 chipped face=form\n log P1 2026-03-07T09:00 cleaned face=form",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "frozen wet, and resurfaced since",
        "P1 froze in February with water in it. Its face was taken off and made new; what may have split is gone.",
        "slab P1\n batch W-1 W\n log P1 2026-02-22T17:00 weighed mass_g=12000\n"
        "log P1 2026-02-22T18:00 moved place=outdoors air_temp_c=-5\n"
        "log P1 2026-02-23T08:00 moved place=shelf air_temp_c=18\n"
        "log P1 2026-03-02T09:00 resurfaced",
        pours("W-1 P1"),
    ),
    day(
        "a wet board stood on it",
        "A wet board stood on P1 for a while; nobody knows how much water that was. It is far from full.",
        "slab P1\n batch W-1 W\n log P1 2026-03-10T08:00 wetted",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "all over a round slab",
        "P5 is round, 48 cm across, 1809 cm². The layer goes to its edge in a frame.",
        "old_slab P5 shape=round length_mm=480 width_mm=\n batch W-1 W dry_mass_g=1323 water_g=1300",
        pours("W-1 P5 --mass 2620g --area 1805cm2"),
    ),
    day(
        "poured the minute it was mixed",
        "W-1 was mixed at nine and poured at nine.",
        "slab P1\n batch W-1 W mixed_at=2026-03-10T09:00",
        pours("W-1 P1"),
    ),
    day(
        "a name with brackets",
        "There is a slab called [/b], and it is as sound as P1.",
        "slab '[/b]'\n batch W-1 W",
        says("[/b]", FINE),
        pours("W-1 '[/b]'"),
    ),
    day(
        "chipped only after the pour",
        "P1 lost a corner at eleven. The layer of nine is typed in afterwards: at nine nothing was wrong.",
        "slab P1\n batch W-1 W\n log P1 2026-03-10T11:00 chipped face=form",
        says("P1", FINE),
        says("P1", ASK, "chip", at="2026-03-10 11:30"),
        pours("W-1 P1"),
    ),
    day(
        "broken only after the pour",
        "P1 fell off the table on Tuesday evening. The layer of that morning is typed in on Wednesday.",
        "slab P1\n batch W-1 W\n log P1 2026-03-10T18:00 broken",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "too hot and soaked only after the pour",
        "In the afternoon P1 was put into a drying room at 60 °C, and a can of water went over it.",
        "slab P1\n batch W-1 W\n log P1 2026-03-10T14:00 moved place=drying_room air_temp_c=60\n"
        "log P1 2026-03-10T15:00 wetted water_g=3400",
        pours("W-1 P1"),
    ),
    day(
        "a break logged on the wrong slab",
        "It was P2 that broke. The line in the log of P1 is deleted.",
        "slab P1\n batch W-1 W\n log P1 2026-03-09T09:00 broken",
        does("delete slab_log P1 '2026-03-09 09:00' broken"),
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "frost on a dry slab",
        "P1 is dry; it spent a night outdoors at 6 degrees of frost. There was nothing in it to freeze.",
        "slab P1\n batch W-1 W\n log P1 2026-03-08T18:00 weighed_dry mass_g=10000\n"
        "log P1 2026-03-08T18:10 moved place=outdoors air_temp_c=-6\n"
        "log P1 2026-03-09T08:00 moved place=shelf air_temp_c=18",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "dried at 43 degrees",
        "P1 was dried at 43 °C, as the makers of plaster advise, and at 49 on the last day: not above.",
        "slab P1\n batch W-1 W\n log P1 2026-03-01T09:00 moved place=drying_room air_temp_c=43\n"
        "log P1 2026-03-06T09:00 moved place=drying_room air_temp_c=49\n"
        "log P1 2026-03-08T09:00 moved place=shelf air_temp_c=18",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "a hot drying room the slab was not in",
        "The drying room stood at 60 °C on Sunday, the yard at -8. P1 was on the shelf all the time.",
        "slab P1\n batch W-1 W\n air 2026-03-08T09:00 drying_room air_temp_c=60\n"
        "air 2026-03-08T07:00 outdoors air_temp_c=-8",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "salts washed off",
        "A white bloom stood on P1 in February; it was cleaned, and none came back.",
        "slab P1\n batch W-1 W\n log P1 2026-02-25T09:00 salts face=form\n log P1 2026-02-26T09:00 cleaned face=form",
        says("P1", FINE),
        pours("W-1 P1"),
    ),
    day(
        "a cleaner clay on a red slab",
        "A layer of white clay, the cleanest family, once dried on P5, which is kept for red. White stains nothing.",
        "slab P5 family=red\n batch R-1 R\n log P5 2026-03-05T09:00 other_clay family=white face=form",
        says("P5", FINE),
        pours("R-1 P5"),
    ),
    day(
        "half and half, side by side",
        "Two batches of half a layer each lie side by side on P1, 800 cm² each.",
        "slab P1\n batch W-1 W dry_mass_g=585 water_g=575\n batch W-2 W dry_mass_g=585 water_g=575",
        pours("W-1 P1 --mass 1160g --area 800cm2"),
        pours("W-2 P1 --mass 1160g --area 800cm2", at="2026-03-10 09:06"),
    ),
    day(
        "a volume that fits",
        "1.6 L of slip poured out of the measuring jug, 10 mm deep over 1600 cm².",
        "slab P1\n batch W-1 W",
        pours("W-1 P1 --mass 1.6L --area 1600cm2 --layer 10mm"),
    ),
    day(
        "the scale and the ruler nearly agree",
        "2.3 kg over 1600 cm² is 9.9 mm; the ruler said 10.5.",
        "slab P1\n batch W-1 W",
        pours("W-1 P1 --mass 2.3kg --area 1600cm2 --layer 10.5mm"),
    ),
    day(
        "a batch nobody weighed",
        "W-1 was mixed by feel: nobody knows its volume. There is nothing to hold the layer against.",
        "slab P1\n bare_batch W-1 W",
        pours("W-1 P1"),
    ),
    day(
        "slip waiting, nothing written down",
        "The slip is ready: W-1 is named while it is poured, a batch of body W.",
        "slab P1",
        pours("W-1 P1 --body W --mass 2320g --area 1600cm2"),
    ),
    day(
        "the next batch by its name",
        "W-1 was used up yesterday on P2. W-2 is named while it is poured; it is not W-1 misspelt.",
        "slab P1\n slab P2\n batch W-1 W mixed_at=2026-03-08T16:00\n"
        "run R1 W-1 P2 2026-03-09T09:00 ended_at=2026-03-09T10:00 outcome=workable clay_off_g=1500",
        pours("W-2 P1 --body W --mass 2320g --area 1600cm2"),
    ),
    day(
        "planned yesterday for this morning",
        "W-1 was planned for eight today, and is poured at nine.",
        "slab P1\n batch W-1 W mixed_at=2026-03-10T08:00",
        pours("W-1 P1"),
    ),
    day(
        "the second half of a batch",
        "W-1 holds two layers. The first went on P1, the second goes on P2, and that is all of it.",
        "slab P1\n slab P2\n batch W-1 W dry_mass_g=2340 water_g=2300\n run R1 W-1 P1 2026-03-10T08:50",
        pours("W-1 P2"),
    ),
    day(
        "thinned after mixing",
        "W-1 was too thick: 300 g of water went in, and all of it, 2620 g, was poured.",
        "slab P1\n batch W-1 W\n batch_log W-1 2026-03-10T08:30 water_added mass_g=300 slip_sg=1.38",
        pours("W-1 P1 --mass 2620g --area 1600cm2"),
    ),
    day(
        "broken in the past, asked about before that",
        "P1 broke on Sunday. On Saturday it was as good as any.",
        "slab P1\n log P1 2026-03-08T12:00 broken",
        says("P1", FINE, at="2026-03-07 12:00", verdict="ready"),
        forecast("W", "P1", FINE, at="2026-03-07 12:00"),
    ),
    day(
        "touched, lifted, weighed on a chipped slab",
        "A layer lies on P1, which has lost a corner. What is done to the layer has nothing to do with that.",
        "slab P1\n batch W-1 W\n log P1 2026-03-09T12:00 chipped\n run R1 W-1 P1 2026-03-10T08:00",
        does("touch R1 sticky --at '2026-03-10 08:30'"),
        does("lift R1 --outcome workable --clay 1500g --slab-mass 10800g --at '2026-03-10 08:59'"),
        does("event P1 turned --at '2026-03-10 09:00'"),
    ),
    day(
        "an answer to one chip",
        "P1 is chipped; that is known, and wanted anyway. The next layer, a day later, is not asked about it again.",
        "slab P1\n batch W-1 W\n batch W-2 W\n log P1 2026-03-09T12:00 chipped face=form",
        asks("W-1 P1", "chip"),
        anyway("W-1 P1 --code R1"),
        does("lift R1 --outcome workable --clay 1500g --at '2026-03-10 10:00'"),
        pours("W-2 P1", at="2026-03-11 09:00"),
    ),
)
