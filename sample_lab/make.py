"""Write the sample lab: six invented months in an invented workshop, the same every time.

Run `python sample_lab/make.py [FOLDER]`; without a folder the files beside this script are written anew.
Standard library only. What each slab and body truly is lives in `physics` and `recipes`; the notebook only
gets what a person there would have written down.
"""

import itertools
import math
import random
import sys
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

sys.path.insert(0, str(Path(__file__).parent))

from physics import Plaster, Weather, minutes_until
from recipes import BODIES, FAMILIES, LOTS, MATERIALS, Truth
from tables import COLUMNS, KEYS

SEED = 20260302
ZONE = ZoneInfo("Europe/Lisbon")
FIRST = datetime(2026, 3, 16, 8, 30)
END = datetime(2026, 9, 25, 14, 31)
RUNS = 150
PIECES = 300
DAMP = (datetime(2026, 6, 8), datetime(2026, 6, 14))
CLOGS_FROM = datetime(2026, 7, 13)
CROSSING = datetime(2026, 7, 20)
CHIPPED = datetime(2026, 7, 6, 9, 20)
FIRINGS = (
    ("F-01", "2026-04-20", "6", 1222), ("F-02", "2026-05-18", "6", 1224), ("F-03", "2026-06-15", "04", 1061),
    ("F-04", "2026-06-29", "6", 1221), ("F-05", "2026-07-27", "6", 1223), ("F-06", "2026-08-24", "6", 1220),
    ("F-07", "2026-09-14", "6", 1222), ("F-08", "2026-09-21", "9", 1279),
)  # fmt: skip


class Workshop:
    """Keeps the rows that were written, and the true state of every slab."""

    def __init__(self) -> None:
        self.dice = random.Random(SEED)
        self.rows: dict[str, list[dict[str, object]]] = {name: [] for name in COLUMNS}
        self.weather = Weather(SEED, *DAMP)
        self.slabs: dict[str, Plaster] = {}
        self.uses: dict[str, int] = {}
        self.batch_numbers: dict[str, int] = {}
        self.codes = iter(_piece_codes())
        self.runs = 0
        self.pieces: list[tuple[dict[str, object], Truth, str]] = []
        self.specks_left = 3

    def add(self, table: str, **values: object) -> dict[str, object]:
        """Write one row."""
        self.rows[table].append(values)
        return values

    def log(self, slab: str, at: datetime, event: str, **values: object) -> None:
        """Write one line of a slab's log."""
        self.add("slab_log", slab=slab, at=at, event=event, **values)

    def weigh(self, slab: Plaster) -> int:
        """What the scale shows for a slab: steps of 5 g, and a gram or two of doubt."""
        return 5 * round((slab.dry_g + slab.water_g + self.dice.gauss(0, 1.5)) / 5)


def main(folder: Path) -> None:
    """Make the whole lab and write it."""
    shop = Workshop()
    _furnish(shop)
    _cast(shop)
    _work(shop)
    _fire(shop)
    _air(shop)
    _new_slab(shop)
    _write(shop, folder)


def _furnish(shop: Workshop) -> None:
    for name, value in (
        ("bench_from", "08:00"), ("bench_until", "18:30"), ("format", "1"), ("mixing_bucket_ml", "12000"),
        ("name", "Quarry Steps test bench (invented)"), ("scale_largest_g", "5000"), ("scale_step_g", "1"),
        ("touch_every_min", "15"), ("usual_loss_pct", "6"), ("weighing_bucket_ml", "4000"), ("zone", str(ZONE)),
    ):  # fmt: skip
        shop.add("settings", name=name, value=value)
    for family, rank, note in FAMILIES:
        shop.add("families", family=family, stain_rank=rank, note=note)
    for material, kind, gravity, loi, price, caution in MATERIALS:
        shop.add("materials", material=material, kind=kind, specific_gravity=gravity, loi_pct=loi,
                 price_per_kg=price, caution=caution)  # fmt: skip
    for lot, material, received, kilograms, moisture in LOTS:
        shop.add("lots", lot=lot, material=material, received_on=date.fromisoformat(received),
                 received_kg=kilograms, moisture_pct=moisture)  # fmt: skip
    for body in BODIES:
        shop.add("bodies", body=body.code, title=body.title, family=body.family, parent=body.parent,
                 test_set=body.test_set, control=True if body.control else None, slip_sg=body.slip_sg,
                 workable_water_pct=body.workable)  # fmt: skip
        for position, (material, parts) in enumerate(body.parts.items(), 1):
            shop.add("body_lines", body=body.code, position=position, material=material, parts=parts)


