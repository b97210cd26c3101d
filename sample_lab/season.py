"""Day by day at the workshop: mixing, pouring, touching, lifting, and where the slabs stand meanwhile."""

import math
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from bars import form
from physics import Layer, Plaster, evaporation
from plan import Job, jobs
from recipes import BODY, LOTS, Truth
from shelves import day_of_slabs, evening, morning
from workshop import CLOSES, DAMP, END, FIRST, OPENS, Workshop, next_morning, open_days

Row = dict[str, object]
LAST_TOUCH = time(17, 40)


@dataclass
class Pour:
    """One layer as it was meant before anything was weighed."""

    slab: Plaster
    depth: float
    area: int


def work(shop: Workshop) -> None:
    """Every day from the first to the last."""
    ahead = jobs(shop.dice)
    for day in open_days():
        at = datetime.combine(day, FIRST.time()) + timedelta(minutes=shop.dice.randint(0, 25))
        morning(shop, at)
        at += timedelta(minutes=shop.dice.randint(30, 60))
        while ahead and ahead[0].day == day:
            job = ahead.pop(0)
            together = [job, ahead.pop(0)] if job.beside else [job]
            at = _do(shop, together, at) + timedelta(minutes=shop.dice.randint(5, 20))
        day_of_slabs(shop, day)
        evening(shop, datetime.combine(day, FIRST.time()) + timedelta(hours=9, minutes=40))
    morning(shop, datetime.combine(END.date(), FIRST.time()))
    _open_runs(shop)
    _number(shop)


def _do(shop: Workshop, together: list[Job], at: datetime) -> datetime:
    """Mix what a job wants, pour it, and lift it when it is workable; two jobs lie side by side on one slab."""
    side_by_side: list[Lying] = []
    for job in together:
        pours = _pours(shop, job, at)
        batch = _mix(shop, job.body, pours, at)
        lying = []
        for pour in pours:
            begun = max(at, pour.slab.ready_at + timedelta(minutes=5))
            if begun.hour >= 16:
                begun = next_morning(begun) + timedelta(minutes=shop.dice.randint(20, 50))
            lying.append(_pour(shop, pour, batch, job.body, begun, bare=not side_by_side))
            if not job.beside:
                _lift(shop, lying[-1])
            at = max(at, begun) + timedelta(minutes=shop.dice.randint(6, 14))
        if job.beside:
            side_by_side += lying
            at = side_by_side[0].begun
        else:
            form(shop, job, [(each.run, each.pour.slab) for each in lying])
    first = side_by_side[0] if side_by_side else None
    side_by_side.sort(key=lambda each: each.lifted)
    for each in side_by_side:
        # Weighed before and after, a layer would seem to have given what both gave.
        _lift(shop, each, bare=each is side_by_side[-1] and each is not first)
    for job, each in ((job, each) for job in together for each in side_by_side if each.body is job.body):
        form(shop, job, [(each.run, each.pour.slab)])
    return max([at, *(each.begun for each in side_by_side)])


def _pours(shop: Workshop, job: Job, at: datetime) -> list[Pour]:
    """The driest slabs of the family, more or less; in the damp week it had to be P3."""
    if job.slab:
        chosen = [shop.slabs[job.slab]]
    else:
        suits = [slab for slab in shop.slabs.values() if slab.family == job.body.family and slab.gone > at]
        if DAMP[0] <= at < DAMP[1]:
            suits = [slab for slab in suits if slab.code != "P3"]
        suits = [slab for slab in suits if slab.place != "drying_room"] or suits
        suits.sort(key=lambda slab: (slab.wetness + shop.dice.random() * 0.3, slab.code))
        chosen = suits[: job.layers]
    found = []
    for number in range(job.layers):
        slab = chosen[number % len(chosen)]
        depth = 0.5 * round(2 * (shop.dice.uniform(8, 15) if shop.dice.random() < 0.2 else shop.dice.uniform(8.5, 12)))
        if job.slab == "P3" and not job.beside:
            depth = 10.0  # the bucket was marked for it
        area = 760 if job.beside else slab.layer_cm2 - 10 * shop.dice.choice([0, 0, 0, 2, 5])
        found.append(Pour(slab, depth, area))
    return found


