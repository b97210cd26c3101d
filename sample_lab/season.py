"""Day by day at the workshop: mixing, pouring, touching, lifting, forming, weighing."""

import itertools
import math
from datetime import date, datetime, timedelta

from physics import Plaster, minutes_until
from recipes import BODIES, FAMILIES, LOTS, MATERIALS, Truth
from workshop import CHIPPED, CLOGS_FROM, CROSSING, DAMP, END, FIRST, PIECES, RUNS, Workshop


def work(shop: Workshop) -> None:
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
            for body in (_body("B-05"), _body("B-01"))[: 2 if day.day < 10 else 1]:
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
    if family == "buff" and at > CHIPPED and shop.dice.random() < 0.5:
        return "P4"
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
    slab.water_g = min(slab.water_g + 0.96 * taken, slab.capacity_g)
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


def _touch(shop: Workshop, run: str, at: datetime, true: float, until: datetime | None) -> tuple[datetime, str]:
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
        shop.log("P4", CHIPPED, "chipped", face="form", count=1, note="knocked on the edge of the wedging board")
    if at.date() == date(2026, 5, 28):
        shop.log("P8", at, "broken", note="dropped while turning")


def _evening(shop: Workshop, at: datetime) -> None:
    """Slabs that are damp go before the fan, but not in the damp week, when it stood unplugged."""
    for slab in shop.slabs.values():
        when = max(at, slab.ready_at + timedelta(minutes=10))
        if slab.wetness > 0.25 and not (DAMP[0] <= at < DAMP[1]) and slab.place == "shelf" and slab.code != "P8":
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