_SLABS = (
    # code, family, length, width, thickness, true sorptivity, true drying factor
    ("P1", "white", 500, 400, 45, 3.2, 1.05),
    ("P2", "white", 500, 400, 45, 3.0, 0.95),
    ("P3", "buff", 600, 400, 50, 2.8, 0.90),
    ("P4", "buff", 500, 400, 50, 3.3, 1.10),
    ("P5", "red", 500, 400, 45, 2.7, 1.00),
    ("P8", "buff", 450, 350, 40, 2.9, 1.00),
)


def _cast(shop: Workshop) -> None:
    cast = datetime(2026, 2, 16, 10, 0)
    for code, family, length, width, thickness, sorptivity, drying in _SLABS:
        volume = length * width * thickness / 1000
        plaster = round(volume / 1068 * 1000 / 10) * 10
        water = round(plaster * 0.7)
        dry = plaster * 1.1862 * shop.dice.gauss(1, 0.004)
        slab = Plaster(code, family, length, width, thickness, sorptivity, drying, dry,
                       0.77 * 0.468 * dry, water - 0.1862 * plaster, cast)  # fmt: skip
        shop.slabs[code] = slab
        shop.add("slabs", slab=code, family=family, shape="rectangle", length_mm=length, width_mm=width,
                 thickness_mm=thickness, usable_area_cm2=round((length - 40) * (width - 40) / 100),
                 plaster="pottery plaster", mix_ratio=70, plaster_g=plaster, water_g=water, cast_at=cast,
                 in_service_on=date(2026, 3, 9),
                 retired_on=date(2026, 5, 29) if code == "P8" else None)  # fmt: skip
        shop.log(code, cast, "mixed", mass_g=plaster + water)
        shop.log(code, cast + timedelta(minutes=27), "set")
        shop.log(code, cast + timedelta(minutes=52), "demoulded")
        for day in (1, 4, 8, 13, 18):
            at = cast + timedelta(days=day, hours=-1)
            slab.dry_until(at, shop.weather)
            shop.log(code, at, "weighed", mass_g=shop.weigh(slab))
            shop.log(code, at + timedelta(minutes=4), "turned")
            if day == 4:
                slab.place = "fan"
                shop.log(code, at + timedelta(minutes=6), "moved", place="fan")
        shop.log(code, cast + timedelta(days=20), "weighed_dry", mass_g=5 * round(dry / 5))
        slab.dry_until(cast + timedelta(days=20), shop.weather)
        slab.water_g, slab.place = 0.0, "shelf"
        shop.log(code, cast + timedelta(days=20, minutes=5), "moved", place="shelf")
        cast += timedelta(hours=3)
    old = Plaster("P6", "red", 450, 450, 60, 2.5, 0.9, 9060.0, 3260.0, 500.0, FIRST)
    shop.slabs["P6"] = old
    shop.add("slabs", slab="P6", family="red", shape="round", length_mm=450, thickness_mm=60,
             note="was here before the notebook; nobody knows how it was mixed")  # fmt: skip
    shop.log("P6", FIRST, "weighed", mass_g=shop.weigh(old))


def _work(shop: Workshop) -> None:
    """Day by day: two or three pours until the runs are done."""
    days = [FIRST.date() + timedelta(days=n) for n in range((END.date() - FIRST.date()).days)]
    days = [day for day in days if day.weekday() < 5]
    plan = _plan(shop)
    for number, day in enumerate(days):
        due = round((RUNS - 3) * (number + 1) / len(days)) - shop.runs if number % 2 or day == days[-1] else 0
        at = datetime.combine(day, FIRST.time()) + timedelta(minutes=shop.dice.randint(0, 50))
        _morning(shop, at)
        at += timedelta(minutes=15)
        if CROSSING.date() == day:
            _pour(shop, "P1", _mix(shop, _body("R-01"), at), at + timedelta(minutes=20))
            due -= 1
        if DAMP[0] <= at < DAMP[1]:
            for body in (_body("B-05"), _body("B-01")):
                at = _pour(shop, "P3", _mix(shop, body, at), at + timedelta(minutes=20))
                due -= 1
        while due > 0:
            body = next(plan)
            slab = _choose(shop, body.family, at)
            batch = _mix(shop, body, at)
            ended = _pour(shop, slab, batch, at + timedelta(minutes=25))
            due -= 1
            if due > 0 and shop.dice.random() < 0.75:
                other = _choose(shop, body.family, ended)
                if other != slab:
                    _pour(shop, other, batch, ended + timedelta(minutes=10))
                    due -= 1
            at = max(at, ended - timedelta(minutes=shop.dice.randint(0, 30)))
        _evening(shop, datetime.combine(day, FIRST.time()) + timedelta(hours=9, minutes=40))
    _open_runs(shop)


