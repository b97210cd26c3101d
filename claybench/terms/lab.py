"""The lab's own settings, its families, its materials and what came in the door."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from claybench.terms.column import code, day, number, ref, share, table, text, whole, word


@table("settings", "setting", ("name",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One setting of the lab, by name."""

    name: str = text(required=True)
    value: str = text(required=True)


@table("families", "family", ("family",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Bodies that may share a slab."""

    family: str = code()
    stain_rank: int | None = whole(help="0 is the cleanest; a higher rank stains a lower one")
    note: str | None = text()


@table("materials", "material", ("material",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A raw material as it is named in recipes."""

    material: str = code()
    kind: str | None = word("clay", "flux", "filler", "plasticiser", "colourant", "deflocculant", "flocculant", "other")
    specific_gravity: float | None = number(above=0.5, high=25.0, usual=(1.1, 7))
    loi_pct: float | None = share(usual=(0, 50), label="loss on ignition")
    price_per_kg: float | None = number(possible=(None, 1e6), usual=(0, 500), label="price per kg")
    caution: str | None = text()
    note: str | None = text()


@table("lots", "lot", ("lot",), known=("received_on",))
@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One delivery of a material."""

    lot: str = code()
    material: str = ref("materials", required=True)
    received_on: date | None = day()
    received_kg: float | None = number(possible=(None, 1e6), usual=(0.01, 2000))
    moisture_pct: float | None = share(
        possible=(0, 99.9),
        usual=(0, 75),
        help="wet basis: water as a share of what is weighed; a solution is its water",
    )
    note: str | None = text()
