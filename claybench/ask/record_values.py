"""What was read of bodies, slabs, lots, materials and firings themselves."""

from __future__ import annotations

from claybench.ask.properties import property_set
from claybench.ask.snapshot import snapshot_from
from claybench.insight.record_values import RecordValue, names_read_for, record_values
from claybench.record.lab import Lab
from claybench.terms import Measurement


def values_read(lab: Lab, code: str, *, of: str) -> tuple[RecordValue, ...]:
    """What was read of one record of a kind, by the properties that the lab has declared for such."""
    with lab.reading() as record:
        names = names_read_for(each for each in property_set(record).values() if each.own and each.of == of)
        if not names:
            return ()
        snapshot = snapshot_from(record, Measurement, now=lab.now(), where={Measurement: {"what": names}})
    return record_values(snapshot.rows(Measurement), snapshot.properties, of).get(code, ())