def _plan(shop: Workshop) -> "itertools.chain[Truth]":
    """Bodies in the order they are first made, the controls again and again between."""
    order: list[Truth] = []
    by_family = {family: [body for body in BODIES if body.family == family] for family, _, _ in FAMILIES}
    longest = max(len(found) for found in by_family.values())
    for step in range(longest):
        for found in by_family.values():
            if step < len(found):
                order += [found[step], found[step]]
        if step % 3 == 2:
            order += [found[0] for found in by_family.values()]
    later = [body for body in BODIES for _ in range(3)]
    shop.dice.shuffle(later)
    return itertools.chain(order, later, itertools.cycle(BODIES))


def _body(code: str) -> Truth:
    return next(body for body in BODIES if body.code == code)


def _choose(shop: Workshop, family: str, at: datetime) -> str:
    """The driest slab of the family, more or less."""
    suits = [
        slab
        for slab in shop.slabs.values()
        if slab.family == family and not (slab.code == "P8" and at >= datetime(2026, 5, 29))
    ]
    if family == "white" and shop.dice.random() < 0.5:
        return shop.dice.choice(["P1", "P2"])
    return min(suits, key=lambda slab: (slab.wetness + shop.dice.random() * 0.25, slab.code)).code


def _mix(shop: Workshop, body: Truth, at: datetime) -> tuple[str, Truth, datetime]:
    number = shop.batch_numbers[body.code] = shop.batch_numbers.get(body.code, 0) + 1
    code = f"{body.code}-{number}"
    dry = 100 * shop.dice.randint(28, 42)
    solids = _solids(body)
    water = dry / (body.slip_sg - 1) * (1 - body.slip_sg / solids)
    mixed = at - timedelta(hours=shop.dice.choice([1, 2, 16]))
    shop.add("batches", batch=code, body=body.code, made="slip", mixed_at=mixed, dry_mass_g=dry,
             water_g=round(water), slip_sg=round(body.slip_sg + shop.dice.gauss(0, 0.008), 2),
             slip_temp_c=round(shop.weather.air(mixed)[0]))  # fmt: skip
    for position, (material, parts) in enumerate(body.parts.items(), 1):
        fitting = [lot for lot in LOTS if lot[1] == material and lot[2] <= mixed.date().isoformat()]
        lot = fitting[-1]
        share = parts / sum(body.parts.values())
        mass = round(dry * share / (1 - lot[4] / 100))
        shop.add("batch_lines", batch=code, position=position, material=material, lot=lot[0], mass_g=mass)
    return code, body, mixed


def _solids(body: Truth) -> float:
    gravity = {name: value for name, _, value, *_ in MATERIALS}
    total = sum(body.parts.values())
    return total / sum(parts / gravity[material] for material, parts in body.parts.items())


