"""Times and days typed into the notebook's own forms, and what the record then holds."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from claybench import clock
from claybench.acts.field import ActField
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import Piece, Slab
from claybench.tui.forms.correcting import correct_row
from claybench.tui.forms.slab_log import ask_slab_event, correct_service_dates
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, Driver, opened
from tests.typed_times import NOW, READ, REFUSED

pytestmark = pytest.mark.slow


@pytest.fixture
def lisbon(lab_path: Path) -> Path:
    """A lab with one slab, in Lisbon."""
    lab = open_lab(lab_path)
    with lab.acting("Enter a slab") as act:
        act.add(Slab(slab="P1", length_mm=500.0, width_mm=300.0, thickness_mm=50.0))
    lab.close()
    return lab_path


def rows(path: Path, row: type, **about: object) -> list:  # type: ignore[type-arg]
    lab: Lab = open_lab(path)
    with lab.reading() as record:
        found = list(record.rows(row, **about))
    lab.close()
    return found


async def type_into(driver: Driver, field: str, typed: str) -> str:
    """Put a text where one types, as a paste does, and give what is said beside it."""
    screen = driver.app.screen
    entry = next(entry for entry in screen.fields if entry.ask.name == field)  # type: ignore[attr-defined]
    entry.put(typed)
    await driver.settle()
    return str(entry._said)


async def test_a_field_for_a_time_takes_times_as_people_say_them(lisbon: Path) -> None:
    async with opened(lisbon, SIZES[0], NOW) as driver:
        await ask_slab_event(driver.app, "P1", "note")
        await driver.settle()
        for typed, moment, _ in READ:
            said = await type_into(driver, "at", typed)
            found = driver.app.screen.understood()["at"]  # type: ignore[attr-defined]
            assert (clock.format_stamp(found.value), found.wrong) == (moment, ""), typed
            assert said in (f"= {clock.understand_moment(typed, NOW).describe(NOW)}", ""), typed
            assert said or clock.format_time(found.value, NOW) == typed
        for typed, why in REFUSED:
            said = await type_into(driver, "at", typed)
            found = driver.app.screen.understood()["at"]  # type: ignore[attr-defined]
            assert found.value is None and why in said, typed


async def test_a_field_for_a_day_takes_the_day_and_never_an_hour(lisbon: Path) -> None:
    async with opened(lisbon, SIZES[0], NOW) as driver:
        await correct_service_dates(driver.app, rows(lisbon, Slab)[0])
        await driver.settle()
        for typed, _, day in READ:
            said = await type_into(driver, "in_service_on", typed)
            found = driver.app.screen.understood()["in_service_on"]  # type: ignore[attr-defined]
            assert type(found.value) is date and clock.format_stamp(found.value) == day, typed
            assert f"{found.value:%a} {found.value.day} {found.value:%b %Y}" in said, typed
        for typed, why in REFUSED:
            said = await type_into(driver, "in_service_on", typed)
            found = driver.app.screen.understood()["in_service_on"]  # type: ignore[attr-defined]
            assert found.value is None and why in said, typed


@pytest.mark.parametrize("typed", ["now", "09:00", "9am", "yesterday 9am", "2026-09-25 08:00"])
async def test_a_slab_put_in_service_now_leaves_the_bench_as_it_was(
    sample_lab_file: Path, tmp_path: Path, typed: str
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await correct_service_dates(driver.app, rows(path, Slab, slab="P3")[0])
        await driver.settle()
        await driver.fill(in_service_on=typed)
        assert "25 Sep 2026" in driver.text() or "24 Sep 2026" in driver.text()
        await driver.press("ctrl+s")
        for code in ("P1", "P2", "P3", "P4", "P5", "P6", "P7"):
            assert f"{code} " in driver.text(), driver.text()
    stored = rows(path, Slab, slab="P3")[0].in_service_on
    assert type(stored) is date
    assert stored == date(2026, 9, 24 if "yesterday" in typed else 25)


async def test_what_is_left_as_it_stands_keeps_its_hour_and_second(lisbon: Path) -> None:
    """A form that corrects something else does not cut a moment to a day or to its minute."""
    cast = datetime(2026, 3, 1, 9, 15, 30, 250_000, tzinfo=UTC)
    lab = open_lab(lisbon)
    with lab.acting("Enter more") as act:
        act.change(Slab, "P1", {"cast_at": cast})
    lab.close()
    async with opened(lisbon, SIZES[0], NOW) as driver:
        await correct_row(driver.app, rows(lisbon, Slab)[0], ["cast_at", "note"], "Correct P1")
        await driver.settle()
        await driver.fill(note="a good one")
        await driver.press("ctrl+s")
    held = rows(lisbon, Slab)[0]
    assert (held.note, held.cast_at) == ("a good one", cast)
    async with opened(lisbon, SIZES[0], NOW) as driver:
        await correct_row(driver.app, held, ["cast_at", "in_service_on"], "Correct P1")
        await driver.settle()
        await driver.fill(cast_at="1 Mar 10:30", in_service_on="8 Mar 10:30")
        await driver.press("ctrl+s")
    held = rows(lisbon, Slab)[0]
    assert held.cast_at == datetime(2026, 3, 1, 10, 30, tzinfo=UTC), "an hour that stands is corrected as an hour"
    assert type(held.in_service_on) is date and held.in_service_on == date(2026, 3, 8)


def test_a_day_that_stands_with_an_hour_is_kept_until_another_is_typed() -> None:
    then = datetime(2026, 3, 1, 9, 15, 30, tzinfo=UTC)
    for row, column, kind in ((Piece, "formed_at", "time"), (Slab, "cast_at", "time"), (Slab, "in_service_on", "day")):
        ask = ActField.of_column(row, column, then)
        assert ask.kind == kind
        assert ask.understand(ask.text, NOW).value == then
        typed = ask.understand("8 Mar 9:00", NOW).value
        assert typed == (datetime(2026, 3, 8, 9, tzinfo=UTC) if kind == "time" else date(2026, 3, 8))
        assert ActField.of_column(row, column, date(2026, 3, 1)).kind == "day"


def test_a_time_that_is_planned_is_the_next_one() -> None:
    planned = ActField("mixed_at", "to be mixed", "time", ahead=True)
    assert planned.understand("9am", NOW).echo == "= Fri 13 Mar 09:00"
    assert ActField("at", "at", "time").understand("9am", NOW).echo == "= Thu 12 Mar 09:00"
