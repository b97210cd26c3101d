"""Write the sample lab: six invented months in an invented workshop, the same every time.

Run `python sample_lab/make.py [FOLDER]`; without a folder the files beside this script are written anew.
Standard library only. What each slab and body truly is lives in `physics` and `recipes`; the notebook only
gets what a person there would have written down.
"""

import sys
from datetime import date, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from bars import Lot, fire, form_one, look_at_layers, read_again
from equipment import cast_new_slab, cast_slabs, read_air
from plan import BY_HAND
from recipes import BODIES, BODY, FAMILIES, LOTS, MATERIALS
from season import lot_of, work
from tables import COLUMNS, KEYS
from workshop import ZONE, Workshop


def main(folder: Path) -> None:
    """Make the whole lab and write it."""
    shop = Workshop()
    _furnish(shop)
    cast_slabs(shop)
    work(shop)
    _by_hand(shop)
    fire(shop)
    look_at_layers(shop)
    read_again(shop)
    read_air(shop)
    cast_new_slab(shop)
    _write(shop, folder)


def _furnish(shop: Workshop) -> None:
    for name, value in (
        ("format", "2"), ("name", "Three Buckets test bench (invented)"), ("zone", str(ZONE)),
        ("bench_from", "08:00"), ("bench_until", "18:30"), ("scale_step_g", "1"), ("scale_largest_g", "5000"),
        ("weighing_bucket_ml", "4000"), ("mixing_bucket_ml", "12000"), ("bag_g", "25000"), ("lifts", "floor, shelf below, bench"), ("usual_loss_pct", "6"),
        ("weigh_min", "20"), ("soak_min", "60"), ("mix_min", "15"),
        ("touch_every_min", "15"), ("turn_every_h", "24"), ("constant_mass_pct", "0.1"), ("damp_from", "0.35"), ("saturated_from", "0.7"),
        ("room_temp_c", "17"), ("room_rh_pct", "58"), ("room_air_m_s", "0.1"), ("fan_air_m_s", "2.2"),
        ("solids_sg", "2.6"), ("workable_water_pct", "24"), ("paper", "A4"),
        ("tight_below_pct", "3"),
    ):  # fmt: skip
        shop.add("settings", name=name, value=value)
    for family, rank, note in FAMILIES:
        shop.add("families", family=family, stain_rank=rank, note=note)
    for material, kind, gravity, loi, price, caution, note in MATERIALS:
        shop.add("materials", material=material, kind=kind, specific_gravity=gravity, loi_pct=loi,
                 price_per_kg=price, caution=caution, note=note)  # fmt: skip
    for lot, material, received, kilograms, moisture in LOTS:
        shop.add("lots", lot=lot, material=material, received_on=date.fromisoformat(received),
                 received_kg=kilograms, moisture_pct=moisture)  # fmt: skip
    for body in BODIES:
        shop.add("bodies", body=body.code, title=body.title, family=body.family, parent=body.parent,
                 test_set=body.test_set, control=True if body.control else None, slip_sg=body.slip_sg,
                 workable_water_pct=round(2 * body.workable) / 2)  # fmt: skip
        for position, (material, parts) in enumerate(body.parts.items(), 1):
            shop.add("body_lines", body=body.code, position=position, material=material, parts=parts)


def _by_hand(shop: Workshop) -> None:
    """One batch of the house white was wedged up by hand from powder and water, to see what the slip is worth."""
    mixed = datetime(2026, 6, 24, 10, 40)
    body = BODY["W-01"]
    shop.add("batches", batch="W-01-hand", body=body.code, made="plastic", mixed_at=mixed, dry_mass_g=1000, water_g=245,
             by="m", note="by hand, no slab")  # fmt: skip
    for position, (material, parts) in enumerate(body.parts.items(), 1):
        lot, moisture = lot_of(material, mixed.date())
        shop.add("batch_lines", batch="W-01-hand", position=position, material=material, lot=lot,
                 mass_g=round(10 * parts / (1 - moisture / 100)))  # fmt: skip
    for number in range(BY_HAND):
        form_one(shop, Lot(body, water=0.8), "W-01-hand", mixed + timedelta(hours=5, minutes=4 * number))


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
