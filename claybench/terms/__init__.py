"""The record's dictionary: tables, columns, units, allowed words, keys, row types.

Written once and used by the record (constraints), the lab folder (headers and
checks), the screen and the command line (choices and labels) and the docs.
Standard library only.
"""

from claybench.terms.bodies import Batch, BatchEvent, BatchLine, Body, BodyLine
from claybench.terms.column import CODE_LENGTH, TABLES, TEXT_LENGTH, Column, Table
from claybench.terms.lab import (
    Family,
    Instrument,
    Lot,
    Material,
    Person,
    Reminder,
    Setting,
    answer_note,
    answered_facts,
    as_fact,
)
from claybench.terms.pieces import FaultSeen, Fired, Firing, FiringCone, Measurement, Photo, Piece
from claybench.terms.properties import (
    DeclaredProperty,
    Profile,
    ProfileTarget,
    PropertyInput,
    PropertyWords,
)
from claybench.terms.settings import END_ON, KEPT_QUESTION, LIFTS, PAPERS, SETTINGS, TEXT_UNITS, SettingTerm
from claybench.terms.slabs import FACES, FEELS, PLACES, STANDINGS, STEP_NAMES, Air, Check, Run, Slab, SlabEvent

FORMAT = 2
"""Version of the lab folder; an older one is read, a newer one is refused."""

FOLDER_ORDER = (
    "settings",
    "people",
    "families",
    "materials",
    "lots",
    "instruments",
    "properties",
    "property_inputs",
    "property_words",
    "profiles",
    "profile_targets",
    "bodies",
    "body_lines",
    "slabs",
    "slab_log",
    "air",
    "batches",
    "batch_lines",
    "batch_log",
    "runs",
    "checks",
    "firings",
    "firing_cones",
    "pieces",
    "fired",
    "readings",
    "faults",
    "photos",
    "reminders",
)
"""The tables so that what is referred to comes first."""

_entered = dict(TABLES)
TABLES.clear()
TABLES.update({name: _entered.pop(name) for name in FOLDER_ORDER})
assert not _entered, f"tables missing from FOLDER_ORDER: {sorted(_entered)}"

TABLE_OF: dict[type, Table] = {table.row: table for table in TABLES.values()}
"""The table of a row type."""
