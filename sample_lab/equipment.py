"""The slabs: how they were cast, dried and taken into use, before the season and near its end."""

import math
from datetime import date, datetime, timedelta

from physics import Plaster
from workshop import CAST, END, FIRST, Workshop

_RATIO_VOLUME = 106.8
"""Millilitres that 100 g of plaster make with 70 g of water."""
_CAST = (
    # code, family, pour, length, width (none: round), thickness, layer cm², true sorptivity, true drying factor
    ("P1", "white", "A", 500, 400, 45, 1560, 3.2, 1.05),
    ("P2", "white", "A", 500, 400, 45, 1560, 3.0, 0.95),
    ("P3", "buff", "B", 600, 400, 50, 1880, 2.3, 0.90),
    ("P4", "buff", "B", 500, 400, 50, 1560, 3.3, 1.10),
    ("P5", "red", "C", 480, None, 45, 1400, 2.7, 1.00),
    ("P8", "buff", "C", 450, 350, 40, 1220, 2.9, 1.00),
)


def cast_slabs(shop: Workshop) -> None:
    """Six slabs from three mixes in February, and one that had always been there."""
    for number, (code, family, pour, *rest) in enumerate(_CAST):
        cast = CAST + timedelta(days=number // 2, hours=3 * (number // 2 % 2), minutes=9 * (number % 2))
        slab = _cast(shop, code, family, pour, cast, *rest)
        shop.slabs[code] = slab
        row = shop.rows["slabs"][-1]
        dry = _dry_out(shop, slab, cast)
        row["in_service_on"] = date(2026, 3, 9) if code != "P4" else date(2026, 3, 12)
        if code == "P3":
            row["dry_mass_g"] = dry
        if code == "P8":
            row |= {"retired_on": date(2026, 5, 29), "note": "broke on 28 May"}
            slab.gone = datetime(2026, 5, 28)
    old = Plaster("P6", "red", 1590, 1170, 2.5, 0.9, 9060.0, 3265.0, 900.0, FIRST - timedelta(hours=1))
    shop.slabs["P6"] = old
    shop.add("slabs", slab="P6", family="red", shape="round", length_mm=450, thickness_mm=60,
             note="was here before the notebook; nobody knows how it was mixed")  # fmt: skip
    shop.log("P6", old.at, "weighed", mass_g=shop.weigh(old), note="first entry in the notebook")
    for code, seconds in (("P1", 31), ("P2", 34), ("P3", 38), ("P6", 47)):
        shop.log(code, datetime(2026, 3, 13, 9, 5 + int(code[1])), "ring_test", face="form", ring_area_cm2=20,
                 ring_water_ml=5, ring_seconds=seconds, by="k")  # fmt: skip


def _cast(
    shop: Workshop, code: str, family: str, pour: str, cast: datetime,
    length: int, width: int | None, thickness: int, layer: int, sorptivity: float, drying: float,
) -> Plaster:  # fmt: skip
    face = length * width / 100 if width else math.pi * length**2 / 400
    plaster = 10 * round(face * thickness / 10 / _RATIO_VOLUME * 10)
    water = 5 * round(plaster * 0.7 / 5)
    dry = plaster * 1.1862 * shop.dice.gauss(0.993, 0.002)
    margin = (length - 40) * (width - 40) / 100 if width else math.pi * (length - 40) ** 2 / 400
    shop.add("slabs", slab=code, family=family, shape="rectangle" if width else "round", length_mm=length,
             width_mm=width, thickness_mm=thickness, usable_area_cm2=10 * round(margin / 10), plaster="pottery plaster",
             pour=pour, mix_ratio=70, plaster_g=plaster, water_g=water, cast_at=cast)  # fmt: skip
    shop.log(code, cast, "mixed", mass_g=plaster + water, by="k")
    shop.log(code, cast + timedelta(minutes=27), "set")
    slab = Plaster(
        code, family, face, layer, sorptivity, drying, dry, 0.77 * 0.468 * dry, water - 0.1862 * plaster, cast
    )
    shop.log(code, cast + timedelta(minutes=55), "demoulded", mass_g=shop.weigh(slab))
    return slab


def _dry_out(shop: Workshop, slab: Plaster, cast: datetime) -> int:
    """Weighed and turned until two weighings agree; four days on the shelf, then in the drying room."""
    last, hours = 0, 22
    while True:
        at = cast + timedelta(hours=hours)
        slab.dry_until(at, shop.weather)
        mass = shop.weigh(slab)
        if abs(mass - last) <= 5:
            shop.log(slab.code, at, "weighed_dry", mass_g=mass, by="k")
            shop.move(slab, at + timedelta(minutes=5), "shelf")
            return mass
        shop.log(slab.code, at, "weighed", mass_g=mass)
        shop.log(slab.code, at + timedelta(minutes=4), "turned")
        if slab.place == "shelf" and hours > 80:
            shop.move(slab, at + timedelta(minutes=6), "drying_room")
        last, hours = mass, hours + (24 if hours < 100 else 48)


def cast_new_slab(shop: Workshop) -> None:
    """P7, to take the place of P2, is still drying when the sample ends."""
    cast = datetime(2026, 9, 21, 11, 15)
    slab = _cast(shop, "P7", "white", "D", cast, 500, 400, 45, 1560, 3.0, 1.0)
    for hours in (22, 46, 70, 93):
        at = cast + timedelta(hours=hours)
        assert at < END
        slab.dry_until(at, shop.weather)
        shop.log("P7", at, "weighed", mass_g=shop.weigh(slab))
        shop.log("P7", at + timedelta(minutes=3), "turned")


def read_air(shop: Workshop) -> None:
    """The dial on the shelf twice a day; the fan and the drying room now and then."""
    at = CAST.replace(hour=8, minute=40)
    while at < END:
        if at.weekday() < 5 and shop.dice.random() < 0.93:
            temp, humidity = shop.weather.air(at)
            shop.add("air", at=at, place="shelf", air_temp_c=round(temp * 2) / 2, air_rh_pct=round(humidity))
        at += timedelta(hours=5, minutes=20) if at.hour == 8 else timedelta(hours=18, minutes=40)
    for month in range(2, 10):
        at = datetime(2026, month, 18 if month == 2 else 4, 8, 45)
        shop.add("air", at=at, place="drying_room", air_temp_c=31 + shop.dice.choice([-0.5, 0, 0.5]),
                 air_rh_pct=33 + shop.dice.randint(-2, 2), air_speed_m_s=0.6)  # fmt: skip
        if month in (2, 5, 8):
            shop.add("air", at=at, place="fan", air_speed_m_s=2.2, note="vane, 40 cm before the fan")
