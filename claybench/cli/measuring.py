"""Questions about measuring: plasticity, what of the scatter is the hand's, whose bar it is, where a fault came from."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from claybench import ask, paper as sheets
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import AsOf, Json, Paper, Replace, read_quantity
from claybench.cli.output import emit, may_write, say, values_of, write_listing, write_plain_table
from claybench.errors import BadInput
from claybench.insight.bodies.liquid_limits import method_words
from claybench.insight.bodies.plasticity import interval_words
from claybench.insight.pieces.repeatability import COUNTS, READINGS, study_lines
from claybench.measure.properties.built_in import LIQUID_LIMIT, PLASTIC_LIMIT, PLASTICITY_INDEX, WORKABLE_WATER
from claybench.measure.properties.readings import STATES
from claybench.quantity.shown import percent, plain

if TYPE_CHECKING:
    from claybench.ask.pieces import PlasticityPage
    from claybench.insight.bodies.plasticity import Plasticity


def plasticity(
    context: typer.Context,
    batches: list[str] = typer.Argument(None, help="Codes of batches; all that were looked at where left out."),
    as_of: str | None = AsOf,
    as_json: bool = Json,
) -> None:
    """Liquid and plastic limit, the index between them, and water of plasticity, of dry mass."""
    with opened(context) as lab:
        at = read_moment(lab, as_of)
        wanted = batches or ask.pieces.batches_with_points(lab, as_of=at)
        pages = [ask.pieces.batch_plasticity(lab, code, as_of=at) for code in wanted]
    if as_json:
        emit([_plasticity(each) for each in pages])
        return
    rows: list[list[str]] = []
    for page in pages:
        rows += [[page.batch.batch, *row] for row in _rows(page.plasticity)]
        for note in page.plasticity.notes:
            say(f"{page.batch.batch}: {note}")
    write_plain_table(["batch", "what", "% of dry mass", "how"], rows, "No plasticity was measured yet.")


def _rows(plasticity: Plasticity) -> list[list[str]]:
    rows = []
    for limit in plasticity.limits:
        sure = interval_words(limit.interval, LIQUID_LIMIT.digits)
        how = "; ".join(filter(None, (method_words(limit), sure)))
        rows.append([LIQUID_LIMIT.title, plain(limit.water_pct, LIQUID_LIMIT.digits), how])
    if plasticity.plastic_pct is not None:
        how = f"threads rolled to 3.2 mm, mean of {plasticity.threads} (ASTM D4318)"
        rows.append([PLASTIC_LIMIT.title, plain(plasticity.plastic_pct, PLASTIC_LIMIT.digits), how])
    if plasticity.index_pct is not None:
        index = plain(plasticity.index_pct, PLASTICITY_INDEX.digits)
        sure = interval_words(plasticity.index_interval, PLASTICITY_INDEX.digits)
        how = "; ".join(filter(None, (f"by the {plasticity.limits[0].method}", sure)))
        rows.append([PLASTICITY_INDEX.title, index, how])
    if plasticity.working_water is not None:
        air = f", {plasticity.working_water.air_dry} of them air dry" if plasticity.working_water.air_dry else ""
        how = f"mean of {plasticity.working_water.pieces} pieces{air}"
        rows.append([WORKABLE_WATER.title, plain(plasticity.working_water.mean_pct, WORKABLE_WATER.digits), how])
    return rows


def _plasticity(page: PlasticityPage) -> dict[str, Any]:
    plasticity = page.plasticity
    return {
        "batch": page.batch.batch,
        "liquid_limits": [
            {
                **values_of(limit, "water_pct", "method", "axis", "points", "sd_pct"),
                "how": method_words(limit),
                **values_of(limit, "beyond", "cone", "cone_known"),
                "low_pct": limit.interval[0] if limit.interval else None,
                "high_pct": limit.interval[1] if limit.interval else None,
            }
            for limit in plasticity.limits
        ],
        PLASTIC_LIMIT.name: plasticity.plastic_pct,
        "threads": plasticity.threads,
        PLASTICITY_INDEX.name: plasticity.index_pct,
        "index_low_pct": plasticity.index_interval[0] if plasticity.index_interval else None,
        "index_high_pct": plasticity.index_interval[1] if plasticity.index_interval else None,
        "water_of_plasticity": None
        if plasticity.working_water is None
        else values_of(plasticity.working_water, "mean_pct", "sd_pct", "pieces", "air_dry"),
        "points": [
            {
                **values_of(point.reading, "at", "what", "count", "value"),
                "water_pct": point.water_pct,
                "cone": point.cone.name if point.cone else None,
                "doubt": point.doubt or None,
            }
            for point in plasticity.points
        ],
        "notes": list(plasticity.notes),
    }


def repeats(
    context: typer.Context,
    reading: str | None = typer.Option(
        None, "--reading", help="Kind of reading, as a column of the record; all that were made again."
    ),
    as_of: str | None = AsOf,
    as_json: bool = Json,
) -> None:
    """How much of the scatter is the caliper and the hand, from readings made again, and what can be seen at all."""
    if reading is not None and reading not in READINGS:
        raise BadInput(f"'{reading}' is not a reading of a piece.", f"Choose one of {', '.join(READINGS)}.")
    with opened(context) as lab:
        studies = ask.pieces.repeat_studies(lab, as_of=read_moment(lab, as_of))
    studies = [each for each in studies if reading in (None, each.reading)]
    if as_json:
        emit([_study(each) for each in studies])
        return
    if not studies:
        say("No piece was read again yet. On the screen: 4, then s begins a study; Ctrl+r keeps a further reading.")
    for each in studies:
        typer.echo("\n".join([each.reading, *(f"  {line}".rstrip() for line in study_lines(each)), ""]))


def _study(study: Any) -> dict[str, Any]:
    gauge = study.gauge
    variances = None
    if gauge is not None:
        parts = {
            "repeat": gauge.repeatability,
            "hand": gauge.operator,
            "together": gauge.interaction,
            "piece": gauge.piece,
        }
        variances = {
            name: None
            if variance is None
            else {"variance": variance, "share_pct": gauge.share_pct(variance), "sd_pct": gauge.sd_pct(variance)}
            for name, variance in {**parts, "measuring": gauge.measurement, "total": gauge.total}.items()
        }
    return {
        "reading": study.reading,
        "unit": study.unit,
        "hands": list(study.operators),
        "first_readings": study.first_readings_counted,
        "readings": gauge.readings if gauge else None,
        "pieces": gauge.pieces if gauge else None,
        "variances": variances,
        "repeat_df": gauge.repeatability_df if gauge else None,
        "categories": gauge.categories if gauge else None,
        "bars_of_a_batch_variance": study.bars_variance,
        "shows": {str(count): study.minimum_detectable_difference(count) for count in COUNTS},
        "step": study.step or None,
        "bodies": {str(count): one for count, one in study.by_batches.items()},
        "why_not": study.why_not or None,
    }


def whose_bar(
    context: typer.Context,
    length: str | None = typer.Option(None, "--length", help="What it measures now, between its marks."),
    mass: str | None = typer.Option(None, "--mass", help="What it weighs now."),
    state: str | None = typer.Option(None, "--state", help="plastic, dry or fired; either where left out."),
    firing: str | None = typer.Option(None, "--firing", help="The firing it comes from."),
    as_of: str | None = AsOf,
    as_json: bool = Json,
) -> None:
    """Which pieces a bar without a code may be, by its length, mass and firing, the likeliest first."""
    if state is not None and state not in STATES:
        raise BadInput(f"'{state}' is no state of a bar.", f"Choose one of {', '.join(STATES)}.")
    long, heavy = read_quantity(length, "mm", "--length"), read_quantity(mass, "g", "--mass")
    if long is None and heavy is None:
        raise BadInput("Nothing is said of the bar.", "Give its --length, its --mass, or better both.")
    with opened(context) as lab:
        candidates = ask.pieces.identify_bar(
            lab, length_mm=long, mass_g=heavy, state=state, firing=firing, as_of=read_moment(lab, as_of)
        )
    if as_json:
        emit(
            [
                {
                    **{"piece": each.piece.piece, "body": each.body, "batch": each.piece.batch},
                    **values_of(each, "firing", "chance", "fits", "reasons"),
                    "chance": round(each.chance, 4),
                }
                for each in candidates
            ]
        )
        return
    if candidates and not candidates[0].fits:
        say("No piece of the record fits well.")
    write_listing(
        candidates,
        ("piece", lambda each: each.piece.piece),
        ("body", lambda each: each.body),
        ("batch", lambda each: each.piece.batch),
        ("firing", lambda each: each.firing or "before"),
        ("chance", lambda each: percent(each.chance)),
        ("why", lambda each: "; ".join(each.reasons)),
        nothing="No piece of this lab is near to that.",
    )


def trace(
    context: typer.Context,
    piece: str | None = typer.Option(None, "--piece", help="From this piece back, and forward."),
    run: str | None = typer.Option(None, "--run", help="From the clay of this run, such as plaster found in it."),
    slab: str | None = typer.Option(None, "--slab", help="From this slab forward."),
    board: str | None = typer.Option(None, "--board", help="From this wedging board forward."),
    to: Path | None = typer.Option(None, "--to", help="Write it as a PDF, with a box for each bar to look at."),
    replace: bool = Replace,
    paper: str | None = Paper,
    as_of: str | None = AsOf,
    as_json: bool = Json,
) -> None:
    """Where a fault may have come from, and what else it may be in."""
    if to is not None:
        may_write(to, replace)
    with opened(context) as lab:
        start = ask.fault_trace.one_start(piece=piece, run=run, slab=slab, board=board)
        report = ask.fault_trace.read_trace(lab, *start, as_of=read_moment(lab, as_of))
    traced = report.trace
    if to is not None:
        sheets.trace_sheet.write_trace(report, to, paper=paper)
        say(f"Written: {to}")
    if as_json:
        emit(
            {
                "chain": [values_of(one, "kind", "code", "at", "text") for one in traced.chain],
                "at_risk": {
                    "batches": [
                        {"batch": one.code, "reason": one.reason, "body": one.body}
                        for one in traced.at_risk
                        if one.kind == "batch"
                    ],
                    "pieces": [
                        {"piece": one.code, **values_of(one, "reason", "body", "batch", "run", "seen")}
                        for one in traced.at_risk
                        if one.kind == "piece"
                    ],
                },
            }
        )
        return
    rows = [[one.kind, one.code, f"{one.at:%Y-%m-%d %H:%M}" if one.at else "", one.text] for one in traced.chain]
    rows += [[f"at risk: {one.kind}", one.code, one.seen_text, one.reason] for one in traced.at_risk]
    write_plain_table(["what", "code", "when, seen", "text"], rows)