def _pour(
    shop: Workshop,
    code: str,
    batch: tuple[str, Truth, datetime],
    at: datetime,
    *,
    look_until: datetime | None = None,
) -> datetime:
    """One run, from the pour to the lift; returns when the slab was free again."""
    dice, slab, body = shop.dice, shop.slabs[code], batch[1]
    at = max(at, slab.ready_at + timedelta(minutes=5)).replace(second=0)
    slab.dry_until(at, shop.weather)
    shop.uses[code] = shop.uses.get(code, 0) + 1
    shop.runs += 1
    temp, humidity = shop.weather.air(at)
    depth = round(dice.uniform(8.5, 12.5) * 2) / 2
    area = round(0.78 * slab.area / 10) * 10 if code != "P6" else 1150
    gravity = round(body.slip_sg + dice.gauss(0, 0.01), 2)
    solids = _solids(body)
    dry = (gravity - 1) * solids / (solids - 1)
    water_mm = depth * dice.gauss(1, 0.02) * (gravity - dry * (1 + body.workable / 100))
    capacity_mm = 10 * slab.capacity_g / slab.area
    true = minutes_until(water_mm, body.desorptivity, _pull(slab, at), slab.wetness, capacity_mm, temp)
    true *= math.exp(dice.gauss(0, 0.05))
    poured = round(depth * area / 10 * gravity / 10) * 10
    run = shop.add("runs", run=f"D{shop.runs:03d}", batch=batch[0], slab=code, face="form", started_at=at,
                   poured_g=poured, area_cm2=area, layer_mm=depth, slip_sg=gravity,
                   slip_temp_c=round(temp, 1), air_temp_c=round(temp, 1), air_rh_pct=round(humidity))  # fmt: skip
    if dice.random() < 0.75:
        run["slab_before_g"] = shop.weigh(slab)
    lifted, felt = _touch(shop, str(run["run"]), at, true, look_until)
    if look_until is not None:
        return lifted
    taken = water_mm * area / 10 * min(math.sqrt((lifted - at).total_seconds() / 60 / true), 1.12)
    slab.dry_until(lifted, shop.weather, 0.5)
    slab.water_g += 0.96 * taken
    run["ended_at"] = lifted
    run["outcome"] = {"workable": "workable", "stiff": "too_stiff"}.get(felt, "lifted_early")
    run["clay_off_g"] = round((poured - taken) * 0.99)
    if dice.random() < 0.75:
        run["slab_after_g"] = shop.weigh(slab)
    slab.ready_at = lifted
    _form(shop, run, body, lifted + timedelta(minutes=20))
    return lifted


def _pull(slab: Plaster, at: datetime) -> float:
    """True sorptivity now: P2 clogs from mid-July, use by use."""
    if slab.code == "P2" and at >= CLOGS_FROM:
        return slab.sorptivity * max(0.2, math.exp(-(at - CLOGS_FROM).days / 22))
    return slab.sorptivity


def _touch(
    shop: Workshop, run: str, at: datetime, true: float, until: datetime | None
) -> tuple[datetime, str]:
    """Touch the layer every 6 to 18 minutes until it is workable; rarely somebody gives up early."""
    now, felt = at, "fluid"
    patience = shop.dice.uniform(0.55, 0.75) if shop.dice.random() < 0.04 else 99.0
    elapsed = float(shop.dice.randint(18, 30))
    while True:
        now = at + timedelta(minutes=round(elapsed))
        if until is not None and now > until:
            return now, felt
        ratio = elapsed / (true * math.exp(shop.dice.gauss(0, 0.08)))
        felt = "fluid" if ratio < 0.55 else "sticky" if ratio < 1 else "workable" if ratio < 1.5 else "stiff"
        shop.add("checks", run=run, at=now, feel=felt)
        if felt in ("workable", "stiff") or ratio > patience or elapsed > 430:
            return now + timedelta(minutes=shop.dice.randint(1, 5)), felt
        elapsed += shop.dice.randint(6, 18) * (1.6 if true > 150 and ratio < 0.5 else 1)


def _form(shop: Workshop, run: dict[str, object], body: Truth, at: datetime) -> None:
    """Bars from the first run of most batches."""
    batch = str(run["batch"])
    made = {str(row["batch"]) for row, _, _ in shop.pieces}
    wanted = 5 if batch.endswith("-1") or shop.dice.random() < 0.6 else 0
    if batch in made or run["outcome"] == "lifted_early" or not wanted:
        return
    of_batch = shop.dice.gauss(0, 0.18)
    for _ in range(wanted):
        if len(shop.pieces) >= PIECES:
            return
        drying = body.drying + of_batch + shop.dice.gauss(0, 0.15)
        plastic = shop.dice.gauss(62, 1.5)
        dry_at = (at + timedelta(days=3)).replace(hour=16, minute=10)
        piece = shop.add("pieces", piece=next(shop.codes), batch=batch, run=run["run"], shape="bar",
                         formed_at=at, formed_how="pressed in a wooden mould", plastic_mm=100,
                         plastic_g=round(plastic, 1))  # fmt: skip
        if dry_at < END:
            piece |= {"dry_at": dry_at, "dry_how": "oven", "dry_mm": round(100 - drying, 1),
                      "dry_g": round(plastic / (1 + body.workable / 100), 1)}  # fmt: skip
        shop.pieces.append((piece, body, str(run["slab"])))


