"""What is due next: layers to touch or lift, slabs to turn or weigh, pieces to measure.

Moments come from the record and the settings alone; a list sorted by when comes out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from operator import itemgetter

from claybench import clock
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.drying.next_touch import first_workable_check, next_touch
from claybench.insight.slab_water.bare_weighings import is_bare_weighing
from claybench.insight.slab_water.dry_out_estimate import constant_mass_since_wet, told_dry_from
from claybench.insight.slab_water.water_balance import SlabWaterBalance
from claybench.insight.time_spans import is_retired
from claybench.measure.properties.readings import DRY_LENGTH, FIRED_LENGTH, PLASTIC_LENGTH
from claybench.quantity.shown import natural_key, show
from claybench.terms import Fired, Firing, Piece

_AFTER_FORMING = timedelta(hours=24)
"""Pieces are looked for as dry a day after forming; common practice, no source."""
_WEIGH_EVERY = timedelta(hours=24)
"""Two weighings a day apart declare a slab dry."""
_LATELY = timedelta(days=2)
"""So long after a lift a bare slab is asked to be weighed; common practice, no source."""
_TURNED = frozenset({"turned", "demoulded"})

_AT_NO_HOUR = frozenset({"look_over"})

READING_DUE = {"dry_length": DRY_LENGTH, "fired_length": FIRED_LENGTH}
"""The reading to take of pieces, by the kind of what is due."""


@dataclass(frozen=True, slots=True)
class DueTask:
    """One thing to do."""

    kind: str
    """touch, lift, turn, weigh, service, look_over, dry_length or fired_length."""
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


def due_tasks(
    model: LabModel,
    pieces: Sequence[Piece],
    fired: Iterable[Fired],
    firings: Iterable[Firing],
    more: Iterable[DueTask] = (),
) -> list[DueTask]:
    """Everything due, with `more` that others have found: layers first, then the rest, soonest first.

    What is due at no hour, such as a look at a chip, comes after what has its hour and before what is still to come.
    """
    fired_on = {
        firing.firing: clock.as_moment(firing.fired_on, model.zone) for firing in firings if firing.fired_on is not None
    }
    tasks = [*_layer_tasks(model), *_slab_tasks(model), *_piece_tasks(pieces, fired, fired_on, model.zone), *more]
    return sorted(
        tasks,
        key=lambda each: (
            not each.pressing,
            not each.pressing and not each.overdue(model.at),
            each.kind in _AT_NO_HOUR,
            each.at,
            natural_key(each.text),
        ),
    )


def _layer_tasks(model: LabModel) -> Iterator[DueTask]:
    """When each layer that lies on a slab wants a finger, or is to come off."""
    for poured in model.poured.values():
        if not poured.lies_there:
            continue
        run = poured.run
        name = f"{run.run} on {run.slab}"
        felt = first_workable_check(poured)
        touch = next_touch(poured, model.forecasts.forecast_run(run.run), model.settings)
        if felt is not None:
            yield DueTask("lift", felt.at, f"lift {name}: it felt {felt.feel}", run.run)
        elif touch is not None:
            yield DueTask("touch", touch, f"touch {name}", run.run)


def _slab_tasks(model: LabModel) -> Iterator[DueTask]:
    """Drying slabs to turn and weigh, and slabs not weighed since their last layer came off."""
    bare_since = _bare_since(model)
    for slab in model.rows.slabs:
        if is_retired(slab, model.at):
            continue
        balance = model.slabs.balances[slab.slab]
        weighed = max((row.at for row in balance.events if is_bare_weighing(row.event, row.mass_g)), default=None)
        if slab.in_service_on is None and slab.cast_at is not None and slab.retired_on is None:
            yield from _first_drying_tasks(model, balance, clock.as_moment(slab.cast_at, model.zone), weighed)
        elif slab.slab in bare_since and not model.slabs.open_runs(slab.slab):
            end = bare_since[slab.slab]
            if weighed is None or weighed < end:
                yield DueTask("weigh", end, f"weigh {slab.slab}, bare since {end:%H:%M}", slab.slab)


def _first_drying_tasks(
    model: LabModel, balance: SlabWaterBalance, cast: datetime, weighed: datetime | None
) -> Iterator[DueTask]:
    """A slab drying from its cast: to be turned and weighed until two weighings agree, then taken into service."""
    code = balance.slab.slab
    tolerance = model.settings.number_of("constant_mass_pct")
    agree = constant_mass_since_wet(balance, model.at, tolerance)
    if agree is not None:
        before, last = (show(each.mass_g, "g", digits=0) for each in agree)
        text = f"{code} is dry ({before} and {last} a day apart): take it into service"
        yield DueTask("service", weighed or cast, text, code)
        return
    turned = max((row.at for row in balance.events if row.event in _TURNED), default=cast)
    turn_every = timedelta(hours=model.settings.number_of("turn_every_h"))
    yield DueTask("turn", turned + turn_every, f"turn {code}, still drying", code)
    told = told_dry_from(balance, model.at, tolerance)
    again = max(filter(None, ((weighed or cast) + _WEIGH_EVERY, told)))
    yield DueTask("weigh", again, f"weigh {code}: is it still losing water?", code)


def _bare_since(model: LabModel) -> dict[str, datetime]:
    """When the last layer of each slab came off, where that was lately and the slab was not weighed then."""
    ends: dict[str, datetime] = {}
    lifted = [(run.ended_at, run) for run in model.runs if run.ended_at is not None]
    for end, run in sorted(lifted, key=itemgetter(0)):
        ends.pop(run.slab, None)
        if run.slab_after_g is None:
            ends[run.slab] = end
    return {code: clock.in_zone(at, model.zone) for code, at in ends.items() if model.at - at < _LATELY}


def lacks_dry_length(piece: Piece) -> bool:
    """Whether a piece that was formed and measured plastic was not measured dry yet."""
    lengths = (PLASTIC_LENGTH.recorded(piece, None), DRY_LENGTH.recorded(piece, None))
    return piece.formed_at is not None and lengths[0] is not None and lengths[1] is None


def is_task_for_piece(due: DueTask, piece: Piece, fired: Fired | None) -> bool:
    """Whether a piece is one of those whose reading is due, in one firing or before any."""
    if piece.ended is not None:
        return False
    if due.firing is not None:
        return fired is not None and fired.firing == due.firing and FIRED_LENGTH.recorded(piece, fired) is None
    return lacks_dry_length(piece)


def _piece_tasks(
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
            dry[piece.batch].append(clock.as_moment(piece.formed_at, zone))
    out_of_kiln: dict[tuple[str, str], int] = defaultdict(int)
    for row in fired:
        if FIRED_LENGTH.recorded(None, row) is None and row.piece not in gone and row.firing in fired_on:
            out_of_kiln[batch_of.get(row.piece, ""), row.firing] += 1
    out = []
    if dry:
        count = sum(len(times) for times in dry.values())
        at = min(max(times) for times in dry.values()) + _AFTER_FORMING
        out.append(
            DueTask("dry_length", at, f"measure {_count_pieces(count, 'dry')}: {_first_codes(dry)}", next(iter(dry)))
        )
    for firing in dict.fromkeys(firing for _, firing in out_of_kiln):
        counts = {batch: n for (batch, fire), n in out_of_kiln.items() if fire == firing}
        text = f"measure {_count_pieces(sum(counts.values()), 'fired')} from {firing}: {_first_codes(counts)}"
        out.append(DueTask("fired_length", fired_on[firing], text, next(iter(counts)), firing))
    return out


def _first_codes(batches: Iterable[str]) -> str:
    named = sorted(batches, key=natural_key)
    return ", ".join(named[:3]) + (f" and {len(named) - 3} more" if len(named) > 3 else "")


def _count_pieces(count: int, state: str) -> str:
    return f"{count} {state} piece" + ("" if count == 1 else "s")
