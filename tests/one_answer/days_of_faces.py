"""Days on which the face is the question: chipped, salted, stained, clogged; and answers to that."""

from __future__ import annotations

from tests.one_answer.bench_day import ASK, FINE, anyway, asks, day, does, forecast, pours, says

LIFT = "lift R1 --outcome workable --clay 1500g --at '2026-03-10 10:00'"
NEXT = "2026-03-11 09:00"

FACES = (
    day(
        "a corner off since Friday",
        "P1 lost a corner of the face the clay lies on; nobody has looked it over.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T15:00 chipped face=form",
        says("P1", ASK, "chip"),
        forecast("W", "P1", ASK, "chip"),
        asks("W-1 P1", "chip"),
        anyway("W-1 P1"),
    ),
    day(
        "a chip, side not said",
        "P1 is chipped somewhere. Either side may be meant, so either side is asked about.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T15:00 chipped",
        says("P1", ASK, "chip"),
        asks("W-1 P1 --face form --mass 2320g --area 1600cm2", "chip"),
        asks("W-1 P1 --face open --mass 2320g --area 1600cm2", "chip"),
    ),
    day(
        "chipped on the other face",
        "The open side of P1 is chipped; the clay lies on the smooth one.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T15:00 chipped face=open",
        asks("W-1 P1 --face open --mass 2320g --area 1600cm2", "chip"),
        pours("W-1 P1 --face form --mass 2320g --area 1600cm2"),
    ),
    day(
        "a note is not a look",
        "P1 is chipped. Somebody noted that it should be looked over, and weighed and turned it; nobody did look.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 chipped face=form\n"
        "log P1 2026-03-06T09:05 note note='look over'\n"
        "log P1 2026-03-07T09:00 weighed mass_g=10000\n log P1 2026-03-07T09:05 turned",
        says("P1", ASK, "chip"),
        asks("W-1 P1", "chip"),
    ),
    day(
        "the other side looked over",
        "The smooth side of P1 is chipped. The open side was cleaned since; nobody has looked at the chip.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 chipped face=form\n log P1 2026-03-07T09:00 cleaned face=open",
        says("P1", ASK, "chip"),
        asks("W-1 P1", "chip"),
    ),
    day(
        "the other side resurfaced",
        "The smooth side of P1 is chipped and has a bloom. The open side was resurfaced: the smooth one is as it was.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 chipped face=form\n log P1 2026-03-06T10:00 salts face=form\n"
        "log P1 2026-03-07T09:00 resurfaced face=open",
        says("P1", ASK, "chip", "salt"),
        asks("W-1 P1", "chip", "salt"),
    ),
    day(
        "cleaned before it chipped",
        "P1 was cleaned in the morning and chipped at noon. Nobody has looked it over since.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 cleaned face=form\n log P1 2026-03-06T12:00 chipped face=form",
        says("P1", ASK, "chip"),
        asks("W-1 P1", "chip"),
    ),
    day(
        "chipped, resurfaced, chipped again",
        "P1 was resurfaced after its first chip. On Sunday it got another.",
        "slab P1\n batch W-1 W\n log P1 2026-02-25T09:00 chipped face=form\n log P1 2026-03-01T09:00 resurfaced\n"
        "log P1 2026-03-08T09:00 chipped face=form",
        says("P1", FINE, at="2026-03-05 09:00"),
        says("P1", ASK, "chip"),
        asks("W-1 P1", "chip"),
    ),
    day(
        "an answer, then another chip",
        "The first chip was answered. A second one is a new fact.",
        "slab P1\n batch W-1 W\n batch W-2 W\n log P1 2026-03-09T12:00 chipped face=form",
        anyway("W-1 P1 --code R1"),
        does(LIFT),
        does("event P1 chipped --face form --at '2026-03-10 12:00'"),
        asks("W-2 P1", "chip", at=NEXT),
    ),
    day(
        "an answer, a resurfacing, another chip",
        "The chip was answered, then resurfaced away. The chip after that is asked about.",
        "slab P1\n batch W-1 W\n batch W-2 W\n log P1 2026-03-09T12:00 chipped face=form",
        anyway("W-1 P1 --code R1"),
        does(LIFT),
        does("event P1 resurfaced --at '2026-03-10 12:00'"),
        does("event P1 chipped --face form --at '2026-03-10 14:00'"),
        asks("W-2 P1", "chip", at=NEXT),
    ),
    day(
        "an answer taken back",
        "The pour on chipped P1 was wanted, then undone. What it answered is open again; done again, it is answered.",
        "slab P1\n batch W-1 W\n log P1 2026-03-09T12:00 chipped face=form",
        anyway("W-1 P1 --code R1"),
        does("undo"),
        asks("W-1 P1", "chip"),
        anyway("W-1 P1 --code R1"),
    ),
    day(
        "an answer for one slab",
        "P1 and P2 hit each other and both chipped. The answer for P1 says nothing of P2.",
        "slab P1\n slab P2\n batch W-1 W\n batch W-2 W\n log P1 2026-03-09T12:00 chipped\n"
        "log P2 2026-03-09T12:00 chipped",
        anyway("W-1 P1"),
        asks("W-2 P2", "chip"),
    ),
    day(
        "an answer for one reason",
        "The chip of P1 was answered. The heat of the afternoon is asked about, the chip is not.",
        "slab P1\n batch W-1 W\n batch W-2 W\n log P1 2026-03-09T12:00 chipped face=form",
        anyway("W-1 P1 --code R1"),
        does(LIFT),
        does("event P1 moved --place 'drying room' --air-temp '60 °C' --at '2026-03-10 12:00' --anyway"),
        asks("W-2 P1", "49|heat|hot", at=NEXT, silent="chip"),
    ),
    day(
        "salts on the face",
        "A white bloom stands on P1 since Friday.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 salts face=form",
        says("P1", ASK, "salt"),
        forecast("W", "P1", ASK, "salt"),
        asks("W-1 P1", "salt"),
        anyway("W-1 P1"),
    ),
    day(
        "salts that came back",
        "The bloom on P1 was washed off on Friday. On Sunday it stood there again.",
        "slab P1\n batch W-1 W\n log P1 2026-03-05T09:00 salts face=form\n log P1 2026-03-06T09:00 cleaned face=form\n"
        "log P1 2026-03-08T09:00 salts face=form",
        says("P1", FINE, at="2026-03-07 09:00"),
        says("P1", ASK, "salt"),
        asks("W-1 P1", "salt"),
    ),
    day(
        "salts answered, washed off, back again",
        "The bloom on P1 was answered with a pour, then washed off. Three days later it was there again: a new fact.",
        "slab P1\n batch W-1 W\n batch W-2 W\n log P1 2026-03-09T09:00 salts face=form",
        anyway("W-1 P1 --code R1"),
        does(LIFT),
        does("event P1 cleaned --face form --at '2026-03-10 12:00'"),
        does("event P1 salts --face form --at '2026-03-13 12:00'"),
        asks("W-2 P1", "salt", at="2026-03-14 09:00"),
    ),
    day(
        "salts on the other face",
        "The bloom is on the open side of P1. The clay lies on the smooth one.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 salts face=open",
        asks("W-1 P1 --face open --mass 2320g --area 1600cm2", "salt"),
        pours("W-1 P1 --face form --mass 2320g --area 1600cm2"),
    ),
    day(
        "a ring of water that would not go in",
        "The first ring test of P1 took nine minutes, the last one eighty: its face has clogged. It was dry each time.",
        "slab P1\n batch W-1 W\n log P1 2026-02-21T08:00 weighed_dry mass_g=10000\n"
        "log P1 2026-02-21T09:00 ring_test face=form ring_area_cm2=50 ring_water_ml=50 ring_seconds=540\n"
        "log P1 2026-03-09T09:00 ring_test face=form ring_area_cm2=50 ring_water_ml=50 ring_seconds=4800",
        says("P1", FINE, at="2026-03-01 09:00"),
        says("P1", ASK, "suspect|ring", verdict="suspect"),
        asks("W-1 P1", "suspect|ring"),
        does("event P1 resurfaced --at '2026-03-10 12:00'"),
        pours("W-1 P1", at=NEXT),
    ),
    day(
        "a ring of water on a slab never weighed",
        "As before, nine minutes and eighty, but the dry mass of P1 stands on its card alone.",
        "slab P1\n"
        "log P1 2026-02-21T09:00 ring_test face=form ring_area_cm2=50 ring_water_ml=50 ring_seconds=540\n"
        "log P1 2026-03-09T09:00 ring_test face=form ring_area_cm2=50 ring_water_ml=50 ring_seconds=4800",
        says("P1", ASK, "suspect|ring", verdict="suspect"),
    ),
    day(
        "stained",
        "Somebody saw a red stain on P1 and logged it.",
        "slab P1\n batch W-1 W\n log P1 2026-03-09T09:00 stained face=form",
        says("P1", ASK, "stain", verdict="suspect"),
        asks("W-1 P1", "stain"),
    ),
    day(
        "the wrong clay dried on it",
        "A layer of red clay was dried on P1, which is kept for white, last week.",
        "slab P1\n batch W-1 W\n log P1 2026-03-04T09:00 other_clay family=red face=form",
        says("P1", ASK, "red|clay|suspect", verdict="suspect"),
        asks("W-1 P1", "red|clay|suspect"),
        does("event P1 resurfaced --at '2026-03-10 12:00'"),
        pours("W-1 P1", at=NEXT),
    ),
    day(
        "the wrong clay twice",
        "Red dried on P1, and the next white layer was wanted anyway. Then red dried there again: a new fact.",
        "slab P1\n batch W-1 W\n batch W-2 W\n log P1 2026-03-04T09:00 other_clay family=red face=form",
        anyway("W-1 P1 --code R1"),
        does(LIFT),
        does("event P1 'other clay' --family red --face form --at '2026-03-10 12:00'"),
        asks("W-2 P1", "red|clay|suspect", at=NEXT),
    ),
)
