"""Questions: slabs, forecast."""

from __future__ import annotations

from collections.abc import Callable
from datetime import tzinfo
from typing import TYPE_CHECKING, Any

import typer

from claybench.cli.common import AsOf, Csv, Json, emit, emit_csv, moment, opened, quantity, say, table
from claybench.quantity.shown import interval, percent, show

if TYPE_CHECKING:
    from claybench.ask.bench import LayerNow


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("slabs")(slabs)
    app.command("forecast")(forecast)


def slabs(context: typer.Context, as_of: str | None = AsOf, as_json: bool = Json, as_csv: bool = Csv) -> None:
    """Every slab not retired: wetness, verdict, evidence, advice."""
    from claybench.ask.slabs import slabs_and_faults
    from claybench.insight.unusable_rows import faulty_words

    with opened(context) as lab:
        found, faults = slabs_and_faults(lab, as_of=moment(lab, as_of))
    if faults:
        say(f"{faulty_words(faults)}. See: claybench faulty")
    if as_json or as_csv:
        (emit_csv if as_csv else emit)([_slab(each) for each in found])
        return
    rows = []
    for each in found:
        wet = each.wetness
        sure = "–"
        if wet.now is not None and wet.low is not None and wet.high is not None:
            sure = f"{percent(wet.now)} ({interval(100 * wet.low, 100 * wet.high, digits=0, tight=True)})"
        rows.append(
            [
                each.slab.slab,
                each.slab.family or "–",
                each.state.replace("_", " "),
                each.verdict or "–",
                sure,
                each.layer.grade,
                each.advice,
            ]
        )
    table(["slab", "family", "state", "verdict", "wetness", "a layer", "advice"], rows)


def _slab(each: Any) -> dict[str, Any]:
    wet = each.wetness
    return {
        "slab": each.slab.slab,
        "family": each.slab.family,
        "state": each.state,
        "verdict": each.verdict,
        "wetness": _rounded(wet.now),
        "wetness_low": _rounded(wet.low),
        "wetness_high": _rounded(wet.high),
        "evidence": [
            {
                "kind": one.kind,
                "face": one.face,
                "since": one.since,
                "strength": _rounded(one.strength),
                "text": one.text,
            }
            for one in each.evidence
        ],
        "advice": each.advice,
        "ready_at": each.again.ready_at,
        "dry_at": each.again.dry_at,
        "layer": {"grade": each.layer.grade, "reasons": list(each.layer.texts)},
    }


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
    from claybench.ask.runs import forecasts
    from claybench.ask.where import forecast_layers
    from claybench.errors import BadInput
    from claybench.insight.drying.slip_layers import USUAL_DEPTH_MM

    if past and not open_ and not run:
        _past(context, slab, body, as_of, emit_csv if as_csv else emit if as_json else None)
        return
    if past or sum((open_, bool(run), bool(body))) != 1:
        raise BadInput("Say which layers: --open, --run R, --body B, or --past.", "One of the four.")
    with opened(context) as lab:
        at, zone = moment(lab, as_of), lab.zone
        if body:
            depths = [quantity(each, "mm", "--layer") or USUAL_DEPTH_MM for each in layer]
            thought_of = forecast_layers(lab, body, slab, depths, as_of=at)
            found, layers = [each.forecast for each in thought_of if each.forecast is not None], []
        else:
            thought_of = []
            layers = forecasts(lab, None if open_ else run, as_of=at)
            found = [each.forecast for each in layers]
    if as_json or as_csv:
        extra: list[dict[str, Any]] = [
            {
                "layer_mm": each.depth_mm,
                "not_now": each.not_now or None,
                "layer": {"grade": each.layer.grade, "reasons": list(each.layer.texts)},
            }
            for each in thought_of
        ]
        extra += [{"next_touch": each.next_touch, "felt": each.felt, "felt_at": each.felt_at} for each in layers]
        (emit_csv if as_csv else emit)([_forecast(one) | more for one, more in zip(found, extra, strict=True)])
        return
    rows = []
    for index, each in enumerate(found):
        of = thought_of[index] if thought_of else None
        rows.append(
            [
                each.run or "",
                each.body or "?",
                each.slab,
                show(of.depth_mm, "mm") if of else _touch(layers[index], zone),
                show(each.median_min, "min", digits=0),
                interval(each.low_min, each.high_min, "min", digits=0, tight=True),
                "; ".join(filter(None, (of.words if of else "", *each.because))),
            ]
        )
    third = "depth" if thought_of else "next touch"
    table(["run", "body", "slab", third, "about", "90 % within", "because"], rows)


def _touch(layer: LayerNow, zone: tzinfo) -> str:
    """When a layer is to be touched, by the lab's clock, or that it is to be lifted; empty where it was."""
    if layer.felt is not None and layer.poured.run.outcome is None:
        return f"lift it: {layer.felt}"
    return "" if layer.next_touch is None else f"{layer.next_touch.astimezone(zone):%a %H:%M}"


def _past(
    context: typer.Context, slabs: list[str], bodies: list[str], as_of: str | None, write: Callable[[Any], None] | None
) -> None:
    """What was forecast, and what came."""
    from claybench.ask.backtest import backtest
    from claybench.errors import BadInput

    if len(slabs) > 1 or len(bodies) > 1:
        raise BadInput("--past looks back on one slab, on one body, or on one body on one slab.", "Name no more.")
    with opened(context) as lab:
        slab, body = slabs[0] if slabs else None, bodies[0] if bodies else None
        found = backtest(lab, slab=slab, body=body, as_of=moment(lab, as_of))
    say(found.words)
    if write is not None:
        write(
            [
                _forecast(each.forecast)
                | {
                    "came_min": _rounded(each.best_min, 1),
                    "came_low_min": _rounded(each.time.low_min, 1),
                    "came_high_min": _rounded(each.time.high_min, 1),
                    "within": each.covered,
                }
                for each in found.runs
            ]
        )
        return
    table(
        ["run", "body", "slab", "poured", "forecast", "90 % within", "came"],
        [
            [
                each.run,
                each.body or "?",
                each.slab,
                f"{each.started_at:%Y-%m-%d %H:%M}",
                show(each.forecast.median_min, "min", digits=0),
                interval(each.forecast.low_min, each.forecast.high_min, "min", digits=0, tight=True),
                f"{each.time.text()}{'' if each.covered else ' !'}",
            ]
            for each in found.runs
        ],
    )


def _forecast(each: Any) -> dict[str, Any]:
    found = {"run": each.run} if each.run is not None else {}
    return found | {
        "body": each.body,
        "slab": each.slab,
        "median_min": _rounded(each.median_min, 1),
        "low_min": _rounded(each.low_min, 1),
        "high_min": _rounded(each.high_min, 1),
        "level": each.level,
        "because": list(each.because),
    }


def _rounded(value: float | None, digits: int = 4) -> float | None:
    return None if value is None else round(value, digits)
