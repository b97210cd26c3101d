"""Write the sample lab: six invented months in an invented workshop, the same every time.

Run `python sample_lab/make.py [FOLDER]`; without a folder the files beside this script are written anew.
Standard library only. What each slab and body truly is lives in `physics` and `recipes`; the notebook only
gets what a person there would have written down.
"""

import sys
from datetime import date, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from equipment import cast_new_slab, cast_slabs, fire, read_air
from recipes import BODIES, FAMILIES, LOTS, MATERIALS
from season import work
from tables import COLUMNS, KEYS
from workshop import ZONE, Workshop


def main(folder: Path) -> None:
    """Make the whole lab and write it."""
    shop = Workshop()
    _furnish(shop)
    cast_slabs(shop)
    work(shop)
    fire(shop)
    read_air(shop)
    cast_new_slab(shop)
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
