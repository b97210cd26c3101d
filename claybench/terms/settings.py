"""The lab's settings by name: what each is for, its unit and what holds until it is set."""

from __future__ import annotations

from dataclasses import dataclass, replace

from claybench.terms.column import Column

TEXT_UNITS = ("text", "clock", "zone", "paper", "lifts")
"""What stands for the unit of a setting that is no number."""


@dataclass(frozen=True, slots=True)
class SettingTerm:
    """One setting of the dictionary."""

    name: str
    label: str
    unit: str
    """A unit for `quantity`; one of `TEXT_UNITS` where it is not a number."""
    default: str
    """What holds until the lab says otherwise; empty where there is none."""
    help: str = ""
    low: float = 0.0
    high: float = 1e9
    usual: tuple[float | None, float | None] = (None, None)
    """What lies outside is asked about when it is set; common practice, no source."""

    @property
    def column(self) -> Column | None:
        """Its number as an input; None for a text."""
        if self.unit in TEXT_UNITS:
            return None
        return Column(
            name=self.name, kind="number", label=f"setting '{self.label}'", possible=(self.low, self.high),
            usual=self.usual, measured_in=self.unit,
        )  # fmt: skip


PAPERS = ("A4", "Letter")
"""Paper that sheets and reports can be laid out for."""

END_ON = "end on"
"""How a slab is lifted whose long side points away from the body."""
LIFTS = ("floor", "shelf below", "bench", "shelf above", END_ON)
"""Lifts of a slab that a lab may make: between its bench and there, held by its ends and, where said, end on."""

_TERMS = (
    SettingTerm("format", "version of the lab folder", "text", "2", "kept by claybench"),
    SettingTerm("name", "name of the lab", "text", "", "stands on every screen and sheet"),
    SettingTerm("zone", "time zone", "zone", "UTC", "IANA name; bare dates are meant in it"),
    SettingTerm("paper", "paper to print on", "paper", "A4", "A4 or Letter"),
    SettingTerm("bench_from", "bench opens", "clock", "08:00"),
    SettingTerm("bench_until", "bench closes", "clock", "18:00"),
    SettingTerm("scale_step_g", "step of the scale", "g", "1", "masses to weigh are rounded to it", 0.001, 1000),
    SettingTerm("scale_largest_g", "largest load of the scale", "g", "5000", "", 1, 1e6),
    SettingTerm("weighing_bucket_ml", "weighing bucket holds", "mL", "5000", "brim-full", 50, 1e6),
    SettingTerm("mixing_bucket_ml", "mixing bucket holds", "mL", "15000", "brim-full", 50, 1e6),
    SettingTerm("bag_g", "a bag of plaster holds", "g", "25000", "", 100, 1e6),
    SettingTerm(
        "lifts",
        "how slabs are lifted",
        "lifts",
        ", ".join(LIFTS),
        "those of these that are done; a slab's lift is told for the hardest of them",
    ),
    SettingTerm("usual_loss_pct", "usual loss", "%", "5", "slip and clay left in buckets and on hands", 0, 50),
    SettingTerm("touch_every_min", "touch a layer every", "min", "15", "", 1, 600),
    SettingTerm("weigh_min", "weighing out a batch takes", "min", "20", "in plans; common practice, no source", 0, 600),
    SettingTerm(
        "soak_min",
        "dry clay soaks in its water for",
        "min",
        "60",
        "in plans, overnight where it fits; common practice, no source",
        0,
        10_080,
    ),
    SettingTerm("mix_min", "mixing a batch of slip takes", "min", "15", "in plans; common practice, no source", 0, 600),
    SettingTerm("turn_every_h", "turn a drying slab every", "h", "12", "common practice, no source", 1, 96),
    SettingTerm(
        "constant_mass_pct",
        "constant mass: a day's loss below",
        "%",
        "0.1",
        "of the slab's mass, two weighings a day apart; common practice, no source",
        0.005,
        2,
    ),
    SettingTerm("damp_from", "a slab is damp from wetness", "1", "0.35", "", 0.01, 1),
    SettingTerm("saturated_from", "a slab is saturated from wetness", "1", "0.7", "", 0.01, 1),
    SettingTerm("room_temp_c", "usual air temperature", "degC", "18", "where no reading says better", -20, 60),
    SettingTerm("room_rh_pct", "usual relative humidity", "%", "60", "where no reading says better", 1, 100),
    SettingTerm("room_air_m_s", "usual draught", "m/s", "0.1", "where no reading says better", 0, 20),
    SettingTerm("fan_air_m_s", "draught before the fan", "m/s", "2", "where no reading says better", 0, 30),
    SettingTerm("solids_sg", "specific gravity of dry clay", "1", "2.6", "where a material has none", 1.2, 8),
    SettingTerm(
        "tight_below_pct",
        "a body is tight when it absorbs less than",
        "%",
        "2",
        "where its range of firings is shown; common practice, no source",
        0.01,
        30,
    ),
    SettingTerm("workable_water_pct", "water when workable", "%", "25", "dry basis, where a body has none", 5, 100),
)

_USUAL: dict[str, tuple[float, float]] = {
    "scale_step_g": (0.001, 50),
    "scale_largest_g": (50, 200_000),
    "weighing_bucket_ml": (200, 100_000),
    "mixing_bucket_ml": (500, 200_000),
    "bag_g": (500, 60_000),
    "usual_loss_pct": (0, 25),
    "touch_every_min": (3, 120),
    "weigh_min": (0, 120),
    "soak_min": (0, 2880),
    "mix_min": (0, 120),
    "turn_every_h": (4, 48),
    "constant_mass_pct": (0.02, 1),
    "damp_from": (0.1, 0.6),
    "saturated_from": (0.4, 0.95),
    "room_temp_c": (0, 40),
    "room_rh_pct": (15, 95),
    "room_air_m_s": (0, 2),
    "fan_air_m_s": (0.3, 10),
    "solids_sg": (2.2, 3.5),
    "tight_below_pct": (0.1, 15),
    "workable_water_pct": (12, 60),
}

SETTINGS: dict[str, SettingTerm] = {
    term.name: replace(term, usual=_USUAL.get(term.name, term.usual)) for term in _TERMS
}
"""Every setting claybench reads, in the order they are shown."""

KEPT_QUESTION = "question "
"""What the name of a setting begins with that keeps a question after bodies: `question tight buff`."""
