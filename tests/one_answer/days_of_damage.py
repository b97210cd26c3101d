"""Messy days: chips, frost, heat and salts, logged early, late, twice, on the other face, or taken back."""

from __future__ import annotations

import re

from tests.one_answer.bench_day import ASK, FINE, NOW, Bench, Question, anyway, asks, day, does, forecast, pours, says

LIFT = "lift R1 --outcome workable --clay 1500g --at '2026-03-10 10:00'"
NEXT = "2026-03-11 09:00"
FORM, OPEN = "--face form --mass 2320g --area 1600cm2", "--face open --mass 2320g --area 1600cm2"
OVEN = (
    "log P1 2026-03-06T10:00 moved place=other air_temp_c=60\n log P1 2026-03-06T{} moved place=shelf air_temp_c=18\n"
)
FROST = (
    "log P1 2026-03-08T17:00 weighed mass_g=11900\n log P1 2026-03-08T18:00 moved place=outdoors air_temp_c=-5\n"
    "log P1 2026-03-09T08:00 moved place=shelf air_temp_c=18\n"
)
LYING = "run R1 W-1 P1 2026-03-09T08:00 ended_at=2026-03-09T09:00 outcome=workable clay_off_g=1500\n piece K1 W-1 R1\n"
AFTER = "run R2 W-2 P1 2026-03-09T12:00 ended_at=2026-03-09T13:00 outcome=workable clay_off_g=1500\n piece K2 W-2 R2\n"


def holds(
    slab: str, kind: str, *words: str, face: str | None = None, since: str = "", strength: float | None = None,
    at: str = NOW, times: int = 1,
) -> Question:  # fmt: skip
    """One piece of evidence in `claybench slabs`, with its face, day, strength and words."""

    def question(bench: Bench) -> None:
        rows = {each["slab"]: each for each in bench.give(f"slabs --json --as-of '{at}'").json}
        found = [each for each in rows[slab]["evidence"] if each["kind"] == kind]
        where = f"evidence of {kind} on {slab} at {at}: {rows[slab]['evidence']}"
        bench.holds(len(found) == times, f"{where}; expected {times}")
        mine = [each for each in found if each["face"] == face]
        bench.holds(len(mine) == 1, f"{where}; none of face {face}")
        for one in mine:
            bench.holds(not since or one["since"] == since, f"{where}; expected since {since}")
            bench.holds(strength is None or abs(one["strength"] - strength) < 0.02, f"{where}; expected {strength}")
            for word in words:
                bench.holds(bool(re.search(word, one["text"], re.I)), f"{where}; no word of {word!r}")

    return question


def lacks(slab: str, *kinds: str, at: str = NOW) -> Question:
    """Kinds of evidence that `claybench slabs` does not give."""

    def question(bench: Bench) -> None:
        rows = {each["slab"]: each for each in bench.give(f"slabs --json --as-of '{at}'").json}
        seen = [each for each in rows[slab]["evidence"] if each["kind"] in kinds]
        bench.holds(not seen, f"{slab} at {at}: {seen}")

    return question


def traces(what: str, **reasons: str) -> Question:
    """What a trace says of some pieces; an empty reason: the piece is not at risk."""

    def question(bench: Bench) -> None:
        found = {each["piece"]: each["reason"] for each in bench.give(f"trace {what} --json").json["at_risk"]["pieces"]}
        for piece, reason in reasons.items():
            said = found.get(piece, "")
            right = bool(re.search(reason, said, re.I)) if reason else not said
            bench.holds(right, f"trace {what}, {piece}: {said!r}; expected {reason!r}")

    return question