def _mix(shop: Workshop, body: Truth, pours: list[Pour], at: datetime) -> Row:
    """Weigh and blunge a batch, with a little more than the layers want."""
    dice = shop.dice
    number = shop.batch_numbers[body.code] = shop.batch_numbers.get(body.code, 0) + 1
    code = f"{body.code}-{number}"
    litres = sum(pour.depth * pour.area for pour in pours) / 10_000
    gravity = body.slip_sg + dice.gauss(0, 0.012)
    dense = 1000 * (gravity - 1) * body.solids / (body.solids - 1)
    dry = 50 * math.ceil(1.08 * dense * litres / 50)
    water = dry / dense * (1000 * gravity - dense)
    mixed = at - timedelta(minutes=dice.choice([50, 75, 100]))
    if dice.random() < 0.35:
        mixed = (at - timedelta(days=1)).replace(hour=16, minute=dice.randint(0, 59))
    batch = shop.add(
        "batches", batch=code, body=body.code, made="slip", mixed_at=mixed, dry_mass_g=dry, water_g=round(water),
        slip_sg=round(gravity + dice.gauss(0, 0.004), 2), slip_temp_c=round(shop.weather.air(mixed)[0] - 1), by=shop.whose(),
    )  # fmt: skip
    total = sum(body.parts.values())
    for position, (material, parts) in enumerate(body.parts.items(), 1):
        lot, moisture = lot_of(material, mixed.date())
        mass = dry * parts / total / (1 - moisture / 100)
        rounded = round(mass, 1) if mass < 50 else round(mass)
        shop.add("batch_lines", batch=code, position=position, material=material, lot=lot, mass_g=rounded)
    _log_batch(shop, batch, body, mixed, at)
    return batch | {"gravity": gravity, "dense": dense / 1000}


def lot_of(material: str, day: date) -> tuple[str, float]:
    """The newest lot that had come by then, and its moisture."""
    fitting = [lot for lot in LOTS if lot[1] == material and lot[2] <= day.isoformat()]
    return fitting[-1][0], fitting[-1][4]


def _log_batch(shop: Workshop, batch: Row, body: Truth, mixed: datetime, at: datetime) -> None:
    code = batch["batch"]
    if shop.dice.random() < 0.4:
        shop.add("batch_log", batch=code, at=mixed + timedelta(minutes=20), event="screened", mesh=80, by=batch["by"])
    if mixed.date() < at.date():
        shop.add("batch_log", batch=code, at=at - timedelta(minutes=15), event="reblunged", slip_sg=batch["slip_sg"],
                 slip_temp_c=batch["slip_temp_c"])  # fmt: skip
    elif shop.dice.random() < 0.2:
        shop.add("batch_log", batch=code, at=at - timedelta(minutes=10), event="sampled", slip_sg=batch["slip_sg"],
                 note="a pot of slip kept")  # fmt: skip
    if body.casting:
        shop.add("batch_log", batch=code, at=mixed + timedelta(minutes=35), event="note",
                 note="runs off the stick in one thread")  # fmt: skip


def _pour(
    shop: Workshop, pour: Pour, batch: Row, body: Truth, at: datetime, *, bare: bool = True, left: float | None = None
) -> "Lying":
    """Pour and touch one layer; with `left` it is still open, so far along at the end."""
    dice, slab = shop.dice, pour.slab
    if slab.place != "shelf":
        shop.move(slab, at - timedelta(minutes=10), "shelf")
    slab.dry_until(at, shop.weather)
    layer = layer_of(shop, pour, batch, body, at)
    gravity, true = float(str(batch["gravity"])), layer.minutes() * math.exp(dice.gauss(0, 0.04))
    temp, humidity, _ = shop.weather.at_place("shelf", at)
    if left is not None:
        at = END - timedelta(minutes=round(true * left))
    poured = 5 * round(pour.depth * pour.area * gravity / 10 * dice.gauss(1, 0.006) / 5)
    run = shop.add(
        "runs", run=f"D{len(shop.rows['runs']):03d}", batch=batch["batch"], slab=slab.code,
        face="open" if slab.code == "P4" and at.month in (4, 5) else "form", started_at=at, poured_g=poured,
        area_cm2=pour.area, layer_mm=pour.depth, slip_sg=round(gravity + dice.gauss(0, 0.004), 2),
        slip_temp_c=round(temp - 0.7, 1), air_temp_c=round(2 * temp) / 2, air_rh_pct=round(humidity), by=shop.whose(),
    )  # fmt: skip
    if dice.random() < 0.12:
        del run["layer_mm"]
    if bare and dice.random() < 0.75:
        run["slab_before_g"] = shop.weigh(slab)
    stop = None if left is None else min(at + timedelta(minutes=0.9 * true), END - timedelta(minutes=4))
    lifted, felt = _touch(shop, run, at, true, stop)
    return Lying(run, pour, body, layer, at, lifted, felt)


@dataclass
class Lying:
    """A layer on its slab, and how it will come off."""

    run: Row
    pour: Pour
    body: Truth
    layer: Layer
    begun: datetime
    lifted: datetime
    felt: str


def layer_of(shop: Workshop, pour: Pour, batch: Row, body: Truth, at: datetime) -> Layer:
    """What a layer truly is: a body's water differs a little from batch to batch."""
    dense, gravity = float(str(batch["dense"])), float(str(batch["gravity"]))
    need = pour.depth * (gravity - dense * (1 + body.workable / 100)) * shop.dice.gauss(1, 0.015)
    temp, humidity, speed = shop.weather.at_place("shelf", at)
    taken = evaporation(10_000, temp, humidity, speed) / 1000
    slab = pour.slab
    pull = slab.sorptivity * slab.sound
    return Layer(need, body.desorptivity, pull, slab.wetness, slab.capacity_mm, temp - 0.2, taken)


