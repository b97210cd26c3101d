"""Readings of the lab's own properties, of anything: what is asked follows from the declaration."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from claybench.acts.act import part_named_values, perform
from claybench.acts.field import ActField
from claybench.acts.reading_tools import instruments_of_inputs, steps_of_inputs
from claybench.acts.readings import MEASURE_OF, own_reading_act, readable_property
from claybench.ask.record_values import own_readings_of
from claybench.errors import BadInput, Unanswered
from claybench.insight.reading_sets import next_together
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.declaration import Input, Property
from claybench.measure.properties.property_set import PropertySet
from claybench.record.opening import open_lab
from claybench.terms import Instrument, Measurement
from tests.acts.bench import NOW, PROPERTIES, make_bench
from tests.cli.conftest import Command

STRENGTH = Property(
    name="strength", title="strength", of="slab", unit="MPa", formula="at ÷ side_mm²", own=True,
    inputs=(Input(name="at", unit="N"), Input(name="side_mm", unit="mm"), Input(name="k", low=2.0, high=2.0)),
)  # fmt: skip


def names(name: str, of: str) -> list[str]:
    """What the form of a property asks, but for what and how."""
    fields = own_reading_act(readable_property(name, of, PROPERTIES), PROPERTIES).names
    return [each for each in fields if each not in ("of", "code", "property", "at", "by", "method", "note")]


def test_what_is_asked_follows_from_the_declaration() -> None:
    assert names("hardness", "slab") == ["hardness", "instrument", "step"]
    assert names("Sieve residue", "lot") == ["left_g", "sieved_g", "residue_pct", "instrument", "step", "together"]
    assert names("soot", "firing") == ["soot"]
    assert names("gloss", "fired") == ["firing", "gloss"]
    score = own_reading_act(PROPERTIES["soot"], PROPERTIES).field("soot")
    said = {text: score.understand(text, NOW) for text in ("3", "4", "2.5", "6")}
    assert (said["3"].value, said["3"].echo) == (3, "= some") and said["4"].echo == "= between some and black"
    assert "whole number" in said["2.5"].wrong and "5 or less" in said["6"].wrong
    assert "1 none, 3 some, 5 black" in score.note


def test_what_a_reading_is_of_stays_what_it_is_in_the_form_that_corrects_it() -> None:
    field = ActField.of_column(Measurement, "what", "hardness")
    assert field.text == "hardness" and field.words[0] == "hardness" and "plastic_mm" in field.words
    assert field.understand(field.text, NOW).value == "hardness"
    assert ActField.of_column(Measurement, "what", "dry_mm").words.count("dry_mm") == 1


def test_an_input_called_like_a_field_of_the_act_has_a_field_of_its_own_and_a_constant_has_none() -> None:
    properties = PropertySet([*BUILT_IN.values(), STRENGTH])
    act = own_reading_act(STRENGTH, properties)
    assert [each for each in act.names if each in ("at_read", "at", "side_mm", "k")] == ["at_read", "side_mm", "at"]
    assert len(set(act.names)) == len(act.names)


@pytest.mark.parametrize(
    ("name", "of", "said"),
    [
        ("soot", "slab", "There is hardness"),
        ("hardness", "body", "claybench property NAME --of body"),
        ("bulk_density", "lot", "There is residue_pct"),
    ],
)
def test_a_property_that_is_not_declared_of_such_things_is_refused(name: str, of: str, said: str) -> None:
    with pytest.raises(BadInput) as refused:
        readable_property(name, of, PROPERTIES)
    assert said in refused.value.remedy


def test_values_come_by_name_or_in_the_order_of_the_form() -> None:
    act = own_reading_act(PROPERTIES["residue_pct"], PROPERTIES)
    assert part_named_values(MEASURE_OF, act, ["sieved_g=100 g", "2 g"]) == {"sieved_g": "100 g", "left_g": "2 g"}
    for said in (["weight=2"], ["left_g=2", "left_g=3"], ["1", "2", "3", "4"]):
        with pytest.raises(BadInput, match="not read here|too many"):
            part_named_values(MEASURE_OF, act, said)


def test_steps_and_instruments_go_to_what_has_their_unit() -> None:
    load, side = Input(name="load_n", unit="N"), Input(name="side_mm", unit="mm")
    assert steps_of_inputs("0,5 N; 0.1 mm", [load, side]) == {"load_n": 0.5, "side_mm": 0.1}
    assert steps_of_inputs("0.01 cm", [side]) == {"side_mm": pytest.approx(0.1)} and steps_of_inputs(None, [side]) == {}
    for typed, said in (("0.1", "Of which"), ("1 kg", "no step of what was read"), ("0 N", "more than nothing")):
        with pytest.raises(BadInput, match=said):
            steps_of_inputs(typed, [load, side])
    units = {"press": "kN", "C1": "mm", "any": None, "odd": "no unit"}
    held = [Instrument(instrument=name, unit=unit) for name, unit in units.items()]
    assert instruments_of_inputs("c1, any", [load, side], held) == {"load_n": "any", "side_mm": "C1"}
    assert instruments_of_inputs("press", [load, side], held) == {"load_n": "press"}
    for typed, said in (("C2", "no instrument 'C2'"), ("press, C1", "Nothing here is read with press")):
        with pytest.raises(BadInput, match=said):
            instruments_of_inputs(typed, [side], held)


def test_a_set_that_lacks_a_reading_is_filled_before_another_begins() -> None:
    residue = PROPERTIES["residue_pct"]

    def read(what: str, together: str | None) -> Measurement:
        return Measurement(lot="L-1", at=NOW, what=what, value=2.0, together=together)

    one = [read("left_g", "1"), read("sieved_g", "1")]
    assert next_together(residue, [], PROPERTIES) == "1" and next_together(residue, one, PROPERTIES) == "2"
    assert next_together(residue, [*one, read("left_g", "2")], PROPERTIES) == "2"
    unnumbered = [read("left_g", None), read("sieved_g", None)]
    assert next_together(residue, unnumbered, PROPERTIES) == "2"
    # a number that readings for another property share is not taken for these
    assert next_together(residue, [*one, read("other_g", "4")], PROPERTIES) == "5"
    assert next_together(PROPERTIES["hardness"], one, PROPERTIES) == ""


def test_a_command_records_and_another_tells_it_with_why(lab_path: Path, command: Command) -> None:
    lab = ("--lab", make_bench(lab_path))
    first = command("measure-of", "lot", "l-1", "residue_pct", "2 g", "0.1 kg", "--step", "0.1 g", "--json", *lab).json
    values = {name: first["values"][name] for name in ("left_g", "sieved_g", "together", "step")}
    assert values == {"left_g": 2.0, "sieved_g": 100.0, "together": "1", "step": "0.1 g"} and first["code"] == "L-1"
    assert command("measure-of", "lot", "L-1", "residue_pct", "sieved_g=50 g", *lab).code == 0
    assert "still to be read: left_g" in command("measured", "lot", "L-1", *lab).out
    odd = command("measure-of", "lot", "L-1", "residue_pct", "20", *lab)  # with the 50 g read before
    assert odd.code == 7 and "would be 40.0 %; 0 to 5 % is usual" in odd.err
    cannot = command("measure-of", "lot", "L-1", "residue_pct", "60", *lab)
    assert cannot.code == 7 and "would be 120.0 %" in cannot.err
    assert command("measure-of", "lot", "L-1", "residue_pct", "2", *lab).code == 0
    assert command("measure-of", "lot", "L-1", "residue_pct", "residue_pct=1.5 %", *lab).code == 0
    page = command("measured", "lot", "L-1", "--json", *lab).json["properties"]
    (residue,) = page
    assert residue["n"] == 3 and residue["mean"] == pytest.approx((2.0 + 4.0 + 1.5) / 3)
    assert [each["value"] for each in residue["sets"]] == [2.0, 4.0, 1.5]
    assert residue["sets"][0]["why"][0] == "sieve residue = 100 × left g ÷ sieved g"
    assert [each["step"] for each in residue["sets"][0]["readings"]] == [0.1, 0.1]
    empty = command("measure-of", "lot", "L-1", "residue_pct", *lab)
    assert empty.code == 2 and "Nothing is read" in empty.err
    assert command("undo", *lab).code == 0
    assert command("measured", "lot", "L-1", "--json", *lab).json["properties"][0]["n"] == 2
    assert command("measure-of", "fired", "K3", "gloss", "satin", *lab).code == 2  # it was in no firing
    fired = command("measure-of", "fired", "K7", "gloss", "satin", "--json", *lab).json  # it was in one only
    assert fired["label"] == "Read gloss of piece K7" and fired["values"]["firing"] == "F1"
    assert "satin" in command("measured", "piece", "K7", *lab).out
    none = command("measured", "body", "W-1", *lab)
    assert none.code == 0 and "claybench property NAME --of body" in none.err
    assert "no slab 'P77'" in command("measure-of", "slab", "P77", "hardness", "40", *lab).err


def test_a_second_reading_stands_beside_the_first_even_at_one_moment(lab_path: Path) -> None:
    with closing(open_lab(make_bench(lab_path))) as lab:
        hardness = own_reading_act(PROPERTIES["hardness"], PROPERTIES)
        values = {"of": "slab", "code": "p2", "property": "hardness", "at": NOW, "hardness": 40.0}
        assert [perform(lab, hardness, values, now=NOW) for _ in range(2)] == ["P2", "P2"]
        page = own_readings_of(lab, "P2", of="slab")
        assert page.values["hardness"].numbers == (40.0, 40.0) and len({row.at for row in page.rows}) == 2
        with pytest.raises(Unanswered):
            perform(lab, hardness, {**values, "hardness": 70.0}, now=NOW)
