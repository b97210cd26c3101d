"""What a row of someone's spreadsheet may be, and the columns of the dictionary it can fill."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from claybench.errors import BadInput
from claybench.terms import TABLES, Column, Table

RECIPE = "recipe"
_ONE_CELL = Column(name=RECIPE, label="recipe in one cell", help="kaolin 30, ball clay 30, feldspar 22")


@dataclass(frozen=True, slots=True)
class Target:
    """A column of the record that a column of the file may go to."""

    name: str
    table: str
    column: Column


@dataclass(frozen=True, slots=True)
class RowKind:
    """One thing a row may be."""

    name: str
    says: str
    tables: tuple[str, ...]
    """The table of the row itself, then those its further columns go to."""
    wide: tuple[str, str, str] | None = None
    """Table, name and value of what stands in columns of its own, such as each material of a recipe."""
    one_cell: bool = False
    """Whether a whole recipe may stand in one cell."""
    always: Mapping[str, str] = field(default_factory=dict)
    """What such a row is unless it says otherwise."""
    makes: tuple[str, ...] = ()
    """Further tables whose row is made whenever it is named."""
    whole: str = ""
    """The row's own column that what stands in columns of their own comes to."""
    datum: tuple[str, ...] = ()
    """Columns of which one has to be filled: without any of them nothing was measured, whatever else holds."""
    named_alone: bool = False
    """Whether a row that says its whole key itself needs no such column."""

    @property
    def table(self) -> Table:
        """The table of the row itself."""
        return TABLES[self.tables[0]]

    def targets(self) -> dict[str, Target]:
        """Every column that may be filled, by the name it goes by in a mapping."""
        out: dict[str, Target] = {}
        for name in self.tables:
            for column in TABLES[name].columns:
                if column.name not in out:
                    out[column.name] = Target(column.name, name, column)
                elif not (column.refers or TABLES[name].code == column.name or column.name in TABLES[name].key):
                    out[f"{name}.{column.name}"] = Target(f"{name}.{column.name}", name, column)
        if self.one_cell:
            out[RECIPE] = Target(RECIPE, "body_lines", _ONE_CELL)
        if self.wide is not None:
            table, _, value = self.wide
            out[value] = Target(value, table, TABLES[table][value])
        return out


_RECIPE = ("body_lines", "material", "parts")
_WEIGHED = ("batch_lines", "material", "mass_g")


def _numbers(table: str) -> tuple[str, ...]:
    """The measured columns of a table."""
    return tuple(column.name for column in TABLES[table].columns if column.kind in ("number", "whole"))


def _said(table: str) -> tuple[str, ...]:
    """All columns of a table that say something of the row, its key and note apart."""
    return tuple(name for name in TABLES[table].names if name not in (*TABLES[table].key, "note"))


_ALL = (
    RowKind("bodies", "a body; each material has a column of its own, with its parts", ("bodies",), _RECIPE, True),
    RowKind("recipe-lines", "one material of a body, with its parts", ("body_lines", "bodies"), makes=("bodies",)),
    RowKind(
        "batches",
        "a batch; the mass of each material may have a column of its own",
        ("batches",),
        _WEIGHED,
        whole="dry_mass_g",
    ),
    RowKind("weights", "one material as it was weighed into a batch", ("batch_lines",)),
    RowKind("runs", "a run: a layer of a batch on a slab", ("runs",)),
    RowKind("touches", "a touch of a layer, with how it felt", ("checks",)),
    RowKind("pieces", "a test piece with its measurements, fired ones too", ("pieces", "fired", "firings")),
    RowKind("fired", "what one firing did to one piece", ("fired", "firings"), datum=_said("fired"), named_alone=True),
    RowKind("weighings", "a weighing of a slab", ("slab_log",), always={"event": "weighed"}, datum=("mass_g",)),
    RowKind("slabs", "a slab", ("slabs",)),
    RowKind("materials", "a material", ("materials",)),
    RowKind("lots", "a delivery of a material", ("lots",)),
    RowKind("firings", "a firing", ("firings",)),
    RowKind("faults", "a fault seen on a piece or a layer", ("faults",)),
    RowKind("air", "a reading of the air", ("air",), datum=_numbers("air")),
)
KINDS = {kind.name: kind for kind in _ALL}
"""Every kind by its name."""


def kind_of(name: str) -> RowKind:
    """The kind of a name, or what would work."""
    if name not in KINDS:
        raise BadInput(f"A row cannot be '{name}'.", f"Say one of {', '.join(KINDS)}.", field="rows")
    return KINDS[name]
