"""Days on which the batch is the question: used up, not mixed yet, too large for the layer."""

from __future__ import annotations

from tests.one_answer.bench_day import LAYER, anyway, asks, day, does, pours

BATCHES = (
    day(
        "poured out already",
        "All of W-1 went on P2 yesterday. Today it is typed again.",
        "slab P1\n slab P2\n batch W-1 W mixed_at=2026-03-08T16:00\n"
        "run R1 W-1 P2 2026-03-09T09:00 ended_at=2026-03-09T10:00 outcome=workable clay_off_g=1500",
        asks("W-1 P1", "W-1", "used up|left"),
        anyway("W-1 P1"),
    ),
    day(
        "one layer left, two poured",
        "W-1 holds 2.3 kg. 1.7 went on P2; another 1.7 cannot come out of it.",
        "slab P1\n slab P2\n batch W-1 W\n run R1 W-1 P2 2026-03-10T08:30 poured_g=1700 area_cm2=1200",
        asks("W-1 P1 --mass 1700g --area 1200cm2", "W-1", "left|used up|holds"),
    ),
    day(
        "planned for tomorrow",
        "W-1 is to be mixed tomorrow morning. It cannot be poured today.",
        "slab P1\n batch W-1 W mixed_at=2026-03-11T08:00",
        asks("W-1 P1", "mix"),
        pours("W-1 P1", at="2026-03-11 09:00"),
    ),
    day(
        "typed in for an hour before it was mixed",
        "W-1 was mixed at four yesterday; the pour is typed for three.",
        "slab P1\n batch W-1 W",
        asks("W-1 P1", "mix", at="2026-03-09 15:00"),
        anyway("W-1 P1", at="2026-03-09 15:00"),
    ),
    day(
        "twice as much as the layer",
        "W-1 is twice what goes on the slab. Where does the rest go?",
        "slab P1\n batch W-1 W dry_mass_g=2340 water_g=2300",
        asks("W-1 P1", "W-1"),
        anyway("W-1 P1"),
    ),
    day(
        "planned, and answered, and planned again",
        "The pour of a batch not mixed yet was undone. It is asked about again.",
        "slab P1\n batch W-1 W mixed_at=2026-03-11T08:00",
        anyway("W-1 P1"),
        does("undo"),
        asks("W-1 P1", "mix"),
    ),
    day(
        "more poured than was ever mixed",
        "3.5 kg are said to have come out of a batch of 2.3.",
        "slab P1\n batch W-1 W",
        asks("W-1 P1 --mass 3.5kg --area 1600cm2", "W-1"),
        pours("W-1 P1"),
    ),
    day(
        "a batch made by commands",
        "W-5 is entered as mixed at eight, and poured at nine; then once more.",
        "slab P1\n slab P2",
        does("batch W --code W-5 --dry 1170g --water 1150g --slip-sg 1.45 --at '2026-03-10 08:00'"),
        pours("W-5 P1"),
        asks("W-5 P2", "W-5", "used up|left", at="2026-03-10 09:10"),
    ),
    day(
        "the pour that used it up, undone",
        "W-1 was poured on P2 by mistake, and that was undone: it is all there again.",
        "slab P1\n slab P2\n batch W-1 W",
        does(f"pour W-1 P2 {LAYER} --at '2026-03-10 08:50'"),
        asks("W-1 P1", "W-1"),
        does("undo"),
        pours("W-1 P1"),
    ),
    day(
        "an answer for a batch that is used up",
        "W-1 was poured twice, as there was more in the bucket than written. The answer does not go for W-2.",
        "slab P1\n slab P2\n slab P3\n slab P4\n batch W-1 W\n batch W-2 W",
        pours("W-1 P1"),
        anyway("W-1 P2"),
        pours("W-2 P3"),
        asks("W-2 P4", "W-2", "used up|left"),
    ),
    day(
        "half of it taken as a sample",
        "Half of W-1 was taken away, to keep as slip. What is left is one layer, and goes on the slab.",
        "slab P1\n batch W-1 W dry_mass_g=2340 water_g=2300\n batch_log W-1 2026-03-10T08:00 sampled mass_g=2320",
        pours("W-1 P1"),
    ),
)