def _touch(shop: Workshop, run: Row, at: datetime, true: float, stop: datetime | None) -> tuple[datetime, str]:
    """Touch the layer every 6 to 18 minutes until it is workable; nobody looks at night or knows the answer."""
    dice = shop.dice
    damp_week = DAMP[0] <= at < DAMP[1]
    hasty = dice.uniform(0.6, 0.8) if dice.random() < 0.03 and not damp_week else math.inf
    now = at + timedelta(minutes=dice.randint(14, 24))
    felt = ""
    while stop is None or now <= stop:
        if now.time() > CLOSES or now.hour < OPENS.hour:
            now = next_morning(now) + timedelta(minutes=dice.randint(5, 25))
        elapsed = now - at
        share = elapsed.total_seconds() / 60 / true
        felt = _feel(share * math.exp(dice.gauss(0, 0.08 if stop is None else 0.02)))
        if felt == "workable" and dice.random() < 0.03:
            return now, felt  # taken off without a touch that anybody wrote down
        row = shop.add("checks", run=run["run"], at=now, feel=felt, by=run["by"] if dice.random() < 0.2 else None)
        if dice.random() < 0.08:
            row["penetration_mm"] = round(max(0.3, 6 * (1.3 - share)), 1)
        if felt in ("workable", "stiff"):
            return now + timedelta(minutes=dice.randint(1, 5)), felt
        late = now.time() > LAST_TOUCH
        hopeless = damp_week and true > 600
        if stop is None and (share > hasty or (late and (share > 0.6 or hopeless))):
            return now + timedelta(minutes=2), "abandoned" if hopeless else "lifted_early"
        if stop is None and felt == "sticky" and share > 0.75 and dice.random() < 0.03:
            row |= {"action": dice.choice(["turned_over", "cut"]), "note": "to hurry it"}
            true *= 0.93
        # Early on one looks seldom, and a long wait is filled with other work.
        now += timedelta(minutes=round(dice.randint(6, 18) * (1.7 if true > 120 and share < 0.6 else 1)))
        # A layer that is still open was touched shortly before the sample ends.
        if stop is not None and now > stop and (stop - at) - elapsed > timedelta(minutes=4):
            now = stop.replace(second=0, microsecond=0)
        if stop is None and dice.random() < 0.015 and not damp_week:
            now += timedelta(minutes=dice.randint(35, 60))
    return now, felt


def _feel(ratio: float) -> str:
    return "fluid" if ratio < 0.5 else "sticky" if ratio < 1 else "workable" if ratio < 1.5 else "stiff"


def _lift(shop: Workshop, lying: Lying, *, bare: bool = True) -> None:
    """Take the clay off; the slab keeps what it drew."""
    dice, run, slab, at = shop.dice, lying.run, lying.pour.slab, lying.lifted
    drawn, aired = lying.layer.lost((at - lying.begun).total_seconds() / 60)
    area = lying.pour.area / 10
    slab.dry_until(at, shop.weather, 0.3)
    slab.water_g = min(slab.water_g + drawn * area, slab.capacity_g)
    # Fines, and where a deflocculant was in the slip its salts, stay behind.
    slab.dry_g += 3.0 if lying.body.casting else 0.2
    if lying.body.casting or slab.sound < 1:
        slab.sound = max(slab.sound * (0.82 if lying.body.casting else 0.92), 0.26)
    run["ended_at"] = at
    run["outcome"] = {"stiff": "too_stiff"}.get(lying.felt, lying.felt)
    off = float(str(run["poured_g"])) - (drawn + aired) * area
    if dice.random() < 0.93:
        run["clay_off_g"] = round(off - dice.uniform(4, 14))
    if bare and dice.random() < 0.75:
        run["slab_after_g"] = shop.weigh(slab)
    if dice.random() < 0.3:
        run["wedged_on"] = dice.choice(["canvas board", "canvas board", "wooden bench"])
    slab.ready_at = max(slab.ready_at, at)


def _open_runs(shop: Workshop) -> None:
    """Three layers lie on the slabs when the sample ends: one nearly there, one just past its time, one half-way."""
    noon = datetime.combine(END.date(), FIRST.time()) + timedelta(hours=3)
    for code, body, left in (("P1", "W-12", 0.86), ("P4", "B-07", 1.08), ("P5", "R-02", 0.45)):
        pour = Pour(shop.slabs[code], 10.0, shop.slabs[code].layer_cm2)
        batch = _mix(shop, BODY[body], [pour], noon)
        _pour(shop, pour, batch, BODY[body], noon, left=left)


def _number(shop: Workshop) -> None:
    """Give runs their codes in the order they were poured."""
    order = sorted(shop.rows["runs"], key=lambda run: (run["started_at"], run["slab"], run["run"]))
    codes = {run["run"]: f"D{number:03d}" for number, run in enumerate(order, 1)}
    for table in ("runs", "checks", "pieces", "faults"):
        for row in shop.rows[table]:
            if row.get("run") is not None:
                row["run"] = codes[row["run"]]
