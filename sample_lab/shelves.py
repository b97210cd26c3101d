"""What happens to the slabs between layers: weighed, turned, carried before the fan, chipped, wetted, washed."""

from datetime import date, datetime, time, timedelta

from physics import Plaster
from workshop import CHIPPED, CROSSING, DAMP, Workshop, is_shut


def morning(shop: Workshop, at: datetime) -> None:
    """Slabs come back from the fan; on Mondays most are weighed, and one is weighed dry."""
    if at.date() == CHIPPED.date():
        shop.slabs["P4"].dry_g -= 38
        shop.log(
            "P4", CHIPPED, "chipped", face="form", count=1, note="knocked on the edge of the wedging board", by="k"
        )
    for number, slab in enumerate(_here(shop, at)):
        when = at + timedelta(minutes=number)
        if slab.ready_at > when:
            continue
        slab.dry_until(when, shop.weather)
        if slab.place == "fan":
            shop.move(slab, when, "shelf")
        elif slab.place == "drying_room":
            _from_drying_room(shop, slab, when)
        elif at.weekday() == 0 and shop.dice.random() < 0.6:
            shop.log(slab.code, when, "weighed", mass_g=shop.weigh(slab), by=shop.whose())


def _from_drying_room(shop: Workshop, slab: Plaster, at: datetime) -> None:
    """It stays until it has stopped losing weight."""
    mass = shop.weigh(slab)
    before = [row for row in shop.rows["slab_log"] if row["slab"] == slab.code and row["event"] == "weighed"]
    same = before and abs(mass - int(str(before[-1]["mass_g"]))) <= 5 and slab.water_g < 8
    shop.log(slab.code, at, "weighed_dry" if same else "weighed", mass_g=mass, by=shop.whose())
    if same:
        shop.move(slab, at + timedelta(minutes=6), "shelf")
    else:
        shop.log(slab.code, at + timedelta(minutes=3), "turned")


def evening(shop: Workshop, at: datetime) -> None:
    """Damp slabs go before the fan, but not in the damp week, when it stood unplugged."""
    damp_week = DAMP[0] <= at < DAMP[1] + timedelta(hours=12)
    for number, slab in enumerate(_here(shop, at)):
        when = max(at, slab.ready_at + timedelta(minutes=10)) + timedelta(minutes=number)
        if slab.place != "shelf" or when.date() != at.date() or damp_week:
            continue
        slab.dry_until(when, shop.weather)
        if slab.wetness > 0.5 or (slab.wetness > 0.3 and shop.dice.random() < 0.3):
            shop.move(slab, when, "fan")
    if not damp_week and at.weekday() == 4:
        _rota(shop, at + timedelta(minutes=12))


def _rota(shop: Workshop, at: datetime) -> None:
    """Over the weekend the slab that was weighed dry longest ago goes into the drying room."""
    if any(slab.place == "drying_room" for slab in shop.slabs.values()) or shop.dice.random() < 0.15:
        return
    seen = {slab.code: datetime.min for slab in _here(shop, at) if slab.ready_at <= at and slab.place == "shelf"}
    if at.date() == DAMP[0].date() - timedelta(days=3):
        seen.pop("P3", None)
    for row in shop.rows["slab_log"]:
        when = row["at"]
        if row["event"] == "weighed_dry" and row["slab"] in seen and isinstance(when, datetime):
            seen[str(row["slab"])] = max(when, seen[str(row["slab"])])
    if seen:
        shop.move(shop.slabs[min(seen, key=lambda code: (seen[code], code))], at, "drying_room")


def _here(shop: Workshop, at: datetime) -> list[Plaster]:
    return [slab for slab in shop.slabs.values() if slab.gone > at and not is_shut(at.date())]


def day_of_slabs(shop: Workshop, day: date) -> None:
    """What befell single slabs on single days, once their layers were off."""
    happened = {
        date(2026, 4, 20): _resurface,
        date(2026, 5, 12): _wet_board,
        date(2026, 5, 28): _break,
        date(2026, 6, 23): _into_the_sun,
        CROSSING.date(): _red_on_white,
        CROSSING.date() + timedelta(days=1): _wash,
        date(2026, 8, 24): _bloom,
        date(2026, 9, 2): _ring_tests,
    }.get(day)
    if happened is not None:
        happened(shop, day)


def _free(shop: Workshop, code: str, day: date, hour: int, minute: int = 20) -> tuple[Plaster, datetime]:
    """The slab, and the first moment from then on at which no layer lies on it."""
    slab = shop.slabs[code]
    when = max(datetime.combine(day, time(hour, minute)), slab.ready_at + timedelta(minutes=10))
    slab.dry_until(when, shop.weather)
    return slab, when


def _resurface(shop: Workshop, day: date) -> None:
    slab, at = _free(shop, "P8", day, 13)
    slab.dry_g -= 62
    shop.log(
        "P8", at, "resurfaced", face="form", by="m", note="wet-sanded a scratch out; first scrap layer thrown away"
    )
    shop.log("P8", at + timedelta(minutes=30), "weighed", mass_g=shop.weigh(slab))


def _wet_board(shop: Workshop, day: date) -> None:
    slab, at = _free(shop, "P5", day, 14)
    slab.water_g += 240
    shop.log("P5", at, "wetted", until=at + timedelta(hours=2), note="a wet board was put down on it")


def _break(shop: Workshop, day: date) -> None:
    shop.log("P8", _free(shop, "P8", day, 13)[1], "broken", note="dropped while it was turned; in the bin with it")


def _into_the_sun(shop: Workshop, day: date) -> None:
    slab, at = _free(shop, "P6", day, 12)
    shop.move(slab, at, "sun", air_temp_c=29, air_rh_pct=41, air_speed_m_s=1.2)
    shop.move(slab, datetime.combine(day, time(17, 45)), "shelf")


def _red_on_white(shop: Workshop, day: date) -> None:
    slab, at = _free(shop, "P1", day, 17, 50)
    slab.water_g += 260
    shop.log("P1", at, "other_clay", face="form", family="red", until=at + timedelta(hours=14), by="m",
             note="the rest of the red slip left on it overnight: both red slabs were full")  # fmt: skip


def _wash(shop: Workshop, day: date) -> None:
    slab, at = _free(shop, "P1", day, 13)
    slab.water_g += 60
    shop.log("P1", at, "cleaned", face="form", note="sponged twice; looks white again", by="k")
    shop.log("P1", at + timedelta(minutes=12), "weighed", mass_g=shop.weigh(slab))


def _bloom(shop: Workshop, day: date) -> None:
    _, at = _free(shop, "P2", day, 13)
    shop.log("P2", at, "salts", face="form", note="white bloom after the shut weeks, where the casting slip lay")
    shop.log("P2", at + timedelta(minutes=10), "cleaned", face="form", note="brushed off, dry")


def _ring_tests(shop: Workshop, day: date) -> None:
    for code, seconds in (("P1", 33), ("P2", 212)):
        _, at = _free(shop, code, day, 17)
        shop.log(code, at, "ring_test", face="form", ring_area_cm2=20, ring_water_ml=5, ring_seconds=seconds,
                 note="34 s in March" if code == "P2" else None, by="k")  # fmt: skip