def _morning(shop: Workshop, at: datetime) -> None:
    """On Mondays slabs are weighed; on the first of a month those that are dry are weighed dry."""
    for slab in shop.slabs.values():
        if slab.code == "P8" and at >= datetime(2026, 5, 28):
            continue
        slab.dry_until(at, shop.weather)
        if slab.place == "fan":
            slab.place = "shelf"
            shop.log(slab.code, at + timedelta(minutes=2), "moved", place="shelf")
        monday = at.weekday() == 0
        if monday and slab.water_g < 0.012 * slab.capacity_g and slab.code != "P6" and at.day <= 7:
            shop.log(slab.code, at, "weighed_dry", mass_g=shop.weigh(slab))
        elif monday and shop.dice.random() < 0.75:
            shop.log(slab.code, at, "weighed", mass_g=shop.weigh(slab))
    if at.date() == CHIPPED.date():
        shop.log(
            "P4", CHIPPED, "chipped", face="form", count=1, note="knocked on the edge of the wedging board"
        )
    if at.date() == date(2026, 5, 28):
        shop.log("P8", at, "broken", note="dropped while turning")


def _evening(shop: Workshop, at: datetime) -> None:
    """Slabs that are damp go before the fan, but not in the damp week, when it stood unplugged."""
    for slab in shop.slabs.values():
        when = max(at, slab.ready_at + timedelta(minutes=10))
        if (
            slab.wetness > 0.25
            and not (DAMP[0] <= at < DAMP[1])
            and slab.place == "shelf"
            and slab.code != "P8"
        ):
            slab.dry_until(when, shop.weather)
            slab.place = "fan"
            shop.log(slab.code, when, "moved", place="fan")


def _open_runs(shop: Workshop) -> None:
    """Three layers lie on the slabs when the sample ends."""
    morning = datetime.combine(END.date(), FIRST.time())
    _morning(shop, morning)
    for code, body, minutes in (("P1", "W-12", 52), ("P4", "B-07", 41), ("P5", "R-02", 31)):
        at = END - timedelta(minutes=minutes)
        _pour(shop, code, _mix(shop, _body(body), morning + timedelta(hours=1)), at, look_until=END)


def _fire(shop: Workshop) -> None:
    """Every piece goes into the first firing a week after it was formed."""
    for code, day, cone, peak in FIRINGS:
        shop.add("firings", firing=code, fired_on=date.fromisoformat(day), kiln="front loader", cone=cone,
                 peak_temp_c=peak, hold_min=15, atmosphere="oxidation")  # fmt: skip
    for piece, body, slab in shop.pieces:
        formed = piece["formed_at"]
        assert isinstance(formed, datetime)
        fits = [row for row in FIRINGS if row[1] >= (formed + timedelta(days=7)).date().isoformat()]
        if fits and "dry_mm" in piece:
            _fire_one(shop, piece, body, slab, fits[0], formed)


def _fire_one(
    shop: Workshop,
    piece: dict[str, object],
    body: Truth,
    slab: str,
    firing: tuple[str, str, str, int],
    formed: datetime,
) -> None:
    dice, heat = shop.dice, {"04": 0.35, "6": 1.0, "9": 1.18}[firing[2]]
    shrinkage = body.firing * heat + dice.gauss(0, 0.12)
    absorbs = max(body.absorption + (1 - heat) * 11 + dice.gauss(0, 0.2), 0.1)
    dry_mm, dry_g = float(str(piece["dry_mm"])), float(str(piece["dry_g"]))
    burnt = sum(
        parts * (loi or 0.0)
        for name, _, _, loi, *_ in MATERIALS
        for other, parts in body.parts.items()
        if other == name
    ) / sum(body.parts.values())
    fired_g = dry_g * (1 - burnt / 100)
    soaked_on = date.fromisoformat(firing[1]) + timedelta(days=3)
    row: dict[str, object] = {"piece": piece["piece"], "firing": firing[0],
                              "fired_mm": round(dry_mm * (1 - shrinkage / 100), 1), "fired_g": round(fired_g, 2)}  # fmt: skip
    if soaked_on < END.date() and dice.random() < 0.9:
        soaked = fired_g * (1 + absorbs / 100)
        true_density = 2.52
        row |= {"soaked_at": soaked_on, "soaked_g": round(soaked, 2),
                "suspended_g": round(fired_g * (1 - 1 / true_density), 2), "soak_method": "boil"}  # fmt: skip
    shop.add("fired", **row)
    seen = date.fromisoformat(firing[1]) + timedelta(days=4)
    if seen < END.date() and dice.random() < 0.85:
        shop.add("faults", piece=piece["piece"], firing=firing[0], seen_on=seen,
                 fault=_fault(shop, body, slab, formed))  # fmt: skip