DAMAGE = (
    day(
        "chipped while a layer lay there",
        "P1 lost a corner at half past eight, under R1, which was lifted at nine. Plaster may be in that clay.",
        f"slab P1\n batch W-1 W\n batch W-2 W\n {LYING} {AFTER} log P1 2026-03-09T08:30 chipped face=form",
        holds("P1", "chips", "9 Mar", face="form", since="2026-03-09", strength=0.5),
        says("P1", ASK, "chip", verdict="suspect"),
        traces("--slab P1", K1="while it lay there", K2="chipped 9 Mar$"),
    ),
    day(
        "chipped in lifting, logged when hands were clean",
        "R1 was lifted at nine; at ten past the chip was written down that the lift had made.",
        f"slab P1\n batch W-1 W\n batch W-2 W\n {LYING} {AFTER} log P1 2026-03-09T09:10 chipped face=form",
        says("P1", ASK, "chip", verdict="suspect"),
        traces("--slab P1", K1="logged 10 min after it was lifted", K2="chipped 9 Mar$"),
    ),
    day(
        "chipped in the evening",
        "R1 was lifted at nine, R2 at one. P1 was knocked in the evening: none of that clay was there any more.",
        f"slab P1\n batch W-1 W\n batch W-2 W\n {LYING} {AFTER} log P1 2026-03-09T19:00 chipped face=form",
        holds("P1", "chips", face="form", since="2026-03-09"),
        traces("--slab P1", K1="", K2=""),
    ),
    day(
        "a chip on the other face",
        "The open side is chipped. The slab is suspect at a glance, but the smooth side takes its layer unasked.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T15:00 chipped face=open",
        holds("P1", "chips", face="open", since="2026-03-06"),
        asks(f"W-1 P1 {OPEN}", "chip"),
        pours(f"W-1 P1 {FORM}"),
    ),
    day(
        "a chip of no face, one face looked over",
        "Nobody wrote which side was chipped. The smooth one was looked over: the other one is left.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T15:00 chipped\n log P1 2026-03-07T09:00 looked_over face=form",
        holds("P1", "chips", face=None, since="2026-03-06", at="2026-03-06 18:00"),
        holds("P1", "chips", face="open", since="2026-03-06"),
        asks(f"W-1 P1 {OPEN}", "chip"),
        pours(f"W-1 P1 {FORM}"),
    ),
    day(
        "looked over, then looked over again",
        "The chip was looked over on Saturday, and once more on Sunday. Taking the second look back changes nothing.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 chipped face=form\n"
        "log P1 2026-03-07T09:00 looked_over face=form",
        does("event P1 'looked over' --face form --at '2026-03-08 09:00'"),
        says("P1", FINE, verdict="ready"),
        lacks("P1", "chips"),
        does("undo"),
        says("P1", FINE, verdict="ready"),
        pours("W-1 P1"),
    ),
    day(
        "a look taken back",
        "It was P2 that was looked over. Undone, P1 is as doubtful as before; done again, it is not.",
        "slab P1\n slab P2\n batch W-1 W\n log P1 2026-03-06T09:00 chipped face=form",
        does("event P1 'looked over' --at '2026-03-07 09:00'"),
        says("P1", FINE, verdict="ready"),
        does("undo"),
        says("P1", ASK, "chip", verdict="suspect"),
        forecast("W", "P1", ASK, "chip"),
        does("redo"),
        lacks("P1", "chips"),
        pours("W-1 P1"),
    ),
    day(
        "a chip on the wrong slab",
        "It was P2 that was chipped; the line in the log of P1 is deleted.",
        "slab P1\n slab P2\n batch W-1 W\n log P1 2026-03-06T09:00 chipped face=form",
        says("P1", ASK, "chip", verdict="suspect"),
        does("delete slab_log P1 '2026-03-06 09:00' chipped"),
        says("P1", FINE, verdict="ready"),
        pours("W-1 P1"),
    ),
    day(
        "the chip and the look in one minute",
        "Both lines say nine o'clock. Whether the look found the chip or came after it nobody knows: so it is asked.",
        "slab P1\n batch W-1 W\n log P1 2026-03-07T09:00 chipped face=form\n"
        "log P1 2026-03-07T09:00 looked_over face=form",
        says("P1", ASK, "chip", verdict="suspect"),
        does("event P1 'looked over' --face form --at '2026-03-07 09:01'"),
        says("P1", FINE, verdict="ready"),
        lacks("P1", "chips"),
    ),
    day(
        "typed in the wrong way round",
        "First Saturday's look was typed in, then the chip of Friday. What counts is when it happened.",
        "slab P1\n batch W-1 W",
        does("event P1 'looked over' --face form --at '2026-03-07 09:00'"),
        does("event P1 chipped --face form --at '2026-03-06 09:00'"),
        says("P1", ASK, "chip", at="2026-03-06 12:00", verdict="suspect"),
        says("P1", FINE, verdict="ready"),
        pours("W-1 P1"),
    ),
    day(
        "a chip typed in a week late",
        "The chip of Tuesday is typed in today. From Tuesday on the slab was doubtful, and before it was not.",
        "slab P1\n batch W-1 W",
        says("P1", FINE, at="2026-03-05 09:00", verdict="ready"),
        does("event P1 chipped --face form --at '2026-03-03 16:00'"),
        says("P1", FINE, at="2026-03-03 12:00", verdict="ready"),
        says("P1", ASK, "chip", at="2026-03-05 09:00", verdict="suspect"),
        asks("W-1 P1", "chip"),
    ),
    day(
        "two chips, the first looked over",
        "The chip of Friday was looked over on Saturday. That of Sunday was not.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 chipped face=form\n"
        "log P1 2026-03-07T09:00 looked_over face=form\n log P1 2026-03-08T09:00 chipped face=form",
        holds("P1", "chips", "8 Mar", face="form", since="2026-03-08", strength=0.5),
        asks("W-1 P1", "chip"),
    ),
    day(
        "three chips at once, and a fourth",
        "Three chips on Friday, one more on Sunday: all the more may be loose. One look ends all of it.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 chipped face=form count=3\n"
        "log P1 2026-03-08T09:00 chipped face=form",
        holds("P1", "chips", "4 chips", face="form", since="2026-03-06", strength=0.9),
        does("event P1 'looked over' --face form --at '2026-03-10 08:00'"),
        lacks("P1", "chips"),
        pours("W-1 P1"),
    ),
    day(
        "chipped, and resurfaced in between",
        "Both sides were chipped; the smooth one was resurfaced on Saturday. The open one is as it was.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 chipped face=form\n"
        "log P1 2026-03-06T09:05 chipped face=open\n log P1 2026-03-07T09:00 resurfaced face=form",
        holds("P1", "chips", face="open", since="2026-03-06"),
        pours(f"W-1 P1 {FORM}"),
    ),
    day(
        "answered, looked over, chipped again",
        "The chip was wanted anyway; then it was looked over. The next chip is a new fact.",
        "slab P1\n batch W-1 W\n batch W-2 W\n log P1 2026-03-09T12:00 chipped face=form",
        anyway("W-1 P1 --code R1"),
        does(LIFT),
        does("event P1 'looked over' --face form --at '2026-03-10 12:00'"),
        lacks("P1", "chips", at="2026-03-10 13:00"),
        does("event P1 chipped --face form --at '2026-03-10 14:00'"),
        asks("W-2 P1", "chip", at=NEXT),
    ),
    day(
        "frost on a dry slab, logged in a word",
        "P1 was weighed dry on Saturday and logged as frozen on Sunday. There was nothing in it to freeze.",
        "slab P1\n batch W-1 W\n log P1 2026-03-07T09:00 weighed_dry mass_g=10000\n log P1 2026-03-08T06:00 frozen",
        lacks("P1", "frost"),
        says("P1", FINE, verdict="ready", silent="fro(st|ze)"),
        pours("W-1 P1"),
    ),
    day(
        "frost on a wet slab, one side looked over",
        "Half full, P1 froze on Sunday night. Its smooth side was looked over and is clean.",
        f"slab P1\n batch W-1 W\n {FROST} log P1 2026-03-09T12:00 looked_over face=form",
        holds("P1", "frost", "stood wet", face=None, since="2026-03-08", strength=0.5, at="2026-03-09 09:00"),
        holds("P1", "frost", face="open", since="2026-03-08"),
        says("P1", ASK, "fro(st|ze)", verdict="suspect"),
        asks(f"W-1 P1 {OPEN}", "fro(st|ze)"),
        pours(f"W-1 P1 {FORM}"),
    ),
    day(
        "frozen wet, dry by now",
        "P1 froze wet and has dried since, by the scale. A split face does not heal by drying.",
        f"slab P1\n batch W-1 W\n {FROST} log P1 2026-03-10T08:00 weighed_dry mass_g=9998",
        says("P1", ASK, "fro(st|ze)", verdict="suspect"),
        does("event P1 'looked over' --at '2026-03-10 08:30'"),
        says("P1", FINE, verdict="ready"),
    ),
    day(
        "an hour in the oven",
        "P1 stood at 60 °C for an hour. Weighed dry on Sunday it weighs what it did: nothing to speak of is gone.",
        "slab P1\n batch W-1 W\n" + OVEN.format("11:00"),
        holds("P1", "heat", "60 °C", "not weighed dry", since="2026-03-06", strength=0.5),
        says("P1", ASK, "49|heat|hot", verdict="suspect"),
        does("event P1 'weighed dry' --mass 9990g --at '2026-03-08 09:00'"),
        lacks("P1", "heat", "dry_mass"),
        says("P1", FINE, verdict="ready"),
        pours("W-1 P1"),
    ),
    day(
        "two days in the oven",
        "P1 came out 300 g lighter. Gypsum loses 15.7 % on its way back to plaster: a fifth of the slab went there.",
        "slab P1\n batch W-1 W\n"
        + OVEN.format("23:00")
        + "log P1 2026-03-08T09:00 weighed_dry mass_g=9700\n log P1 2026-03-10T08:00 weighed mass_g=9702",
        holds(
            "P1", "heat", "300 g of bound water", "19.1 % of its plaster", r"1 911 g", since="2026-03-06", strength=1
        ),
        holds("P1", "dry_mass", "300 g less", "19.1 %", since="2026-03-08", strength=1),
        says("P1", ASK, "bound water", verdict="suspect"),
        asks("W-1 P1", "bound water"),
    ),
    day(
        "overheated, tested, never weighed",
        "The ring test after the heat was good. How much bound water is gone nobody knows, but it drinks: not asked.",
        "slab P1\n batch W-1 W\n log P1 2026-03-06T09:00 overheated note='over the kiln'\n"
        "log P1 2026-03-07T09:00 ring_test face=form ring_area_cm2=20 ring_water_ml=5 ring_seconds=34",
        holds("P1", "heat", "not weighed dry", since="2026-03-06", strength=0.3),
        says("P1", FINE, verdict="ready"),
        pours("W-1 P1"),
    ),
    day(
        "lighter by a chip",
        "Weighed dry twice, 45 g apart, a chip between: a chip may take that much. Without it, bound water is gone.",
        "slab P1\n slab P2\n"
        "log P1 2026-03-01T09:00 weighed_dry mass_g=10000\n log P1 2026-03-03T09:00 chipped face=form\n"
        "log P1 2026-03-03T10:00 looked_over\n log P1 2026-03-08T09:00 weighed_dry mass_g=9955\n"
        "log P2 2026-03-01T09:00 weighed_dry mass_g=10000\n log P2 2026-03-08T09:00 weighed_dry mass_g=9955",
        lacks("P1", "dry_mass", "chips"),
        holds(
            "P2",
            "dry_mass",
            "45 g less than 1 Mar",
            "2.9 % of its plaster",
            "it was not dry before, or 45 g",
            since="2026-03-08",
        ),
        says("P2", FINE, verdict="ready"),
    ),
    day(
        "weighed dry under a layer",
        "At half past eight P1 was weighed and called dry. R1, typed in later, lay on it then: that was slip and slab.",
        "slab P1\n batch W-1 W\n batch W-2 W\n log P1 2026-03-09T08:30 weighed_dry mass_g=12300\n"
        f"{LYING} log P1 2026-03-10T08:50 weighed mass_g=10900",
        lacks("P1", "dry_mass"),
        holds("P1", "wetness", "card", since="2026-03-10", strength=0.25),
        says("P1", FINE, verdict="ready"),
        pours("W-2 P1"),
    ),
    day(
        "weighed dry, resurfaced, weighed dry",
        "Resurfacing took 400 g. That says nothing of heat or chips.",
        "slab P1\n batch W-1 W\n log P1 2026-03-01T09:00 weighed_dry mass_g=10000\n"
        "log P1 2026-03-03T09:00 resurfaced\n log P1 2026-03-08T09:00 weighed_dry mass_g=9600",
        lacks("P1", "dry_mass", "heat"),
        says("P1", FINE, verdict="ready"),
        pours("W-1 P1"),
    ),
    day(
        "deflocculant on both faces",
        "Each face took its layers of deflocculated slip. What lies in one face does not clog the other.",
        "slab P1\n"
        + "".join(
            f"batch W-{n} W deflocculant_g=30 mixed_at=2026-02-20T09:00\n run R{n} W-{n} P1 2026-02-{20 + n}T09:00"
            f" face={face} ended_at=2026-02-{20 + n}T10:00 outcome=workable clay_off_g=1500\n"
            for n, face in enumerate(("form", "open", "form", "open"), 1)
        ),
        holds("P1", "salts", "in 2 layers", face="form", since="2026-02-21", strength=0.3, times=2),
        holds("P1", "salts", "in 2 layers", face="open", since="2026-02-22", strength=0.3, times=2),
        says("P1", ASK, "salts", verdict="ready"),
    ),
    day(
        "a worn face",
        "Six layers of heavily deflocculated slip on the smooth side: three quarters of what wears a face out. "
        "Turned over, it is as good as new; resurfaced, too.",
        "slab P1\n batch W-9 W\n"
        + "".join(
            f"batch W-{n} W deflocculant_g=26 mixed_at=2026-02-20T09:00\n run R{n} W-{n} P1 2026-02-{20 + n}T09:00"
            f" ended_at=2026-02-{20 + n}T10:00 outcome=workable clay_off_g=1500\n"
            for n in range(1, 7)
        ),
        holds("P1", "salts", "in 6 layers", face="form", since="2026-02-21", strength=0.78),
        says("P1", ASK, "salts", verdict="suspect"),
        asks(f"W-9 P1 {FORM}", "salts"),
        pours(f"W-9 P1 {OPEN} --code R9"),
        does("event P1 resurfaced --face form --at '2026-03-10 12:00'"),
        lacks("P1", "salts", at=NEXT),
    ),
    day(
        "salts seen late",
        "The bloom was seen on Tuesday; W-1, two days before, had brought it. R2 lay there before anybody saw it.",
        "slab P1\n batch W-1 W deflocculant_g=8\n batch W-2 W\n "
        f"{LYING} {AFTER} fault R2 2026-03-10T08:00 scum\n log P1 2026-03-10T08:30 salts face=form",
        holds("P1", "salts", "salts 10 Mar", face="form", since="2026-03-10", strength=0.6),
        says("P1", ASK, "salts", verdict="damp"),
        traces("--slab P1", K1="not seen yet when this lay there", K2="not seen yet when this lay there"),
        traces("--run R2", K1="salts, seen 10 Mar", K2="deflocculant and salts in 1 layer since 9 Mar"),
    ),
)
