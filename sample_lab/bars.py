"""Bars, tiles and discs: formed, dried, fired, soaked, and what was wrong with them."""

import random
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from physics import Plaster
from plan import Job
from recipes import BODY, Truth, soaked
from workshop import CHIPPED, CLOSES, CROSSING, END, Workshop, is_shut, next_morning

Row = dict[str, object]
FIRINGS = (
    # firing, day, cone, peak, families it took
    ("F-01", "2026-04-17", "6", 1222, "white buff red"), ("F-02", "2026-05-08", "04", 1061, "red"),
    ("F-03", "2026-05-22", "6", 1224, "white buff red"), ("F-04", "2026-06-18", "6", 1221, "white buff red"),
    ("F-05", "2026-07-10", "9", 1279, "white"), ("F-06", "2026-07-17", "6", 1223, "buff red"),
    ("F-07", "2026-07-31", "04", 1063, "red"), ("F-08", "2026-08-07", "6", 1220, "white buff"),
    ("F-09", "2026-08-28", "6", 1222, "white buff red"), ("F-10", "2026-09-22", "6", 1221, "white buff red"),
)  # fmt: skip
HEAT = {"04": 0.3, "6": 1.0, "9": 1.15}
_SHAPES = {"bar": (100, 72, "pressed in a wooden frame"), "tile": (80, 118, "rolled, cut with a frame"),
           "disc": (60, 49, "rolled, cut with a ring")}  # fmt: skip
_COLOURS = {"white": ("white", "cream"), "buff": ("buff", "straw"), "red": ("brick red", "brown")}


@dataclass
class Made:
    """A piece as it truly is."""

    row: Row
    body: Truth
    slab: str
    at: datetime
    gain: float
    """What its batch takes up more or less than the body, per cent."""


