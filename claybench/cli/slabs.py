"""`slabs`: the state of every slab."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import typer

from claybench import ask
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import AsOf, Csv, Json
from claybench.cli.output import emit_rows, round_known, say, write_plain_table
from claybench.insight import unusable_rows
from claybench.quantity.shown import format_interval, percent

if TYPE_CHECKING:
    from claybench.insight.slab_condition.verdict import SlabVerdict


def slabs(context: typer.Context, as_of: str | None = AsOf, as_json: bool = Json, as_csv: bool = Csv) -> None:
    """Every slab not retired: wetness, verdict, evidence, advice."""
    with opened(context) as lab:
        states, faults = ask.slabs.slabs_and_faults(lab, as_of=read_moment(lab, as_of))
    if faults:
        say(f"{unusable_rows.describe_faulty_rows(faults)}. See: claybench faulty")
    if as_json or as_csv:
        emit_rows([_slab_json(each) for each in states], as_csv)
        return
    rows = [
        [
            each.slab.slab,
            each.slab.family or "–",
            each.state.replace("_", " "),
            each.verdict or "–",
            _wetness_text(each),
            each.layer.grade,
            each.advice,
        ]
        for each in states
    ]
    write_plain_table(["slab", "family", "state", "verdict", "wetness", "a layer", "advice"], rows, "No slab yet.")


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
            {
                "kind": one.kind,
                "face": one.face,
                "since": one.since,
                "strength": round_known(one.strength),
                "text": one.text,
            }
            for one in each.evidence
        ],
        "advice": each.advice,
        "ready_at": each.again.ready_at,
        "dry_at": each.again.dry_at,
        "layer": {"grade": each.layer.grade, "reasons": list(each.layer.texts)},
    }
