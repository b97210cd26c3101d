"""Questions about test pieces and clay in the hand: plasticity."""

from __future__ import annotations

from typing import Any

import typer

from claybench.cli.common import AsOf, Json, emit, moment, opened, say, table


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("plasticity")(plasticity)


def plasticity(
    context: typer.Context,
    batches: list[str] = typer.Argument(None, help="Codes of batches; all that were looked at where left out."),
    as_of: str | None = AsOf,
    as_json: bool = Json,
) -> None:
    """Liquid and plastic limit, the index between them, and water of plasticity, of dry mass."""
    from claybench.ask.plasticity import batch_plasticity, batches_with_points

    with opened(context) as lab:
        at = moment(lab, as_of)
        wanted = batches or batches_with_points(lab, as_of=at)
        found = [batch_plasticity(lab, code, as_of=at) for code in wanted]
    if as_json:
        emit([_plasticity(each) for each in found])
        return
    rows: list[list[str]] = []
    for page in found:
        rows += [[page.batch.batch, *row] for row in _rows(page.found)]
        for note in page.found.notes:
            say(f"{page.batch.batch}: {note}")
    table(["batch", "what", "% of dry mass", "how"], rows)


def _rows(found: Any) -> list[list[str]]:
    from claybench.insight.plasticity import method_words

    rows = [["liquid limit", f"{limit.water_pct:.1f}", method_words(limit)] for limit in found.limits]
    if found.plastic_pct is not None:
        how = f"threads rolled to 3.2 mm, mean of {found.threads} (ASTM D4318)"
        rows.append(["plastic limit", f"{found.plastic_pct:.1f}", how])
    if found.index_pct is not None:
        rows.append(["plasticity index", f"{found.index_pct:.1f}", f"by the {found.limits[0].method}"])
    if found.worked_at is not None:
        air = f", {found.worked_at.air_dry} of them air dry" if found.worked_at.air_dry else ""
        how = f"mean of {found.worked_at.pieces} pieces{air}"
        rows.append(["water of plasticity", f"{found.worked_at.mean_pct:.1f}", how])
    return rows


def _plasticity(page: Any) -> dict[str, Any]:
    from claybench.insight.plasticity import method_words

    found = page.found
    return {
        "batch": page.batch.batch,
        "liquid_limits": [
            {
                "water_pct": limit.water_pct,
                "method": limit.method,
                "axis": limit.axis,
                "points": limit.points,
                "sd_pct": limit.sd_pct,
                "how": method_words(limit),
            }
            for limit in found.limits
        ],
        "plastic_limit_pct": found.plastic_pct,
        "threads": found.threads,
        "plasticity_index_pct": found.index_pct,
        "water_of_plasticity": None
        if found.worked_at is None
        else {
            "mean_pct": found.worked_at.mean_pct,
            "sd_pct": found.worked_at.sd_pct,
            "pieces": found.worked_at.pieces,
            "air_dry": found.worked_at.air_dry,
        },
        "points": [
            {
                "at": point.reading.at,
                "what": point.reading.what,
                "count": point.reading.count,
                "value": point.reading.value,
                "water_pct": point.water_pct,
                "doubt": point.doubt or None,
            }
            for point in found.points
        ],
        "notes": list(found.notes),
    }