def _fault(shop: Workshop, body: Truth, slab: str, formed: datetime) -> str:
    luck = shop.dice.random()
    if slab == "P4" and formed > CHIPPED and luck < 0.6:
        return "pop_out"
    if slab == "P1" and body.family == "white" and formed > CROSSING and luck < 0.65:
        return "specks"
    if "pit clay" in body.parts and luck < 0.03:
        return "pop_out"
    return "crack" if luck > 0.985 else "none"


def _air(shop: Workshop) -> None:
    at = datetime(2026, 2, 16, 8, 40)
    while at < END:
        if at.weekday() < 5:
            temp, humidity = shop.weather.air(at)
            shop.add("air", at=at, place="shelf", air_temp_c=round(temp * 2) / 2, air_rh_pct=round(humidity))
        at += timedelta(hours=5, minutes=20) if at.hour == 8 else timedelta(hours=18, minutes=40)


def _new_slab(shop: Workshop) -> None:
    """A slab that is still drying when the sample ends."""
    cast = datetime(2026, 9, 21, 11, 15)
    plaster, water = 8430, 5900
    slab = Plaster(
        "P7", "white", 500, 400, 45, 3.0, 1.0, plaster * 1.1862, 3600.0, water - 0.1862 * plaster, cast
    )
    shop.add("slabs", slab="P7", family="white", shape="rectangle", length_mm=500, width_mm=400, thickness_mm=45,
             usable_area_cm2=1656, plaster="pottery plaster", mix_ratio=70, plaster_g=plaster, water_g=water,
             cast_at=cast)  # fmt: skip
    shop.log("P7", cast, "mixed", mass_g=plaster + water)
    shop.log("P7", cast + timedelta(minutes=25), "set")
    shop.log("P7", cast + timedelta(minutes=50), "demoulded")
    for hours in (22, 46, 70, 93):
        at = cast + timedelta(hours=hours)
        slab.dry_until(at, shop.weather)
        shop.log("P7", at, "weighed", mass_g=shop.weigh(slab))
        shop.log("P7", at + timedelta(minutes=3), "turned")
    shop.log("P2", datetime(2026, 9, 2, 9, 5), "ring_test", face="form", ring_area_cm2=20, ring_water_ml=5,
             ring_seconds=610, note="the ring test of March took 34 s")  # fmt: skip
    shop.log("P2", datetime(2026, 3, 10, 9, 5), "ring_test", face="form", ring_area_cm2=20, ring_water_ml=5,
             ring_seconds=34)  # fmt: skip


def _piece_codes() -> list[str]:
    """Short codes from symbols that cannot be taken for one another, whichever way up a bar lies."""
    symbols = "379ACKNPXY"
    found = [f"{turn}{first}{second}" for turn in "P9" for first in symbols for second in symbols]
    found += [f"{first}{turn}{second}" for turn in "P9" for first in "37ACKNXY" for second in symbols]
    return found


def _write(shop: Workshop, folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for table, columns in COLUMNS.items():
        rows = [[_text(row.get(name)) for name in columns] for row in shop.rows[table]]
        places = [columns.index(name) for name in KEYS[table]]
        rows.sort(key=lambda cells: [cells[place] for place in places])
        lines = [",".join(columns), *(",".join(_quoted(cell) for cell in cells) for cells in rows)]
        (folder / f"{table}.csv").write_bytes(("\n".join(lines) + "\n").encode())


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.replace(tzinfo=ZONE).isoformat()
    if isinstance(value, float):
        return f"{value:.6f}".rstrip("0").rstrip(".")
    return str(value)


def _quoted(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"' if any(mark in cell for mark in ',"\r\n') else cell


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
