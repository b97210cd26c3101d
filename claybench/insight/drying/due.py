"""What is due next: layers to touch or lift, slabs to turn or weigh, pieces to measure.

Moments come from the record and the settings alone; a list sorted by when comes out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from claybench import clock
from claybench.insight.drying.forecast import Forecast
from claybench.insight.drying.next_touch import first_workable_check, next_touch
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.settings import Settings
from claybench.insight.slab_water.dry_out_curve import Weighing
from claybench.measure.properties.readings import DRY_LENGTH, FIRED_LENGTH, PLASTIC_LENGTH
from claybench.quantity.shown import natural, show
from claybench.terms import Fired, Piece, Slab, SlabEvent

_AFTER_FORMING = timedelta(hours=24)
"""Pieces are looked for as dry a day after forming; common practice, no source."""
_WEIGH_DRYING = timedelta(hours=24)
_TURNABLE = frozenset({"turned", "demoulded"})


READING_DUE = {"dry_length": DRY_LENGTH, "fired_length": FIRED_LENGTH}
"""What is to be read of pieces, by the kind of what is due."""


@dataclass(frozen=True, slots=True)
class DueTask:
    """One thing to do."""

    kind: str
    """touch, lift, turn, weigh, service, dry_length or fired_length."""
    at: datetime
    text: str
    code: str
    """The run, slab or batch it is about."""
    firing: str | None = None

    @property
    def pressing(self) -> bool:
        """Whether it cannot wait: a layer dries on whatever else is to do."""
        return self.kind in ("touch", "lift")

    def overdue(self, now: datetime) -> bool:
        """Whether its moment has come."""
        return self.at <= now


def due_touches(poured: Iterable[tuple[PouredLayer, Forecast]], settings: Settings) -> list[DueTask]:
    """When each layer that lies on a slab wants a finger, or is to come off."""
    out = []
    for each, expected in poured:
        run = each.run
        name = f"{run.run} on {run.slab}"
        felt, touch = first_workable_check(each), next_touch(each, expected, settings)
        if felt is not None:
            out.append(DueTask("lift", felt.at, f"lift {name}: it felt {felt.feel}", run.run))
        elif touch is not None:
            out.append(DueTask("touch", touch, f"touch {name}", run.run))
    return out


def due_slabs(
    slabs: Iterable[Slab],
    events: Iterable[SlabEvent],
    last_run_end: dict[str, datetime],
    busy: set[str],
    dry: Mapping[str, tuple[Weighing, Weighing]],
    settings: Settings,
    zone: tzinfo,
) -> list[DueTask]:
    """Drying slabs to turn and weigh, and slabs not weighed since their last layer came off.

    `dry` holds by slab the two weighings that agreed since it last got wet.
    """
    turn = timedelta(hours=settings.number("turn_every_h"))
    turned: dict[str, datetime] = {}
    weighed: dict[str, datetime] = {}
    for event in events:
        if event.event in _TURNABLE:
            turned[event.slab] = max(event.at, turned.get(event.slab, event.at))
        if event.mass_g is not None and event.event not in ("mixed", "set"):
            weighed[event.slab] = max(event.at, weighed.get(event.slab, event.at))
    out = []
    for slab in slabs:
        code = slab.slab
        if slab.in_service_on is None and slab.cast_at is not None and slab.retired_on is None:
            cast = clock.moment(slab.cast_at, zone)
            if code in dry:
                before, last = (show(each.mass_g, "g", digits=0) for each in dry[code])
                masses_said = f"{before} and {last} a day apart"
                text = f"{code} is dry ({masses_said}): take it into service"
                out.append(DueTask("service", weighed.get(code, cast), text, code))
                continue
            out.append(DueTask("turn", turned.get(code, cast) + turn, f"turn {code}, still drying", code))
            at = weighed.get(code, cast) + _WEIGH_DRYING
            out.append(DueTask("weigh", at, f"weigh {code}: is it still losing water?", code))
        elif code in last_run_end and code not in busy:
            end = last_run_end[code]
            if weighed.get(code) is None or weighed[code] < end:
                out.append(DueTask("weigh", end, f"weigh {code}, bare since {end:%H:%M}", code))
    return out


def lacks_dry_length(piece: Piece) -> bool:
    """Whether a piece that was formed and measured plastic was not measured dry yet."""
    lengths = (PLASTIC_LENGTH.recorded(piece, None), DRY_LENGTH.recorded(piece, None))
    return piece.formed_at is not None and lengths[0] is not None and lengths[1] is None


def is_meant(due: DueTask, piece: Piece, fired: Fired | None) -> bool:
    """Whether a piece is one of those whose reading is due, in one firing or before any."""
    if piece.ended is not None:
        return False
    if due.firing is not None:
        return fired is not None and fired.firing == due.firing and FIRED_LENGTH.recorded(piece, fired) is None
    return lacks_dry_length(piece)


def due_pieces(
    pieces: Iterable[Piece], fired: Iterable[Fired], fired_on: dict[str, datetime], zone: tzinfo
) -> list[DueTask]:
    """Pieces whose dry or fired length is not in the record yet, by batch."""
    dry: dict[str, list[datetime]] = defaultdict(list)
    batch_of: dict[str, str] = {}
    gone: set[str] = set()
    for piece in pieces:
        batch_of[piece.piece] = piece.batch
        if piece.ended is not None:
            gone.add(piece.piece)
        elif lacks_dry_length(piece) and piece.formed_at is not None:
            dry[piece.batch].append(clock.moment(piece.formed_at, zone))
    out_of_kiln: dict[tuple[str, str], int] = defaultdict(int)
    been_fired: set[str] = set()
    for row in fired:
        been_fired.add(row.piece)
        if FIRED_LENGTH.recorded(None, row) is None and row.piece not in gone and row.firing in fired_on:
            out_of_kiln[batch_of.get(row.piece, ""), row.firing] += 1
    out = []
    if dry:
        count = sum(len(times) for times in dry.values())
        at = min(max(times) for times in dry.values()) + _AFTER_FORMING
        out.append(DueTask("dry_length", at, f"measure {_bars(count, 'dry')}: {_some(dry)}", next(iter(dry))))
    for firing in dict.fromkeys(firing for _, firing in out_of_kiln):
        counts = {batch: n for (batch, of), n in out_of_kiln.items() if of == firing}
        text = f"measure {_bars(sum(counts.values()), 'fired')} from {firing}: {_some(counts)}"
        out.append(DueTask("fired_length", fired_on[firing], text, next(iter(counts)), firing))
    return out


def _some(batches: Iterable[str]) -> str:
    named = sorted(batches, key=natural)
    return ", ".join(named[:3]) + (f" and {len(named) - 3} more" if len(named) > 3 else "")


def _bars(count: int, state: str) -> str:
    return f"{count} {state} piece" + ("" if count == 1 else "s")
