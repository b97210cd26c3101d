"""Days of wet slabs, and of other families' clay."""

from __future__ import annotations

from tests.one_answer.bench_day import ASK, FINE, anyway, asks, day, does, forecast, pours, says

NEXT = "2026-03-11 09:00"

WATER = (
    day(
        "full of water",
        "P1 weighs 13.4 kg; dry it is 10.",
        "slab P1\n batch W-1 W\n log P1 2026-03-10T08:30 weighed mass_g=13400",
        says("P1", ASK, "satur|wet|full", verdict="saturated"),
        forecast("W", "P1", ASK, "satur|wet|full"),
        asks("W-1 P1", "satur|wet|full"),
        anyway("W-1 P1"),
    ),
    day(
        "a can of water went over",
        "P1 was dry until a can of three litres and a half emptied itself over it at half past eight.",
        "slab P1\n batch W-1 W\n log P1 2026-03-10T08:30 wetted water_g=3500",
        says("P1", FINE, at="2026-03-10 08:00"),
        says("P1", ASK, "satur|wet|full"),
        asks("W-1 P1", "satur|wet|full"),
    ),
    day(
        "the third thick layer of the morning",
        "Two layers of 25 mm dried on P1 since six; its water was never weighed, but it adds up to three litres.",
        "slab P1\n batch W-1 W\n batch W-0 W dry_mass_g=6000 water_g=5800\n"
        "run R1 W-0 P1 2026-03-10T05:00 poured_g=5800 ended_at=2026-03-10T06:50 outcome=workable clay_off_g=4200\n"
        "run R2 W-0 P1 2026-03-10T07:00 poured_g=5800 ended_at=2026-03-10T08:50 outcome=workable clay_off_g=4400",
        says("P1", ASK, "satur|wet|full"),
        asks("W-1 P1", "satur|wet|full"),
    ),
    day(
        "soaked, answered, dried, soaked again",
        "P1 was full, and poured on anyway. Then it dried out for a month, and was soaked again: asked about again.",
        "slab P1\n batch W-1 W\n batch W-2 W\n log P1 2026-03-10T08:30 weighed mass_g=13400",
        asks("W-1 P1", "satur|wet|full"),
        anyway("W-1 P1 --code R1"),
        does("lift R1 --outcome abandoned --at '2026-03-10 18:00'"),
        does("weigh P1 10002g --dry --at '2026-04-10 09:00' --anyway"),
        says("P1", FINE, at="2026-04-10 10:00"),
        does("weigh P1 13300g --at '2026-04-11 09:00' --anyway"),
        says("P1", ASK, "satur|wet|full", at="2026-04-11 10:00"),
        asks("W-2 P1", "satur|wet|full", at="2026-04-11 10:00"),
    ),
    day(
        "full, and answered a moment ago",
        "Two halves side by side on a full slab. The second half is not asked about the same water.",
        "slab P1\n batch W-1 W dry_mass_g=585 water_g=575\n batch W-2 W dry_mass_g=585 water_g=575\n"
        "log P1 2026-03-10T08:30 weighed mass_g=13400",
        asks("W-1 P1 --mass 1160g --area 800cm2", "satur|wet|full"),
        anyway("W-1 P1 --mass 1160g --area 800cm2"),
        pours("W-2 P1 --mass 1160g --area 800cm2", at="2026-03-10 09:05"),
    ),
    day(
        "full of water and chipped",
        "P1 is full, and a corner is off: both stand in one question.",
        "slab P1\n batch W-1 W\n log P1 2026-03-10T08:20 chipped face=form\n"
        "log P1 2026-03-10T08:30 weighed mass_g=13400",
        says("P1", ASK, "chip", "satur|wet|full"),
        asks("W-1 P1", "chip", "satur|wet|full"),
    ),
    day(
        "red slip on a white slab",
        "R-1 is red; P1 is kept for white, where iron shows at once.",
        "slab P1\n slab P5 family=red\n batch R-1 R",
        says("P1", FINE),
        forecast("R", "P1", ASK, "red|white|famil"),
        forecast("R", "P5", FINE),
        asks("R-1 P1", "red|white|famil"),
        anyway("R-1 P1"),
        says("P5", FINE, at="2026-03-10 09:30"),
    ),
    day(
        "white slip on a red slab",
        "W-1 would stain nothing, but P5 would stain it: it is another family all the same.",
        "slab P5 family=red\n batch W-1 W",
        forecast("W", "P5", ASK, "red|white|famil"),
        asks("W-1 P5", "red|white|famil"),
    ),
    day(
        "two families of one stain rank",
        "Grey is as clean as buff, but P3 is kept for buff.",
        "family grey 1\n body G family=grey\n slab P3 family=buff\n batch G-1 G",
        asks("G-1 P3", "grey|buff|famil"),
    ),
    day(
        "white after red",
        "Red was poured on P1, kept for white, and wanted. The next white layer there is told what dried before.",
        "slab P1\n batch R-1 R\n batch W-1 W",
        anyway("R-1 P1 --code R1"),
        does("lift R1 --outcome workable --clay 1500g --at '2026-03-10 10:00'"),
        says("P1", ASK, "red|clay|suspect", at=NEXT, verdict="suspect"),
        asks("W-1 P1", "red|clay|suspect", at=NEXT),
    ),
    day(
        "moved to another family after the answer",
        "R-1 on P1 was wanted while it was red. Now it turns out to be buff: another reason, asked about anew.",
        "slab P1\n batch R-1 R\n batch R-2 R",
        anyway("R-1 P1 --code R1"),
        does("lift R1 --outcome workable --clay 1500g --at '2026-03-10 10:00'"),
        does("amend body R family=buff"),
        asks("R-2 P1", "buff|white|famil", at=NEXT),
    ),
    day(
        "a slab given to another family after the answer",
        "R-1 on P1 was wanted while P1 was white. P1 is buff now: asked about anew.",
        "slab P1\n batch R-1 R\n batch R-2 R",
        anyway("R-1 P1 --code R1"),
        does("lift R1 --outcome workable --clay 1500g --at '2026-03-10 10:00'"),
        does("amend slab P1 family=buff"),
        asks("R-2 P1", "red|buff|famil", at=NEXT),
    ),
    day(
        "the family of the body typed after all",
        "N had no family. It is red, as it turns out, and asked about on P1 from then on.",
        "slab P1\n batch N-1 N",
        does("amend body N family=red"),
        asks("N-1 P1", "red|white|famil"),
    ),
    day(
        "a body that stains more than its family",
        "I is a white with iron in it: rank 5 in a family of rank 0. It dried on P1; what comes next is asked about.",
        "body I family=white stain_rank=5\n slab P1\n batch I-1 I\n batch W-1 W\n"
        "run R1 I-1 P1 2026-03-08T09:00 ended_at=2026-03-08T10:00 outcome=workable clay_off_g=1500",
        says("P1", ASK, "I-1|stain|clay|suspect", verdict="suspect"),
        asks("W-1 P1", "I-1|stain|clay|suspect"),
    ),
)
