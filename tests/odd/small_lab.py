"""A small lab in which every table has rows, so that every question has something to answer from. Invented."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import groupby
from typing import Any

from claybench.record.lab import Lab
from claybench.terms import (
    KEPT_QUESTION,
    Air,
    Batch,
    BatchEvent,
    BatchLine,
    Body,
    BodyLine,
    Check,
    DeclaredProperty,
    Family,
    FaultSeen,
    Fired,
    Firing,
    FiringCone,
    Instrument,
    Lot,
    Material,
    Measurement,
    Person,
    Photo,
    Piece,
    Profile,
    ProfileTarget,
    PropertyInput,
    PropertyWords,
    Reminder,
    Run,
    Setting,
    Slab,
    SlabEvent,
)

NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
PLAN = """
title = "towards 12"
family = "buff"
count = 2
cone = "6"
[materials]
"fire clay" = [30, 60]
"ball clay" = [20, 50]
"feldspar" = [10, 30]
[targets]
total_shrinkage_pct = [9, 12]
absorption_pct = [0, 4]
relative_time = [0.5, 1.5]
cost_per_kg = [0, 2]
"""


def at(days: float, hour: float = 9.0) -> datetime:
    """So many days before now."""
    return NOW.replace(hour=0) - timedelta(days=days) + timedelta(hours=hour)


def fill(lab: Lab) -> None:
    """Write the rows, in one act."""
    with lab.acting("Made the small lab") as act:
        for _, same in groupby(rows(), key=type):
            act.add_many(list(same))


def rows() -> list[Any]:
    """Every row of the lab, what is referred to first."""
    return [*_declared(), *_shelf(), *_slabs(), *_batches(), *_runs(), *_pieces(), *_kept_beside()]


def _declared() -> list[Any]:
    return [
        Person(person="k", name="K. of the bench", role="record"),
        Person(person="m", role="keep", until=date(2026, 12, 31)),
        Instrument(instrument="scale 2", kind="scale", step=0.01, unit="g", since=date(2026, 1, 1)),
        Instrument(instrument="press", kind="meter", step=1.0, unit="N"),
        DeclaredProperty(
            property="break_load", of="fired", kind="number", unit="N", low=0.0, high=5000.0, better="more"
        ),
        DeclaredProperty(
            property="strength", title="load by breadth", of="fired", kind="number", unit="N/mm",
            formula="break_load / breadth_mm", digits=1, usual_low=1.0, usual_high=90.0, better="more",
        ),
        DeclaredProperty(property="thrown_feel", of="batch", kind="score", better="more"),
        DeclaredProperty(property="surface", of="slab", kind="word"),
        PropertyInput(property="strength", position=1, input="break_load", unit="N"),
        PropertyInput(property="strength", position=2, input="breadth_mm", unit="mm", low=1.0, high=200.0),
        *(
            PropertyWords(property="thrown_feel", score=score, words=words)
            for score, words in ((1, "tears"), (2, "short"), (3, "plastic"))
        ),
        Profile(profile="tight stoneware", cone="6", peak_temp_c=1222.0),
        ProfileTarget(profile="tight stoneware", property="absorption_pct", low=0.0, high=2.0),
        ProfileTarget(profile="tight stoneware", property="strength", low=20.0),
    ]  # fmt: skip


def _kept_beside() -> list[Any]:
    broken: dict[str, Any] = {"piece": "T00", "firing": "F-1", "together": "1", "instrument": "press"}
    return [
        FiringCone(firing="F-1", cone="6", place="top shelf", bent="down", bent_deg=90.0),
        FiringCone(firing="F-1", cone="7", bent="bending", bent_deg=20.0),
        Measurement(**broken, at=at(5), what="break_load", value=512.0, step=1.0),
        Measurement(**broken, at=at(5), what="breadth_mm", value=24.1),
        Measurement(batch="B-01-1", at=at(35), what="thrown_feel", value=3.0, by="m"),
        Measurement(slab="P1", at=at(9), what="surface", word="worn smooth"),
        Measurement(run="D1", at=at(36), what="other", value=3.0, value_high=4.0, method="by eye"),
        Measurement(body="B-01", at=at(70), what="absorption_pct", value=2.0, sign="<", note="from the old book"),
        Measurement(lot="FC-1", at=at(50), what="moisture_pct", value=4.2, temp_c=18.0),
        Measurement(material="feldspar", at=at(50), what="specific_gravity", value=2.57),
        Measurement(firing="F-1", at=at(8), what="peak_temp_c", value=1221.0),
        SlabEvent(slab="P2", at=at(22), event="overheated"),
        SlabEvent(slab="P2", at=at(21), event="frozen", note="left in the shed"),
        SlabEvent(slab="P2", at=at(20.5), event="looked_over", standing="edge"),
        Photo(file="c.jpg", firing="F-1", sha256="0a" * 32),
        Photo(file="d.jpg", run="D1", taken_on=at(36)),
        Reminder(reminder="turn P4", at=at(-1), every_h=12.0, until=at(-6), text="turn it", slab="P4"),
        Reminder(reminder="look at D7", at=at(0), text="feel it", run="D7", piece="T90", batch="B-01-2"),
    ]


def _shelf() -> list[Any]:
    recipes = {
        "B-01": (50.0, 35.0, 15.0),
        "B-02": (45.0, 35.0, 20.0),
        "B-03": (40.0, 40.0, 20.0),
        "R-01": (60.0, 30.0, 10.0),
    }
    names = ("fire clay", "ball clay", "feldspar")
    return [
        Setting(name="scale_step_g", value="1"),
        Setting(name=f"{KEPT_QUESTION}tight", value="absorption below 2"),
        Family(family="buff", stain_rank=1),
        Family(family="red", stain_rank=2),
        Material(material="fire clay", kind="clay", specific_gravity=2.6, loi_pct=9.0, price_per_kg=0.5),
        Material(material="ball clay", kind="clay", specific_gravity=2.6, price_per_kg=0.6, caution="dust: mask"),
        Material(material="feldspar", kind="flux", specific_gravity=2.57, price_per_kg=0.9),
        Material(material="silicate", kind="deflocculant", specific_gravity=1.4),
        Lot(lot="FC-1", material="fire clay", received_on=date(2026, 1, 4), received_kg=50.0, moisture_pct=4.0),
        Lot(lot="FC-2", material="fire clay", received_on=date(2026, 2, 4), received_kg=50.0, moisture_pct=3.0),
        Lot(lot="BC-1", material="ball clay", received_kg=25.0),
        Lot(lot="NS-1", material="silicate", received_on=date(2026, 1, 6), received_kg=1.0, moisture_pct=62.0),
        Body(body="B-01", family="buff", control=True, slip_sg=1.45, workable_water_pct=24.0),
        Body(body="B-02", family="buff", parent="B-01", test_set="towards 12"),
        Body(body="B-03", family="buff", parent="B-02", test_set="towards 12", slip_sg=1.47),
        Body(body="R-01", family="red", control=True, stain_rank=3),
        *(
            BodyLine(body=body, position=place, material=name, parts=parts)
            for body, each in recipes.items()
            for place, (name, parts) in enumerate(zip(names, each, strict=True), 1)
        ),
        BodyLine(body="B-02", position=4, material="silicate", parts=0.3),
    ]


def _slabs() -> list[Any]:
    ring: dict[str, Any] = {"face": "form", "ring_area_cm2": 50.0, "ring_water_ml": 20.0}
    return [
        Slab(
            slab="P1", family="buff", shape="rectangle", length_mm=400.0, width_mm=300.0, thickness_mm=40.0,
            usable_area_cm2=1000.0, plaster="pottery", pour="A", mix_ratio=70.0, plaster_g=5000.0, water_g=3500.0,
            cast_at=at(60), in_service_on=date(2026, 1, 25), dry_mass_g=5400.0,
        ),
        Slab(
            slab="P2", family="buff", shape="rectangle", length_mm=400.0, width_mm=300.0, thickness_mm=40.0, pour="A",
            mix_ratio=70.0, plaster_g=5000.0, water_g=3500.0, cast_at=at(60), in_service_on=date(2026, 1, 25),
        ),
        Slab(slab="P3", family="red", shape="round", length_mm=350.0, thickness_mm=45.0, dry_mass_g=4900.0),
        Slab(slab="P4", length_mm=300.0, width_mm=300.0, thickness_mm=40.0, mix_ratio=72.0, cast_at=date(2026, 3, 8)),
        Slab(
            slab="P5", family="buff", length_mm=300.0, width_mm=300.0, thickness_mm=40.0, mix_ratio=72.0,
            retired_on=date(2026, 2, 8),
        ),
        Air(at=at(40), place="shelf", air_temp_c=16.0, air_rh_pct=58.0, air_speed_m_s=0.1),
        Air(at=at(4), place="fan", air_temp_c=17.0, air_rh_pct=55.0, air_speed_m_s=2.0),
        Air(at=at(0, 8), air_temp_c=18.0, air_rh_pct=52.0),
        SlabEvent(slab="P1", at=at(60), event="mixed", mass_g=8500.0, air_temp_c=16.0),
        SlabEvent(slab="P1", at=at(60, 9.5), event="set"),
        SlabEvent(slab="P1", at=at(60, 10.5), event="demoulded", mass_g=8100.0),
        SlabEvent(slab="P1", at=at(46), event="weighed_dry", mass_g=5420.0, place="shelf"),
        SlabEvent(slab="P1", at=at(45), event="ring_test", **ring, ring_seconds=90.0),
        SlabEvent(slab="P1", at=at(2), event="ring_test", **ring, ring_seconds=150.0),
        SlabEvent(slab="P1", at=at(1), event="weighed_dry", mass_g=5470.0),
        SlabEvent(slab="P1", at=at(0.5), event="weighed", mass_g=5600.0, air_rh_pct=60.0, air_speed_m_s=0.2),
        SlabEvent(slab="P2", at=at(44), event="wetted", water_g=100.0, face="form", until=at(43)),
        SlabEvent(slab="P2", at=at(30), event="other_clay", family="red", face="open"),
        SlabEvent(slab="P2", at=at(28), event="chipped", count=1),
        SlabEvent(slab="P2", at=at(27), event="salts", face="form"),
        SlabEvent(slab="P2", at=at(26), event="resurfaced", face="form"),
        SlabEvent(slab="P2", at=at(3), event="weighed", mass_g=6100.0),
        SlabEvent(slab="P3", at=at(20), event="moved", place="fan"),
        SlabEvent(slab="P3", at=at(3), event="weighed", mass_g=5300.0),
        SlabEvent(slab="P3", at=at(1), event="weighed", mass_g=5100.0),
        SlabEvent(slab="P4", at=at(3), event="weighed", mass_g=5300.0),
        SlabEvent(slab="P4", at=at(1), event="turned"),
    ]  # fmt: skip


def _batches() -> list[Any]:
    made: list[Any] = []
    for place, (batch, body, sg) in enumerate(
        [("B-01-1", "B-01", 1.45), ("B-02-1", "B-02", 1.46), ("B-03-1", "B-03", None), ("R-01-1", "R-01", 1.48)]
    ):
        made += [
            Batch(
                batch=batch, body=body, made="slip", mixed_at=at(40 - 2 * place, 8), dry_mass_g=2000.0, water_g=2000.0,
                slip_sg=sg, slip_temp_c=16.0, deflocculant_g=3.0,
            ),
            BatchLine(batch=batch, position=1, material="fire clay", lot="FC-1", mass_g=1000.0),
            BatchLine(batch=batch, position=2, material="ball clay", lot="BC-1", mass_g=700.0),
            BatchLine(batch=batch, position=3, material="feldspar", mass_g=300.0),
        ]  # fmt: skip
    return [
        *made,
        Batch(batch="B-03-2", body="B-03", made="plastic", mixed_at=at(-2), dry_mass_g=1000.0, water_g=300.0),
        Batch(batch="B-01-2", body="B-01", mixed_at=at(1), dry_mass_g=2000.0, water_g=2100.0),
        BatchEvent(batch="B-01-1", at=at(39), event="screened", mesh=80),
        BatchEvent(batch="B-01-1", at=at(39, 10), event="reblunged", slip_sg=1.44, slip_temp_c=17.0),
        BatchEvent(batch="B-02-1", at=at(38, 11), event="addition", material="silicate", lot="NS-1", mass_g=4.0),
    ]


def _runs() -> list[Any]:
    made: list[Any] = []
    for place, (run, batch, slab, ended) in enumerate(
        [
            ("D1", "B-01-1", "P1", True), ("D2", "B-02-1", "P1", True), ("D3", "B-01-1", "P2", True),
            ("D4", "B-03-1", "P2", True), ("D5", "R-01-1", "P3", True), ("D6", "B-01-1", "P1", True),
            ("D7", "B-02-1", "P2", False), ("D8", "B-01-1", "P3", False),
        ]
    ):  # fmt: skip
        start = at(36 - 4 * place) if ended else at(0, 7 + 0.5 * (place - 6))
        made += [
            Run(
                run=run, batch=batch, slab=slab, face="form", started_at=start, poured_g=1400.0, area_cm2=950.0,
                layer_mm=10.0, slip_sg=1.45 if place % 2 else None, slip_temp_c=16.0,
                slab_before_g=5600.0 + 10 * place if place % 2 else None,
                slab_after_g=6000.0 if ended and place % 2 else None,
                air_temp_c=16.0, air_rh_pct=55.0, air_speed_m_s=0.1,
                ended_at=start + timedelta(minutes=95) if ended else None, clay_off_g=900.0 if ended else None,
                outcome="workable" if ended else None, wedged_on="board" if ended else None,
            ),
            Check(run=run, at=start + timedelta(minutes=30), feel="fluid"),
            Check(run=run, at=start + timedelta(minutes=60), feel="sticky", penetration_mm=8.0),
        ]  # fmt: skip
        if ended:
            made.append(Check(run=run, at=start + timedelta(minutes=90 + 3 * place), feel="workable"))
    return made


def _pieces() -> list[Any]:
    firings = [
        Firing(firing="F-1", fired_on=date(2026, 3, 1), kiln="front", cone="6", peak_temp_c=1222.0, hold_min=10.0),
        Firing(firing="F-2", fired_on=date(2026, 3, 5), cone="04", peak_temp_c=1060.0, atmosphere="oxidation"),
    ]
    pieces, fired = list[Any](), list[Any]()
    sources = [("B-01-1", "D1"), ("B-02-1", "D2"), ("B-03-1", "D4"), ("R-01-1", "D5")]
    for number, (batch, run) in enumerate(sources * 3):
        piece, off = f"T{number:02d}", 0.3 * (number // 4)
        pieces.append(
            Piece(
                piece=piece, batch=batch, run=run if number < 8 else None, shape="bar", formed_at=at(20),
                formed_how="frame", plastic_mm=100.0, plastic_g=70.0, dry_at=date(2026, 2, 25), dry_how="oven",
                dry_mm=93.5 + off, dry_g=55.0 + off,
            )
        )  # fmt: skip
        if number < 10:
            fired.append(
                Fired(
                    piece=piece, firing="F-1", fired_mm=88.0 + off, fired_g=50.0 + off, soaked_at=date(2026, 3, 3),
                    soaked_g=52.0 + off, suspended_g=30.0, soak_method="boil", warp_pct=0.5, colour="buff",
                )
            )  # fmt: skip
    fired.append(Fired(piece="T00", firing="F-2", fired_mm=92.0))
    fired.append(Fired(piece="T10", firing="F-2"))
    return [
        *firings,
        *pieces,
        Piece(piece="T90", batch="B-01-2", formed_at=at(3), plastic_mm=100.0, ended="broken", ended_at=at(1)),
        *fired,
        Measurement(batch="B-01-1", at=at(30, 9), what="liquid_cup", count=15, wet_g=25.0, dry_g=18.0),
        Measurement(batch="B-01-1", at=at(30, 10), what="liquid_cup", count=21, wet_g=25.0, dry_g=18.4),
        Measurement(batch="B-01-1", at=at(30, 11), what="liquid_cup", count=27, wet_g=25.0, dry_g=18.8),
        Measurement(batch="B-01-1", at=at(30, 13), what="plastic_thread", wet_g=10.0, dry_g=8.1),
        Measurement(batch="B-02-1", at=at(30, 14), what="liquid_cone", value=18.0, wet_g=25.0, dry_g=18.0),
        Measurement(batch="B-02-1", at=at(30, 15), what="liquid_cone", value=22.0, wet_g=25.0, dry_g=17.5),
        *(
            Measurement(piece=piece, firing="F-1", at=at(6, 9 + n), what="fired_mm", value=88.1 + 0.05 * n, by="k")
            for piece in ("T00", "T04")
            for n in range(2)
        ),
        Measurement(piece="T00", at=at(15), what="dry_mm", value=93.4, by="m"),
        FaultSeen(piece="T00", firing="F-1", seen_on=date(2026, 3, 3), fault="bloat", count=1),
        FaultSeen(piece="T01", seen_on=date(2026, 3, 3), fault="none"),
        FaultSeen(run="D2", seen_on=date(2026, 2, 9), fault="plaster_found", count=2),
        Photo(file="a.jpg", piece="T00", taken_on=date(2026, 3, 3)),
        Photo(file="b.jpg", slab="P1"),
    ]  # fmt: skip
