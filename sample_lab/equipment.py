"""Slabs cast before and during the season, the kiln, and the air of the workshop."""

from datetime import date, datetime, timedelta

from physics import Plaster
from recipes import MATERIALS, Truth
from workshop import CHIPPED, CROSSING, END, FIRINGS, FIRST, Workshop

_SLABS = (
    # code, family, length, width, thickness, true sorptivity, true drying factor
    ("P1", "white", 500, 400, 45, 3.2, 1.05),
    ("P2", "white", 500, 400, 45, 3.0, 0.95),
    ("P3", "buff", 600, 400, 50, 2.8, 0.90),
    ("P4", "buff", 500, 400, 50, 3.3, 1.10),
    ("P5", "red", 500, 400, 45, 2.7, 1.00),
    ("P8", "buff", 450, 350, 40, 2.9, 1.00),
)


def cast_slabs(shop: Workshop) -> None:
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


def fire(shop: Workshop) -> None:
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
    if slab == "P4" and formed > CHIPPED and luck < 0.7:
        return "pop_out"
    if slab == "P1" and body.family == "white" and formed > CROSSING and luck < 0.65:
        return "specks"
    if "pit clay" in body.parts and luck < 0.03:
        return "pop_out"
    return "crack" if luck > 0.985 else "none"


def read_air(shop: Workshop) -> None:
    at = datetime(2026, 2, 16, 8, 40)
    while at < END:
        if at.weekday() < 5:
            temp, humidity = shop.weather.air(at)
            shop.add("air", at=at, place="shelf", air_temp_c=round(temp * 2) / 2, air_rh_pct=round(humidity))
        at += timedelta(hours=5, minutes=20) if at.hour == 8 else timedelta(hours=18, minutes=40)


def cast_new_slab(shop: Workshop) -> None:
    """A slab that is still drying when the sample ends."""
    cast = datetime(2026, 9, 21, 11, 15)
    plaster, water = 8430, 5900
    slab = Plaster("P7", "white", 500, 400, 45, 3.0, 1.0, plaster * 1.1862, 3600.0, water - 0.1862 * plaster, cast)
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
