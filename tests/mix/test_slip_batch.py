"""A batch of slip from pieces to water: masses kept, every base named, what cannot be mixed refused."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, strategies as st

from claybench.errors import BadInput, OutOfRange
from claybench.mix.slip_figures import SLIP_FIGURES, slip_figures
from claybench.mix.slip_request import Addition, BodyPart, PieceWanted, SlabState, SlipRequest
from claybench.mix.slip_sizing import size_slip

BUFF = (
    BodyPart(material="ball clay", parts=50, specific_gravity=2.6, moisture_pct=4, price_per_kg=0.8),
    BodyPart(material="fire clay", parts=30, specific_gravity=2.65, price_per_kg=0.5),
    BodyPart(material="feldspar", parts=20, specific_gravity=2.56, price_per_kg=1.2),
)
PLAIN = SlipRequest(body=BUFF, plastic_g=5000, workable_water_pct=25, loss_pct=0)

names = st.sampled_from(["ball clay", "fire clay", "feldspar", "quartz"])
parts = st.builds(
    BodyPart,
    material=names,
    parts=st.floats(1, 100),
    specific_gravity=st.one_of(st.none(), st.floats(2.3, 3)),
    moisture_pct=st.one_of(st.none(), st.floats(0, 20)),
    price_per_kg=st.one_of(st.none(), st.floats(0, 5)),
)
requests = st.builds(
    SlipRequest,
    body=st.lists(parts, min_size=1, max_size=4).map(tuple),
    plastic_g=st.floats(500, 50_000),
    workable_water_pct=st.one_of(st.none(), st.floats(15, 45)),
    loss_pct=st.floats(0, 20),
    slip_sg=st.floats(1.2, 1.5),
    scale_step_g=st.sampled_from([0.1, 1.0]),
    max_rounding_pct=st.just(50.0),
    weighing_bucket_g=st.one_of(st.none(), st.floats(300, 5000)),
)


@given(requests)
def test_masses_are_conserved(request: SlipRequest) -> None:
    sized = size_slip(request)
    assert math.fsum(line.dry_g for line in sized.lines) == pytest.approx(sized.dry_g)
    moist = math.fsum(line.moist_g for line in sized.lines)
    assert moist + sized.water_to_add_g == pytest.approx(sized.slip_g)
    assert sized.slip_g == pytest.approx(sized.slip_ml * sized.slip_sg)
    assert sized.slip_sg == pytest.approx(request.slip_sg)
    after = sized.slip_g - sized.give_up_g
    assert after == pytest.approx(sized.plastic_g)
    assert after * (1 - request.loss_pct / 100) == pytest.approx(request.plastic_g)


@given(requests)
def test_weighings_add_up_and_fit_the_bucket(request: SlipRequest) -> None:
    sized = size_slip(request)
    weighed = math.fsum(portion.mass_g for portion in sized.weighings)
    assert weighed == pytest.approx(math.fsum(line.rounded_g for line in sized.lines))
    reading: dict[int, float] = {}
    for portion in sized.weighings:
        reading[portion.fill] = reading.get(portion.fill, 0.0) + portion.mass_g
        assert portion.reading_g == pytest.approx(reading[portion.fill])
        assert request.weighing_bucket_g is None or portion.reading_g <= request.weighing_bucket_g + 1e-6
    for line in sized.lines:
        assert abs(line.rounded_g - line.moist_g) <= request.scale_step_g / 2 + 1e-6


@given(requests)
def test_dry_mass_forward_is_plastic_mass_backward(request: SlipRequest) -> None:
    forward = size_slip(request)
    back = size_slip(replace(request, plastic_g=None, dry_g=forward.dry_g))
    assert back.plastic_g == pytest.approx(forward.plastic_g)
    assert back.water_to_add_g == pytest.approx(forward.water_to_add_g)
    by_share = size_slip(replace(request, slip_sg=None, water_per_dry=forward.water_per_dry))
    assert by_share.slip_sg == pytest.approx(forward.slip_sg)


@given(requests)
def test_every_figure_is_named_explained_and_equal_to_the_sizing(request: SlipRequest) -> None:
    slabs = (SlabState(slab="P1", usable_area_cm2=1500),)
    sized = size_slip(replace(request, slabs=slabs, layer_mm=8))
    for name, figure in slip_figures(sized).items():
        if name.startswith("weigh."):
            known = f"weigh.MATERIAL.{name.rsplit('.', 1)[1]}"
        elif name.startswith("slab."):
            known = f"slab.SLAB.{name.rsplit('.', 1)[1]}"
        else:
            known = name
        assert figure.unit == SLIP_FIGURES[known][1], name
        assert figure.why.result == figure.value and figure.why.lines()
        assert figure.low is None or figure.low <= figure.value <= (figure.high or 0), name
        own = getattr(sized, name, None)
        if isinstance(own, float):
            assert figure.value == pytest.approx(own, rel=1e-9), name


def test_pieces_are_counted_back_to_dry_clay() -> None:
    """Worked by hand: 2 firings × (5 + 1) bars of 120 × 25 × 12 mm = 36 mL at 2.0 g/mL is 864 g."""
    bars = PieceWanted(count=5, spares=1, length_mm=120, width_mm=25, thickness_mm=12)
    request = replace(PLAIN, plastic_g=None, pieces=(bars,), firings=2, plastic_density=2.0, loss_pct=10)
    sized = size_slip(request)
    assert sized.pieces_g == pytest.approx(864)
    assert sized.plastic_g == pytest.approx(960)
    assert sized.dry_g == pytest.approx(768)


def test_discs_and_weighed_pieces_count_too() -> None:
    disc = PieceWanted(shape="disc", count=2, length_mm=100, thickness_mm=10)
    lump = PieceWanted(shape="cup", count=3, plastic_g=250)
    sized = size_slip(replace(PLAIN, plastic_g=None, pieces=(disc, lump), plastic_density=2.0))
    assert sized.pieces_g == pytest.approx(2 * math.pi * 25 * 2 + 750)


def test_moist_lots_bring_water_and_weigh_more() -> None:
    """Worked by hand: 1000 g dry at 4 % of moist mass is 1041.67 g and brings 41.67 g."""
    request = replace(PLAIN, plastic_g=None, dry_g=2000)
    sized = size_slip(request)
    clay = sized.lines[0]
    assert clay.moist_g == pytest.approx(1041.667, abs=0.001)
    assert clay.rounded_g == 1042 and clay.error_pct == pytest.approx(0.032, abs=0.001)
    assert sized.lot_water_g == pytest.approx(41.667, abs=0.001)
    assert sized.cost == pytest.approx(1.041667 * 0.8 + 0.6 * 0.5 + 0.4 * 1.2)


def test_a_missing_price_is_named_rather_than_counted_as_nothing() -> None:
    sized = size_slip(replace(PLAIN, body=(*BUFF, BodyPart(material="quartz", parts=5))))
    assert sized.cost is None and sized.unpriced == ("quartz",)


def test_additions_lie_on_top_and_a_solution_brings_its_water() -> None:
    silicate = Addition(material="sodium silicate", pct_of_dry=0.4, moisture_pct=60, deflocculant=True)
    sized = size_slip(replace(PLAIN, additions=(silicate,), scale_step_g=0.1, slip_sg=1.77))
    line = sized.lines[-1]
    assert line.addition and line.moist_g == pytest.approx(sized.dry_g * 0.004 / 0.4)
    assert sum(each.dry_g for each in sized.lines if not each.addition) == pytest.approx(sized.dry_g)
    assert any("caustic" in caution.text for caution in sized.cautions)
    assert not any("hardly pour" in caution.text for caution in sized.cautions)


def test_thick_slip_without_a_deflocculant_is_warned_of() -> None:
    assert any("hardly pour" in caution.text for caution in size_slip(replace(PLAIN, slip_sg=1.77)).cautions)


def test_a_body_of_its_own_leaves_nothing_open_and_defaults_do() -> None:
    assert slip_figures(size_slip(PLAIN))["water_to_add_g"].low is None
    vague = slip_figures(size_slip(replace(PLAIN, workable_water_pct=None)))
    assert (vague["workable_water_pct"].low, vague["workable_water_pct"].high) == (20, 35)
    assert vague["dry_g"].low == pytest.approx(5000 / 1.35)
    assert vague["dry_g"].high == pytest.approx(5000 / 1.20)


RIMMED = SlabState(slab="P1", usable_area_cm2=2000, rim_mm=25, family="buff")


def _fit(**changed: Any) -> Any:
    request = replace(PLAIN, family="buff", slabs=(replace(RIMMED, **changed),), layer_mm=10)
    return size_slip(request).slabs[0]


def test_a_slab_with_room_takes_the_layer() -> None:
    fit = _fit(capacity_left_g=9000)
    assert fit.takes == "yes" and "9 000 g or more" in fit.because
    assert fit.pours == math.ceil(fit.all_at_once_mm / 10 - 0.02)
    assert fit.layer_mm * fit.pours == pytest.approx(fit.all_at_once_mm)
    assert "between the" in fit.because


def test_a_slab_without_room_says_which_layer_would_do() -> None:
    fit = _fit(capacity_left_g=300)
    assert fit.takes == "no"
    thinner = float(fit.because.split("layer of ")[1].split(" mm")[0])
    assert thinner == pytest.approx(fit.layer_mm * 300 / fit.water_each_g, abs=0.05)
    assert "dry it first" in _fit(capacity_left_g=0).because


def test_a_slab_not_known_well_enough_is_unknown_not_yes() -> None:
    assert _fit().takes == "unknown"
    fit = _fit(capacity_left_g=1500, capacity_left_low_g=100, capacity_left_high_g=9000)
    assert fit.takes == "unknown" and "weigh the slab" in fit.because


def test_a_bare_slab_needs_a_frame_for_deep_slip() -> None:
    fit = _fit(capacity_left_g=9000, rim_mm=0)
    assert fit.takes == "no" and "frame" in fit.because
    layers = int(fit.because.split("pour ")[1].split(" layers")[0])
    assert layers == math.ceil(fit.all_at_once_mm / 4 - 0.02)


def test_a_slab_of_another_family_does_not_suit() -> None:
    assert _fit(capacity_left_g=9000, family="white").takes == "no"
    assert _fit(capacity_left_g=9000, family="BUFF").takes == "yes"


def test_when_no_slab_suits_the_nearest_is_named() -> None:
    slabs = (replace(RIMMED, capacity_left_g=300), replace(RIMMED, slab="P2"))
    request = replace(PLAIN, slabs=slabs, layer_mm=10)
    assert any("Nearest: P2" in caution.text for caution in size_slip(request).cautions)


BAD: list[tuple[dict[str, Any], str, str]] = [
    ({"body": ()}, "body", "at least one"),
    ({"body": (BodyPart(material=" ", parts=5),)}, "material", "Name it"),
    ({"body": (BodyPart(material="clay", parts=0),)}, "parts", "add up to nothing"),
    ({"body": (BodyPart(material="clay", parts=-5),)}, "parts", "less than nothing"),
    ({"body": (BodyPart(material="clay", parts=98),), "parts_sum": 100}, "parts", "2 are missing"),
    ({"body": (BodyPart(material="clay", parts=100, moisture_pct=100),)}, "moisture_pct", "moist mass"),
    (
        {"body": (BodyPart(material="clay", parts=100, specific_gravity=26),)},
        "specific_gravity",
        "between 2 and 3",
    ),
    ({"plastic_g": None}, "pieces", "not given"),
    ({"dry_g": 100}, "dry_g", "twice"),
    ({"plastic_g": 0}, "plastic_g", "grams"),
    ({"slip_sg": 1.4, "water_per_dry": 1}, "water_per_dry", "one of them"),
    ({"water_per_dry": 125}, "water_per_dry", r"125 % is 1\.25"),
    ({"water_per_dry": 0.22}, "water_per_dry", "stiffer than workable"),
    ({"slip_sg": 1450}, "slip_sg", r"1\.45"),
    ({"slip_sg": 2.7}, "slip_sg", "the dry clay"),
    ({"workable_water_pct": 0.25}, "workable_water_pct", "Perhaps 25 %"),
    ({"loss_pct": 95}, "loss_pct", "50"),
    ({"layer_mm": 0}, "layer_mm", "5 to 20"),
    ({"mixing_bucket_ml": 20}, "mixing_bucket_ml", "larger bucket"),
    (
        {"plastic_g": None, "pieces": (PieceWanted(length_mm=100, width_mm=20),)},
        "thickness_mm",
        "needs its thickness",
    ),
    ({"plastic_g": None, "pieces": (PieceWanted(shape="cup"),)}, "shape", "plastic mass"),
    ({"plastic_g": None, "pieces": (PieceWanted(count=0, plastic_g=5),)}, "count", "1 or more"),
]


@pytest.mark.parametrize(("changed", "field", "says"), BAD, ids=[f"{field}-{i}" for i, (_, field, _) in enumerate(BAD)])
def test_what_cannot_be_is_refused_in_a_sentence(changed: dict[str, Any], field: str, says: str) -> None:
    with pytest.raises(BadInput, match=says) as refused:
        size_slip(replace(PLAIN, **changed))
    assert refused.value.field == field
    assert refused.value.reason.endswith(".") and refused.value.remedy.endswith(".")


def test_lots_wetter_than_the_slip_name_the_slip_they_make() -> None:
    wet = tuple(replace(part, moisture_pct=30.0) for part in BUFF)
    request = replace(PLAIN, body=wet, slip_sg=1.9)
    with pytest.raises(OutOfRange, match="The thickest they make") as refused:
        size_slip(request)
    nearest = float(refused.value.remedy.split("gravity ")[1].split(",")[0])
    assert size_slip(replace(request, slip_sg=nearest - 0.001)).water_to_add_g == pytest.approx(0, abs=20)


def test_rounding_above_the_stated_share_is_refused_with_what_would_do() -> None:
    oxide = BodyPart(material="iron oxide", parts=0.3, specific_gravity=5)
    request = replace(PLAIN, plastic_g=None, dry_g=1500, body=(*BUFF, oxide), max_rounding_pct=2)
    with pytest.raises(OutOfRange, match="iron oxide") as refused:
        size_slip(request)
    step = float(refused.value.remedy.split("steps of ")[1].split(" g")[0])
    batch = float(refused.value.remedy.split("make ")[1].split(" g")[0].replace(" ", ""))
    assert size_slip(replace(request, scale_step_g=step)).worst_error_pct <= 2
    assert size_slip(replace(request, dry_g=batch + 1)).worst_error_pct <= 2
