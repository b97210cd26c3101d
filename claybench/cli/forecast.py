"""`slabs` and `forecast`: how slabs are, when layers feel workable, and how past forecasts came out."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo
from typing import TYPE_CHECKING, Any

import typer

from claybench import ask
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import AsOf, Csv, Json, read_quantity
from claybench.cli.output import emit_rows, round_known, say, say_forecasts, values_of, write_listing, write_plain_table
from claybench.errors import BadInput
from claybench.insight import drying, unusable_rows
from claybench.quantity.shown import format_interval, percent, show

if TYPE_CHECKING:
    from claybench.ask.backtest import Backtest
    from claybench.ask.bench import LayerNow
    from claybench.insight.drying.forecast import Forecast
    from claybench.insight.slab_condition.best_slab import SlabChoice
    from claybench.insight.slab_condition.verdict import SlabVerdict


def forecast(
    context: typer.Context,
    open_: bool = typer.Option(False, "--open", help="All layers that lie on slabs now."),
    run: list[str] = typer.Option([], "--run", help="A run; may be given several times."),
    body: list[str] = typer.Option([], "--body", help="A body to be poured; may be given several times."),
    slab: list[str] = typer.Option(
        [], "--slab", help="On this slab, several allowed; on every slab of the body's family where left out."
    ),
    layer: list[str] = typer.Option(["10 mm"], "--layer", help="Depth of slip; may be given several times."),
    past: bool = typer.Option(
        False,
        "--past",
        help="Finished runs, by what was known at their pour, and what came: of the lab, --body or --slab.",
    ),
    as_of: str | None = AsOf,
    as_json: bool = Json,
    as_csv: bool = Csv,
) -> None:
    """When a layer would first feel workable, with its 90 % interval, in minutes after the pour."""
    data = as_json or as_csv
    if past and not open_ and not run:
        if len(slab) > 1 or len(body) > 1:
            raise BadInput("--past looks back on one slab, on one body, or on one body on one slab.", "Name no more.")
        with opened(context) as lab:
            at = read_moment(lab, as_of)
            came = ask.backtest.backtest(
                lab, slab=next(iter(slab), None), body=next(iter(body), None), as_of=at, progress=say_forecasts
            )
        say(came.words)
        emit_rows(_past_json(came), as_csv) if data else _write_past(came)
        return
    if past or sum((open_, bool(run), bool(body))) != 1:
        raise BadInput("Say which layers: --open, --run R, --body B, or --past.", "One of the four.")
    with opened(context) as lab:
        at, zone = read_moment(lab, as_of), lab.zone
        if body:
            usual = drying.slip_layers.USUAL_DEPTH_MM
            depths = [read_quantity(each, "mm", "--layer") or usual for each in layer]
            thought_of = ask.where_to_pour.forecast_layers(lab, body, slab, depths, as_of=at)
            emit_rows(_thought_json(thought_of), as_csv) if data else _write_thought(thought_of)
        else:
            layers = ask.runs.forecast_runs(lab, None if open_ else run, as_of=at)
            said = [_forecast_json(each.forecast) | values_of(each, "next_touch", "felt", "felt_at") for each in layers]
            emit_rows(said, as_csv) if data else _write_layers(layers, zone)


def _forecast_json(each: Forecast) -> dict[str, Any]:
    return ({"run": each.run} if each.run is not None else {}) | {
        "body": each.body,
        "slab": each.slab,
        "median_min": round_known(each.median_min, 1),
        "low_min": round_known(each.low_min, 1),
        "high_min": round_known(each.high_min, 1),
        "level": each.level,
        "because": list(each.because),
    }


def _forecast_row(each: Forecast, third: str, said: str = "") -> list[str]:
    return [
        each.run or "",
        each.body or "?",
        each.slab,
        third,
        show(each.median_min, "min", digits=0),
        format_interval(each.low_min, each.high_min, "min", digits=0, tight=True),
        "; ".join(filter(None, (said, *each.because))),
    ]


def _headings(third: str) -> list[str]:
    return ["run", "body", "slab", third, "about", "90 % within", "because"]


# -- layers that might be poured -------------------------------------------------------------------


def _thought_json(choices: Sequence[SlabChoice]) -> list[dict[str, Any]]:
    return [
        _forecast_json(each.forecast)
        | {
            "layer_mm": each.depth_mm,
            "not_now": each.not_now or None,
            "layer": {"grade": each.layer.grade, "reasons": list(each.layer.texts)},
        }
        for each in choices
        if each.forecast is not None
    ]


def _write_thought(choices: Sequence[SlabChoice]) -> None:
    rows = [
        _forecast_row(each.forecast, show(each.depth_mm, "mm"), each.remarks)
        for each in choices
        if each.forecast is not None
    ]
    write_plain_table(_headings("depth"), rows, "No slab can be forecast for it: none is kept for its family.")


# -- layers that lie -------------------------------------------------------------------------------


def _write_layers(layers: Sequence[LayerNow], zone: tzinfo) -> None:
    rows = [_forecast_row(each.forecast, _touch_text(each, zone)) for each in layers]
    write_plain_table(_headings("next touch"), rows, "No layer lies on a slab.")


def _touch_text(layer: LayerNow, zone: tzinfo) -> str:
    """When a layer is to be touched, by the lab's clock, or that it is to be lifted; empty where it was."""
    if layer.felt is not None and layer.poured.run.outcome is None:
        return f"lift it: {layer.felt}"
    return "" if layer.next_touch is None else f"{layer.next_touch.astimezone(zone):%a %H:%M}"


