"""`mix slab`, `slip`, `correct`, `blend`: sizing a slab, a batch, one that came out wrong, bodies between others."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import typer

from claybench import ask
from claybench.acts.field import ActField
from claybench.acts.from_sizing import (
    BLEND_FIELDS,
    CAST_FIELDS,
    CORRECTED_FIELDS,
    MIXED_FIELDS,
    blend_act,
    cast_act,
    corrected_act,
    mixed_act,
)
from claybench.cli.lab_context import lab_settings, opened, read_moment, settings_and_air
from claybench.cli.options import Anyway, AsOf, Is, Json
from claybench.cli.output import say, values_of, write_listing, write_plain_table
from claybench.cli.record_acts import Answers, record_act
from claybench.cli.sizing_options import TypedIn, with_inputs, write_sizing
from claybench.cli.state import named_lab
from claybench.errors import BadInput
from claybench.insight.sizing.requests import blend_request, blend_typed, correction_request, slab_request, slip_request
from claybench.insight.sizing.shelf import MaterialShelf
from claybench.insight.slab_water.sized_slab_dry_out import estimate_sized_dry_out
from claybench.mix.blends import blend_figures, size_blend
from claybench.mix.cautions import cautions_for
from claybench.mix.slab_figures import SLAB_FIGURES, STRENGTH_BY_RATIO, slab_figures, slabs_by_ratio
from claybench.mix.slab_sizing import size_slab
from claybench.mix.slip_correction import CORRECTION_FIGURES, correction_figures, dry_by_material, size_correction
from claybench.mix.slip_figures import SLIP_FIGURES, slip_figures
from claybench.mix.slip_sizing import size_slip
from claybench.quantity.shown import format_interval, plain, short_number, show
from claybench.terms.sizing import BLEND, CORRECTION, SLAB, SLIP


@with_inputs(SLIP.values(), MIXED_FIELDS, "Record the batch as mixed, under this code.")
def slip(
    context: typer.Context,
    typed: TypedIn,
    recorded: TypedIn,
    as_of: str | None = AsOf,
    is_: list[str] = Is,
    anyway: bool = Anyway,
    as_json: bool = Json,
) -> None:
    """A batch of slip: dry batch, water, slip, what to weigh, and how it lies on the slabs.

    How much has to be said: --pieces, --plastic or --dry. Everything else has the default of the screen's form.
    """
    body = typed.get("body")
    if (body is None) == ("parts" not in typed):
        raise BadInput(
            "Give either --body or --part.", "As in --body W-01, or --part 'kaolin 30' --part 'feldspar 70'."
        )
    if body is None and recorded:
        raise BadInput("A batch is recorded of a body of the lab.", "Use --body in place of --part.")
    known = _recipe(context, body, as_of) if body is not None else None
    if known is not None:
        request = slip_request(typed, known, by_option=True)
    else:
        request = slip_request(typed, None, lab_settings(context), _shelf(context), by_option=True)
    sized = size_slip(request)
    if recorded and known is not None:
        with opened(context) as lab:
            code = record_act(lab, mixed_act(sized, known.body.body), recorded, Answers(anyway, is_, as_json))
        say(f"Recorded batch {code}.")
    times = {} if known is None else {
        fit.slab: known.time_on(fit.slab, fit.layer_mm, sized.slip_sg)
        for fit in sized.slabs if "slab_area_cm2" not in typed
    }  # fmt: skip
    _write_lines(sized, times, as_json)
    write_sizing(slip_figures(sized), SLIP_FIGURES, sized.cautions, _extra(sized, times), as_json, sized.questions)


def _write_lines(sized: Any, times: dict[str, Any], as_json: bool) -> None:
    if as_json:
        return
    write_plain_table(
        ["weigh", "lot", "grams", "dose, of the body's dry mass"],
        [
            *[[line.material, line.lot or "", short_number(line.rounded_g, 7), line.basis] for line in sized.lines],
            ["water", "", short_number(sized.water_weighed_g, 7), ""],
        ],
    )
    if sized.slabs:
        write_listing(
            sized.slabs,
            ("slab", lambda fit: fit.slab),
            ("takes it", lambda fit: fit.takes),
            ("pours", lambda fit: str(fit.pours)),
            ("depth", lambda fit: show(fit.layer_mm, "mm", digits=1)),
            ("workable after, min", lambda fit: _interval_text(times.get(fit.slab))),
            ("because", lambda fit: fit.because),
        )


def _interval_text(forecast: Any) -> str:
    return (
        ""
        if forecast is None
        else f"{plain(forecast.median_min, 0)} ({format_interval(forecast.low_min, forecast.high_min, digits=0)})"
    )


def _extra(sized: Any, times: dict[str, Any]) -> dict[str, Any]:
    return {
        "lines": [
            {
                **values_of(line, "material", "lot", "dry_g", "error_pct"),
                "weigh_g": line.rounded_g,
                "dose": line.basis or None,
            }
            for line in sized.lines
        ],
        "slabs": [
            {
                **values_of(fit, "slab", "takes", "pours", "layer_mm", "because"),
                "workable_min": _time_json(times.get(fit.slab)),
            }
            for fit in sized.slabs
        ],
    }


def _time_json(forecast: Any) -> dict[str, Any] | None:
    if forecast is None:
        return None
    return {
        "median": forecast.median_min,
        "low": forecast.low_min,
        "high": forecast.high_min,
        "why": list(forecast.because),
    }


def _recipe(context: typer.Context, body: str, as_of: str | None) -> Any:
    with opened(context) as lab:
        return ask.sizing_start.body_recipe(lab, body, as_of=read_moment(lab, as_of))


def _shelf(context: typer.Context) -> Any:
    """What the lab that was named knows of the materials; nothing where none was."""
    if named_lab(context) is None:
        return MaterialShelf()
    with opened(context) as lab:
        return ask.sizing_start.lab_shelf(lab)


_LOGGED = (
    ActField(name="record", label="record", kind="yesno", option="record"),
    *(field for field in CORRECTED_FIELDS if field.name != "batch"),
)


@with_inputs(CORRECTION.values(), _LOGGED, "Log with the batch what was added, which is what is worked out here.")
def correct(
    context: typer.Context, typed: TypedIn, recorded: TypedIn, anyway: bool = Anyway, as_json: bool = Json
) -> None:
    """Slip that came out too thick or too thin: water or dry body to add."""
    held = slip = None
    if "batch" in typed:
        with opened(context) as lab:
            held, slip = ask.sizing_start.slip_of_batch(lab, typed["batch"])
    settings = lab_settings(context)
    sized = size_correction(
        correction_request(typed, slip, held.slip_sg if held is not None else None, settings, by_option=True)
    )
    if recorded:
        if held is None:
            raise BadInput("Which batch was corrected is not given.", "Name it: --batch.", field="--batch")
        asked = {name: text for name, text in recorded.items() if name != "record"}
        with opened(context) as lab:
            record_act(lab, corrected_act(sized), {**asked, "batch": held.batch}, Answers(anyway, as_json=as_json))
        say(f"Logged with batch {held.batch}.")
    extra: dict[str, Any] = {"nothing_to_do": sized.nothing_to_do}
    if sized.add_dry_g is not None and slip is not None:
        shares = dry_by_material(sized.add_dry_g, slip.lines)
        extra["add"] = [{"material": name, "dry_g": mass} for name, mass in shares]
    cautions = cautions_for("mix_slip")
    write_sizing(correction_figures(sized), CORRECTION_FIGURES, cautions, extra, as_json, sized.questions)


@with_inputs(BLEND.values(), BLEND_FIELDS, "Record the mixtures as bodies, their codes beginning with this.")
def blend(
    context: typer.Context,
    typed: TypedIn,
    recorded: TypedIn,
    bodies: list[str] = typer.Argument(..., help="Two bodies of the lab for a line, three for a triangle."),
    is_: list[str] = Is,
    anyway: bool = Anyway,
    as_json: bool = Json,
) -> None:
    """A line or a triangle between bodies: what to take of each, by volume of slip or by dry mass."""
    weights = typed.pop("sg", "").split(";") if "sg" in typed else []
    if weights and len(weights) != len(bodies):
        raise BadInput(f"{len(weights)} slips for {len(bodies)} bodies.", "Give --sg once for each body.", field="--sg")
    with opened(context) as lab:
        slips = [ask.sizing_start.body_slip(lab, code) for code in bodies]
    sized = size_blend(blend_request(blend_typed(typed, weights), slips, lab_settings(context), by_option=True))
    if recorded:
        with opened(context) as lab:
            name = record_act(lab, blend_act(sized, slips), recorded, Answers(anyway, is_, as_json))
        say(f"Recorded set {name}.")
    by_slip = sized.total_slip_ml is not None
    if not as_json:
        write_plain_table(
            ["no", *(f"{name}, {'mL' if by_slip else 'g'}" for name in sized.request.bodies), "shares of dry mass, %"],
            [
                [
                    str(number),
                    *(plain(take, 0) for take in (each.slip_ml or each.dry_g)),
                    " : ".join(short_number(100 * share, 3) for share in each.shares),
                ]
                for number, each in enumerate(sized.blends, 1)
            ],
        )
    blends = [{"shares": each.shares, "dry_g": each.dry_g, "slip_ml": each.slip_ml} for each in sized.blends]
    write_sizing(blend_figures(sized), {}, cautions_for("mix_slip"), {"blends": blends}, as_json, sized.questions)


@with_inputs(SLAB.values(), CAST_FIELDS, "Record the slab as cast, under this code; several with commas between.")
def slab(
    context: typer.Context,
    typed: TypedIn,
    recorded: TypedIn,
    anyway: bool = Anyway,
    as_json: bool = Json,
) -> None:
    """A plaster slab: plaster and water, masses, capacity, portions, buckets and the lift."""
    lab, airs = settings_and_air(context)
    sized = size_slab(slab_request(typed, lab, *airs, by_option=True))
    if recorded:
        with opened(context) as held:
            codes = record_act(held, cast_act(sized), recorded, Answers(anyway, as_json=as_json))
        say(f"Recorded slab{'s' if sized.request.count > 1 else ''} {codes}.")
    portions = [asdict(portion) for mix in sized.mixes for portion in mix.plaster_portions]
    water_portions = [asdict(portion) for mix in sized.mixes for portion in mix.water_portions]
    if not as_json:
        write_plain_table(
            ["weigh in", "grams", "scale shows"],
            [
                [one.what, short_number(one.mass_g, 12), short_number(one.reading_g, 12)]
                for mix in sized.mixes
                for one in (*mix.water_portions, *mix.plaster_portions)
            ],
        )
    lifts = [
        asdict(each)
        | {"words": each.words, "recommended_kg": each.recommended_kg, "lifting_index": each.index(sized.full_g / 1000)}
        for each in sized.lifts
    ]
    extra = {"portions": portions, "water_portions": water_portions, "lift": sized.lift, "lifts": lifts}
    extra |= _figures_beside(sized, airs, lab, as_json)
    write_sizing(slab_figures(sized), SLAB_FIGURES, sized.cautions, extra, as_json, sized.questions)


def _figures_beside(sized: Any, airs: tuple[Any, Any], lab: Any, as_json: bool) -> dict[str, Any]:
    """Days to dry in room and fan, and the same slab at other mix ratios."""
    by_ratio = slabs_by_ratio(sized.volume_ml)
    ratios = [each.as_row() for each in by_ratio]
    dry_out: dict[str, Any] = {}
    for name, air in zip(("room", "fan"), airs, strict=True):
        drying = estimate_sized_dry_out(sized, air, lab)
        dry = drying.dry
        days = [None if each is None else each / 24 for each in (dry.dry_at_h, dry.dry_low_h, dry.dry_high_h)]
        dry_out[name] = {"days": days[0], "low": days[1], "high": days[2], "air": asdict(air)}
        dry_out[name] |= {"takes_g": drying.takes_g, "ready_again_h": drying.ready_h, "why": list(drying.why)}
    if not as_json:
        write_listing(
            by_ratio,
            ("mix ratio", lambda each: short_number(each.mix_ratio)),
            ("plaster", lambda each: show(each.plaster_g, "g", digits=0)),
            ("dry slab", lambda each: show(each.dry_g / 1000, "kg", digits=2)),
            ("takes up", lambda each: show(each.capacity_g, "g", digits=0)),
            ("dry strength", lambda each: each.strength_text),
        )
        say(STRENGTH_BY_RATIO)
        write_listing(
            dry_out.items(),
            ("dries out", lambda each: each[0]),
            ("days", lambda each: short_number(each[1]["days"], 2)),
            ("90 %", lambda each: f"{short_number(each[1]['low'], 2)} to {short_number(each[1]['high'], 2)}"),
            ("ready again after", lambda each: show(each[1]["ready_again_h"], "h", digits=0)),
            ("having taken", lambda each: show(each[1]["takes_g"], "g", digits=0)),
        )
    return {"ratios": ratios, "dry_out": dry_out}
