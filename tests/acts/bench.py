"""A small sound lab in which every act can be done: its names, and what is typed for each act without a question."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.of_lab import measured_property
from claybench.measure.properties.property_set import PropertySet
from claybench.record.opening import open_lab
from claybench.terms import (
    Batch,
    Body,
    DeclaredProperty,
    Firing,
    Lot,
    Piece,
    PropertyInput,
    PropertyWords,
    Run,
    Slab,
)
from claybench.work import pieces, recipes, runs, slabs

NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
DAY = timedelta(days=1)

SOUND: dict[str, dict[str, str]] = {
    "family": {"family": "buff"},
    "material": {"material": "bentonite"},
    "lot": {"lot": "L-9", "material": "kaolin"},
    "body": {"body": "W-09", "recipe": "kaolin 50, feldspar 50"},
    "recipe": {"body": "W-1", "recipe": "kaolin 40, feldspar 60"},
    "batch": {"body": "W-1"},
    "weigh-in": {"batch": "W-1-2", "material": "kaolin", "mass_g": "650 g"},
    "water-in": {"batch": "W-1-1", "water_g": "1300 g"},
    "batch-event": {"batch": "W-1-1", "event": "water_added"},
    "instrument": {"instrument": "ruler 2", "kind": "ruler", "step": "0.5"},
    "property": {
        "property": "crush_mpa", "of": "fired", "kind": "number", "unit": "MPa", "inputs": "crush_n N, side_mm mm",
        "formula": "crush_n / side_mm^2",
    },
    "measure-of slab": {
        "of": "slab", "code": "P2", "property": "hardness", "hardness": "40", "method": "durometer, Shore D",
    },
    "measure-of lot": {"of": "lot", "code": "L-1", "property": "residue_pct", "left_g": "2 g", "sieved_g": "100 g"},
    "measure-of firing": {"of": "firing", "code": "F1", "property": "soot", "soot": "3"},
    "measure-of batch": {"of": "batch", "code": "W-1-1", "property": "smell", "smell": "sour"},
    "measure-of run": {"of": "run", "code": "R1", "property": "skin_mm", "skin_mm": "0.5 mm"},
    "measure-of fired": {"of": "fired", "code": "K7", "property": "gloss", "gloss": "satin", "firing": "F1"},
    "point cup": {"batch": "W-1-1", "what": "liquid_cup", "count": "22"},
    "point cone": {"batch": "W-1-1", "what": "liquid_cone", "value": "18 mm", "method": "80 g 30°"},
    "point bend": {"batch": "W-1-1", "what": "coil_bend", "value": "4"},
    "pour-step water": {"slab": "P3", "step": "water"},
    "pour-step weigh": {"slab": "P3", "step": "weigh", "mass_g": "14 kg"},
    "slab": {"slab": "P9", "length_mm": "400 mm", "width_mm": "300 mm", "thickness_mm": "50 mm"},
    "weigh": {"slab": "P2", "mass_g": "10 kg"},
    "event moved": {"slab": "P2", "event": "moved", "place": "shelf"},
    "event wetted": {"slab": "P2", "event": "wetted"},
    "event soaked": {"slab": "P2", "event": "soaked", "mass_g": "12 kg"},
    "event chipped": {"slab": "P2", "event": "chipped"},
    "event ring": {
        "slab": "P2", "event": "ring_test", "face": "form",
        "ring_area_cm2": "20 cm²", "ring_water_ml": "5 mL", "ring_seconds": "60 s",
    },
    "air": {"air_temp_c": "19 °C", "air_rh_pct": "50 %"},
    "pour": {"batch": "W-1-1", "slab": "P2", "layer_mm": "6 mm", "area_cm2": "1800 cm²"},
    "touch": {"run": "R1", "feel": "sticky"},
    "lift": {"run": "R1", "outcome": "abandoned"},
    "clay-fault": {"run": "R1", "fault": "plaster_found"},
    "form": {"run": "R1", "count": "2"},
    "measure": {"piece": "K3", "reading": "plastic_mm", "value": "100 mm"},
    "reading": {"piece": "K3", "what": "dry_mm", "value": "94 mm"},
    "fire": {"firing": "F2"},
    "fault": {"piece": "K3", "fault": "none"},
    "end": {"piece": "K3", "ended": "broken"},
    "photo": {"file": "lab.claybench", "slab": "P2"},
}  # fmt: skip
"""What is typed for each act, by its name and, where it is of several kinds, a word for the kind."""

DECLARED = (
    DeclaredProperty(property="hardness", of="slab", kind="number", digits=0, low=0, high=100,
                     usual_low=20, usual_high=60),
    DeclaredProperty(property="residue_pct", title="sieve residue", of="lot", kind="number", unit="%",
                     formula="100 * left_g / sieved_g", low=0, high=100, usual_high=5),
    DeclaredProperty(property="soot", title="soot in the kiln", of="firing", kind="score"),
    DeclaredProperty(property="gloss", of="fired", kind="word"),
    DeclaredProperty(property="smell", of="batch", kind="word"),
    DeclaredProperty(property="skin_mm", title="skin", of="run", kind="number", unit="mm"),
)  # fmt: skip
INPUTS = tuple(
    PropertyInput(property="residue_pct", position=position, input=name, unit="g", low=0)
    for position, name in enumerate(("left_g", "sieved_g"), 1)
)
WORDS = tuple(
    PropertyWords(property="soot", score=score, words=words)
    for score, words in ((1, "none"), (3, "some"), (5, "black"))
)
PROPERTIES = PropertySet(
    [
        *BUILT_IN.values(),
        *(
            measured_property(
                row,
                [each for each in INPUTS if each.property == row.property],
                [each for each in WORDS if each.property == row.property],
            )
            for row in DECLARED
        ),
    ]
)
"""Those of the bench: built in, and its own."""


def make_bench(path: Path) -> Path:
    """Two slabs in service and one being cast, a batch mixed and one begun, a layer drying, two bars, one fired."""
    lab = open_lab(path)
    lab.now = lambda: NOW
    for code in ("P1", "P2"):
        slab = Slab(slab=code, family="white", shape="rectangle", length_mm=500, width_mm=400, thickness_mm=45,
                    mix_ratio=70, in_service_on=date(2026, 2, 1), dry_mass_g=9950)  # fmt: skip
        slabs.enter_slab(lab, slab, at=NOW - 20 * DAY, mass_g=10_000)
    cast = Slab(slab="P3", shape="rectangle", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70, cast_at=NOW)
    slabs.begin_pour(lab, [cast])
    recipes.add_body(lab, Body(body="W-1", family="white"), [("kaolin", 50.0), ("feldspar", 50.0)])
    recipes.add_lot(lab, Lot(lot="L-1", material="kaolin", received_on=date(2026, 1, 5)))
    masses = {"dry_mass_g": 1300.0, "water_g": 1300.0}
    mixed = Batch(batch="W-1-1", body="W-1", made="slip", mixed_at=NOW - DAY, slip_sg=1.44, **masses)
    recipes.mix_batch(lab, mixed, [("kaolin", "L-1", 650.0), ("feldspar", None, 650.0)])
    planned = Batch(batch="W-1-2", body="W-1", made="slip", mixed_at=NOW, **masses)
    recipes.mix_batch(lab, planned)
    run = Run(run="R1", batch="W-1-1", slab="P1", started_at=NOW - timedelta(hours=1), layer_mm=5.0, area_cm2=1200.0)
    runs.start_run(lab, run)
    pieces.form_pieces(
        lab, [Piece(piece=code, batch="W-1-1", plastic_mm=100.0, formed_at=NOW - DAY) for code in ("K3", "K7")]
    )
    pieces.add_firing(lab, Firing(firing="F1", fired_on=NOW.date()), ["K7"])
    for row in DECLARED:
        pieces.declare_property(
            lab,
            row,
            [each for each in INPUTS if each.property == row.property],
            [each for each in WORDS if each.property == row.property],
        )
    lab.close()
    return path


__all__ = ["NOW", "PROPERTIES", "SOUND", "make_bench"]