# -- layers that were ------------------------------------------------------------------------------


def _past_json(past: Backtest) -> list[dict[str, Any]]:
    return [
        _forecast_json(each.forecast)
        | {
            "came_min": round_known(each.best_min, 1),
            "came_low_min": round_known(each.time.low_min, 1),
            "came_high_min": round_known(each.time.high_min, 1),
            "within": each.covered,
        }
        for each in past.runs
    ]


def _write_past(past: Backtest) -> None:
    write_listing(
        past.runs,
        ("run", lambda each: each.run),
        ("body", lambda each: each.body or "?"),
        ("slab", lambda each: each.slab),
        ("poured", lambda each: f"{each.started_at:%Y-%m-%d %H:%M}"),
        ("forecast", lambda each: show(each.forecast.median_min, "min", digits=0)),
        (
            "90 % within",
            lambda each: format_interval(each.forecast.low_min, each.forecast.high_min, "min", digits=0, tight=True),
        ),
        ("came", lambda each: f"{each.time.describe()}{'' if each.covered else ' !'}"),
    )


def slabs(context: typer.Context, as_of: str | None = AsOf, as_json: bool = Json, as_csv: bool = Csv) -> None:
    """Every slab not retired: wetness, verdict, evidence, advice."""
    with opened(context) as lab:
        states, faults = ask.slabs.slabs_and_faults(lab, as_of=read_moment(lab, as_of))
    if faults:
        say(f"{unusable_rows.describe_faulty_rows(faults)}. See: claybench faulty")
    if as_json or as_csv:
        emit_rows([_slab_json(each) for each in states], as_csv)
        return
    write_listing(
        states,
        ("slab", lambda each: each.slab.slab),
        ("family", lambda each: each.slab.family or "–"),
        ("state", lambda each: each.state.replace("_", " ")),
        ("verdict", lambda each: each.verdict or "–"),
        ("wetness", _wetness_text),
        ("a layer", lambda each: each.layer.grade),
        ("advice", lambda each: each.advice),
        nothing="No slab yet.",
    )


def _wetness_text(each: SlabVerdict) -> str:
    wet = each.wetness
    if wet.now is None or wet.low is None or wet.high is None:
        return "–"
    return f"{percent(wet.now)} ({format_interval(100 * wet.low, 100 * wet.high, digits=0, tight=True)})"


def _slab_json(each: SlabVerdict) -> dict[str, Any]:
    wet = each.wetness
    return {
        "slab": each.slab.slab,
        "family": each.slab.family,
        "state": each.state,
        "verdict": each.verdict,
        "wetness": round_known(wet.now),
        "wetness_low": round_known(wet.low),
        "wetness_high": round_known(wet.high),
        "evidence": [
            {**values_of(one, "kind", "face", "since", "text"), "strength": round_known(one.strength)}
            for one in each.evidence
        ],
        "advice": each.advice,
        "ready_at": each.again.ready_at,
        "dry_at": each.again.dry_at,
        "layer": {"grade": each.layer.grade, "reasons": list(each.layer.texts)},
    }
