"""What was read of bodies, slabs, lots, materials and firings themselves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from claybench.ask.properties import property_set
from claybench.ask.snapshot import snapshot_from
from claybench.insight.reading_sets import ReadingSet, next_together, reading_sets
from claybench.insight.record_values import RecordValue, names_read_for, record_values, subject_of
from claybench.measure.properties.declaration import Property
from claybench.measure.properties.property_set import PropertySet
from claybench.record.lab import Lab
from claybench.terms import TABLES, Measurement
from claybench.terms.properties import TABLE_OF_SUBJECT


def values_read(lab: Lab, code: str, *, of: str) -> tuple[RecordValue, ...]:
    """What was read of one record of a kind, by the properties that the lab has declared for such."""
    with lab.reading() as record:
        names = names_read_for(each for each in property_set(record).values() if each.own and each.of == of)
        if not names:
            return ()
        snapshot = snapshot_from(record, Measurement, now=lab.now(), where={Measurement: {"what": names}})
    return record_values(snapshot.rows(Measurement), snapshot.properties, of).get(code, ())


@dataclass(frozen=True, slots=True)
class OwnReadings:
    """What the lab's own properties say of one record, and the readings they rest on."""

    of: str
    """One of `SUBJECTS`; that of a piece has the properties after each firing, too."""
    code: str
    """As the record spells it."""
    declared: tuple[Property, ...]
    """What can be read of it."""
    sets: Mapping[str, tuple[ReadingSet, ...]]
    """By property, in the order of time."""
    values: Mapping[str, RecordValue]
    """By property; of a piece none, since its page and its body have them."""
    rows: tuple[Measurement, ...]
    """Every reading of it, in the order of time."""
    properties: PropertySet
    at: datetime

    def next_together(self, declared: Property) -> str:
        """What new readings of a property share."""
        return next_together(declared, self.rows, self.properties)


def own_readings_of(lab: Lab, code: str, *, of: str, as_of: datetime | None = None) -> OwnReadings:
    """What was read of one record by the lab's own properties, and what could be.

    Raises
    ------
    NotFound
        There is no such record.
    """
    column = "piece" if of == "fired" else of
    kind = TABLES[TABLE_OF_SUBJECT[column]].row
    with lab.reading() as record:
        spelt = str(getattr(record.one(kind, code), column))
        read = {Measurement: {column: spelt}}
        snapshot = snapshot_from(record, Measurement, now=lab.now(), as_of=as_of, where=read)
    properties, wanted = snapshot.properties, ("piece", "fired") if column == "piece" else (of,)
    declared = tuple(each for each in properties.values() if each.own and each.of in wanted)
    rows = sorted((row for row in snapshot.rows(Measurement) if subject_of(row)[0] == column), key=lambda row: row.at)
    values = record_values(rows, properties, of).get(spelt, ()) if column != "piece" else ()
    return OwnReadings(
        of=of,
        code=spelt,
        declared=declared,
        sets={each.name: tuple(reading_sets(each, rows, properties)) for each in declared},
        values={each.declared.name: each for each in values},
        rows=tuple(rows),
        properties=properties,
        at=snapshot.at,
    )


def how_to_declare(of: str) -> str:
    """How a property of such things is declared, in one sentence."""
    return f"Declare one: claybench property NAME --of {of}; on the screen 6, then n on the page Properties."
