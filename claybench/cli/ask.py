"""Questions: slabs, forecast."""

from __future__ import annotations

from typing import Any

import typer

from claybench.cli.common import AsOf, Csv, Json, emit, emit_csv, moment, opened, quantity, table


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("slabs")(slabs)
    app.command("forecast")(forecast)


def slabs(context: typer.Context, as_of: str | None = AsOf, as_json: bool = Json, as_csv: bool = Csv) -> None:
    """Every slab not retired: wetness, verdict, evidence, advice."""
    from claybench.ask.slabs import slab_list

    with opened(context) as lab:
        found = slab_list(lab, as_of=moment(lab, as_of))
    if as_json or as_csv:
        (emit_csv if as_csv else emit)([_slab(each) for each in found])
        return
    rows = []
    for each in found:
        wet = each.wetness
        sure = "–"
        if wet.now is not None and wet.low is not None and wet.high is not None:
            sure = f"{100 * wet.now:.0f} % ({100 * wet.low:.0f}–{100 * wet.high:.0f})"
        rows.append(
            [
                each.slab.slab,
                each.slab.family or "–",
                each.state.replace("_", " "),
                each.verdict or "–",
                sure,
                each.advice,
            ]
        )
    table(["slab", "family", "state", "verdict", "wetness", "advice"], rows)


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
    as_of: str | None = AsOf,
    as_json: bool = Json,
    as_csv: bool = Csv,
) -> None:
    """When a layer would first feel workable, with its 90 % interval, in minutes after the pour."""
    from claybench.ask.runs import forecasts
    from claybench.ask.where import USUAL_MM, forecast_layers
    from claybench.errors import BadInput

    if sum((open_, bool(run), bool(body))) != 1:
        raise BadInput("Say which layers: --open, --run R, or --body B.", "One of the three.")
    with opened(context) as lab:
        at = moment(lab, as_of)
        if body:
            depths = [quantity(each, "mm", "--layer") or USUAL_MM for each in layer]
            thought_of = forecast_layers(lab, body, slab, depths, as_of=at)
            found = [each.forecast for each in thought_of if each.forecast is not None]
        else:
            thought_of = []
            found = forecasts(lab, None if open_ else run, as_of=at)
    if as_json or as_csv:
        extra = [{"layer_mm": each.depth_mm, "not_now": each.not_now or None} for each in thought_of]
        (emit_csv if as_csv else emit)(
            [_forecast(one) | more for one, more in zip(found, extra or [{}] * len(found), strict=True)]
        )
        return
    rows = []
    for index, each in enumerate(found):
        of = thought_of[index] if thought_of else None
        rows.append(
            [
                each.run or "",
                each.body or "?",
                each.slab,
                f"{of.depth_mm:g} mm" if of else "",
                f"{each.median_min:.0f} min",
                f"{each.low_min:.0f}–{each.high_min:.0f} min",
                "; ".join(filter(None, (of.words if of else "", *each.because))),
            ]
        )
    table(["run", "body", "slab", "depth", "about", "90 % within", "because"], rows)


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