def form(shop: Workshop, job: Job, runs: list[tuple[Row, Plaster]]) -> None:
    """Pieces of one batch, shared out over its layers; now and then the layers are wedged into one lump."""
    dice = shop.dice
    good = [(run, slab) for run, slab in runs if run["outcome"] != "abandoned"]
    together = len(good) > 1 and dice.random() < 0.2
    lot = Lot(
        job.body,
        dice.gauss(0, 0.18),
        dice.gauss(0, 0.4),
        dice.gauss(0, 0.2),
        dice.choices(list(_SHAPES), [16, 1, 1])[0],
    )
    for number in range(job.pieces):
        run, slab = good[number * len(good) // job.pieces]
        lifted = max(_ended(run) for run, _ in good) if together else _ended(run)
        at = lifted + timedelta(minutes=25 + 4 * number)
        if at.time() > CLOSES:
            at = next_morning(at) + timedelta(minutes=25 + 4 * number)
        form_one(shop, lot, run["batch"], at, None if together else run["run"], "" if together else slab.code)


@dataclass(frozen=True)
class Lot:
    """What the pieces of one batch have in common: how far it is off the body's shrinkage, water and take-up."""

    body: Truth
    shrinks: float = 0.0
    water: float = 0.0
    gain: float = 0.0
    shape: str = "bar"


def form_one(shop: Workshop, lot: Lot, batch: object, at: datetime, run: object = None, slab: str = "") -> None:
    """One piece, formed, marked and dried."""
    dice, body = shop.dice, lot.body
    length, mass, how = _SHAPES[lot.shape]
    plastic = dice.gauss(mass, 0.02 * mass)
    row = shop.add("pieces", piece=next(shop.codes), batch=batch, run=run, shape=lot.shape, formed_at=at, formed_how=how,
                   plastic_mm=length, plastic_g=round(plastic, 1))  # fmt: skip
    drying = body.drying + lot.shrinks + dice.gauss(0, 0.16)
    water = body.workable + lot.water + dice.gauss(0, 0.3)
    _dry(shop, row, at, length * (1 - drying / 100), plastic / (1 + water / 100))
    shop.made.append(Made(row, body, slab, at, lot.gain))


def _ended(run: Row) -> datetime:
    ended = run["ended_at"]
    assert isinstance(ended, datetime)
    return ended


def _dry(shop: Workshop, row: Row, at: datetime, length: float, mass: float) -> None:
    dried = at + timedelta(days=3)
    while dried.weekday() > 4 or is_shut(dried.date()):
        dried += timedelta(days=1)
    dried = dried.replace(hour=16, minute=10)
    if dried < END:
        row |= {"dry_at": dried, "dry_how": "oven", "dry_mm": round(length, 1), "dry_g": round(mass, 1)}
        luck = shop.dice.random()
        if luck < 0.02:
            ended = dried + timedelta(days=1)
            row |= {"ended_at": ended.date(), "ended": "broken" if luck < 0.014 else "lost"}


def fire(shop: Workshop) -> None:
    """Every piece goes into the first firing that suits it; some red ones into a second, hotter one."""
    for code, day, cone, peak, _ in FIRINGS:
        shop.add("firings", firing=code, fired_on=date.fromisoformat(day), kiln="front loader", cone=cone,
                 peak_temp_c=peak, hold_min=15 if cone != "9" else 20, atmosphere="oxidation")  # fmt: skip
    for made in shop.made:
        if "dry_mm" not in made.row or made.row.get("ended"):
            continue
        ready = (made.at + timedelta(days=4)).date().isoformat()
        fits = [row for row in FIRINGS if row[1] >= ready and made.body.family in row[4].split()]
        if fits:
            _fire_one(shop, made, fits[0])
        if fits and fits[0][0] == "F-02" and made.body.code == "R-01":
            _fire_one(shop, made, FIRINGS[2])
    for made in shop.made[40:240:80]:
        if made.row.get("ended") is None and "dry_mm" in made.row:
            made.row |= {"ended_at": date(2026, 9, 4), "ended": "scrapped", "note": "broken open to look at the core"}


def _fire_one(shop: Workshop, made: Made, firing: tuple[str, str, int, int, str]) -> None:
    dice, body, heat = shop.dice, made.body, HEAT[firing[2]]
    day = date.fromisoformat(firing[1])
    drawn = day + timedelta(days=1 if day.weekday() < 4 else 3)
    dry_mm, dry_g = float(str(made.row["dry_mm"])), float(str(made.row["dry_g"]))
    shrinkage = body.firing * heat + 0.4 * made.gain + dice.gauss(0, 0.13)
    absorbs = soaked(body.absorption + 13 * (1 - heat) + made.gain) + dice.gauss(0, 0.08)
    fired_g = dry_g * (1 - body.burnt / 100)
    row = shop.add("fired", piece=made.row["piece"], firing=firing[0])
    if drawn >= END.date() or (day.month == 9 and made.at.month == 9 and dice.random() < 0.4):
        return
    row |= {"fired_mm": round(dry_mm * (1 - shrinkage / 100), 1), "fired_g": round(fired_g, 2)}
    row["colour"] = _COLOURS[body.family][1 if heat > 1 or "iron" in "".join(body.parts) else 0]
    if made.row["shape"] == "bar" and dice.random() < 0.3:
        row["warp_pct"] = round(abs(dice.gauss(0, 0.25)), 1)
    boiled = drawn + timedelta(days=1)
    if boiled < END.date() and dice.random() < 0.88:
        dense = 2.47 + 0.0035 * (50 - body.parts.get("feldspar", 0)) * (1 if heat >= 1 else 1.3)
        row |= {"soaked_at": boiled, "soaked_g": round(fired_g * (1 + max(absorbs, 0.05) / 100), 2),
                "suspended_g": round(fired_g * (1 - 1 / dense) + dice.gauss(0, 0.02), 2),
                "soak_method": "boil" if made.row["shape"] != "disc" else "soak"}  # fmt: skip
    _look(shop, made, firing[0], drawn)


def _look(shop: Workshop, made: Made, firing: str, drawn: date) -> None:
    """Looked at when it came out, and those that spat again weeks later."""
    dice, dirty = shop.dice, made.slab == "P1" and made.body.family == "white" and made.at > CROSSING
    limy = 0.04 if "pit clay" in made.body.parts else 0.0
    spits = 0.65 if made.slab == "P4" and made.at > CHIPPED else limy
    first, later = "none", ""
    if dirty and dice.random() < max(0.9 - (made.at - CROSSING).days / 150, 0.5):
        first = "specks"
    elif dice.random() < spits:
        later = "pop_out"
    elif dice.random() < 0.03:
        first = dice.choice(["crack", "warp", "black_core"])
    seen = drawn + timedelta(days=dice.choice([0, 0, 1]))
    if later and dice.random() < 0.5:
        first, later = later, ""
    if (first != "none" or dice.random() < 0.88) and seen < END.date():
        shop.add("faults", piece=made.row["piece"], firing=firing, seen_on=seen, fault=first,
                 count=dice.randint(2, 9) if first == "specks" else dice.randint(1, 3) if first == "pop_out" else None)  # fmt: skip
    again = next_morning(datetime.combine(drawn, CLOSES) + timedelta(days=dice.randint(9, 24))).date()
    if later and again < END.date():
        shop.add("faults", piece=made.row["piece"], firing=firing, seen_on=again, fault=later,
                 count=dice.randint(1, 3), note="not there when it came out")  # fmt: skip


def look_at_layers(shop: Workshop) -> None:
    """The few faults that were seen on a layer already."""
    after = [run for run in shop.rows["runs"] if run["slab"] == "P4" and _begun(run) > CHIPPED and run.get("ended_at")]
    for run in after[1:7:3]:
        shop.add("faults", run=run["run"], seen_on=_ended(run).date(), fault="plaster_found", count=1,
                 note="a white crumb, picked out")  # fmt: skip
    for run in [run for run in shop.rows["runs"] if run.get("outcome") == "too_stiff"][:2]:
        shop.add("faults", run=run["run"], seen_on=_ended(run).date(), fault="crack", note="curled at the rim")


def _begun(run: Row) -> datetime:
    begun = run["started_at"]
    assert isinstance(begun, datetime)
    return begun


def read_again(shop: Workshop) -> None:
    """Second readings of some bars by somebody else, and how much water three bodies take to be plastic."""
    dice = random.Random(7)
    bars = [row for row in shop.rows["pieces"] if row["shape"] == "bar" and "dry_mm" in row]
    for row in bars[60:180:5]:
        at = row["dry_at"]
        assert isinstance(at, datetime)
        for minutes, who in ((25, "m"), (40, "k")):
            value = round(float(str(row["dry_mm"])) + dice.gauss(0.02 if who == "m" else 0, 0.09), 1)
            shop.add(
                "readings", piece=row["piece"], at=at + timedelta(minutes=minutes), what="dry_mm", value=value, by=who
            )
    for code, liquid, plastic in (("W-01", 36.5, 21.0), ("B-01", 37.8, 22.4), ("R-01", 41.2, 22.9)):
        batch = next(row for row in shop.rows["batches"] if row["batch"] == f"{code}-2")
        at = batch["mixed_at"]
        assert isinstance(at, datetime) and code in BODY
        at = (at + timedelta(days=1)).replace(hour=10, minute=30)
        for number, blows in enumerate((16, 22, 29, 37)):
            water = liquid * (25 / blows) ** 0.11 + dice.gauss(0, 0.15)
            _water(shop, batch["batch"], at + timedelta(minutes=12 * number), "liquid_cup", water, dice, count=blows)
        for number in range(2):
            water = plastic + dice.gauss(0, 0.3)
            _water(shop, batch["batch"], at + timedelta(minutes=60 + 9 * number), "plastic_thread", water, dice)
        shop.add("readings", batch=batch["batch"], at=at + timedelta(minutes=85), what="coil_bend",
                 value=dice.randint(2, 4), by="k", note="1 splits, 5 bends round a finger")  # fmt: skip


def _water(
    shop: Workshop, batch: object, at: datetime, what: str, water: float, dice: random.Random, count: int | None = None
) -> None:
    dry = dice.uniform(14, 22)
    shop.add("readings", batch=batch, at=at, what=what, count=count, wet_g=round(dry * (1 + water / 100), 2),
             dry_g=round(dry, 2), by="k")  # fmt: skip
