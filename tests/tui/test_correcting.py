"""Touches, weighings and lines of logs are corrected and deleted where they stand, with keys only."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from textual.containers import VerticalScroll

from claybench.record.opening import open_lab
from claybench.terms import (
    Air,
    Batch,
    BatchEvent,
    BatchLine,
    Body,
    Check,
    Fired,
    Firing,
    Measurement,
    Run,
    Slab,
    SlabEvent,
)
from claybench.tui.row_lines import RowLine, RowLines
from claybench.work.pieces import add_firing, add_reading
from claybench.work.recipes import add_body, log_batch, mix_batch
from claybench.work.runs import add_check, start_run
from claybench.work.slabs import enter_slab, log_slab, note_air
from tests.tui.driver import SIZES, Driver, opened
from tests.tui.test_measuring import bars, record

pytestmark = pytest.mark.slow

START = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)


def minutes(count: float) -> datetime:
    """So long after the start."""
    return START + timedelta(minutes=count)


def bench(path: Path) -> None:
    """A run with two touches, a slab with a log, a batch with a log, and the air."""
    lab = open_lab(path)
    slab = Slab(slab="P1", length_mm=400.0, width_mm=300.0, thickness_mm=50.0)
    enter_slab(lab, slab, at=minutes(-120), mass_g=6000.0)
    log_slab(lab, SlabEvent(slab="P1", at=minutes(-60), event="weighed", mass_g=9200.0, note="[/b]"))
    add_body(lab, Body(body="W-01", family="white"), [("kaolin", 50.0), ("ball clay", 50.0)])
    batch = Batch(batch="W-01-1", body="W-01", made="slip", mixed_at=minutes(-90))
    mix_batch(lab, batch, [("kaolin", None, 500.0), ("ball clay", None, 50.0)])
    log_batch(lab, BatchEvent(batch="W-01-1", at=minutes(-30), event="water_added", mass_g=100.0))
    start_run(lab, Run(run="R1", batch="W-01-1", slab="P1", started_at=START, layer_mm=9.0))
    add_check(lab, "R1", "fluid", at=minutes(20))
    add_check(lab, "R1", "stiff", at=minutes(40), note="was it [/b]?")
    note_air(lab, Air(at=minutes(-10), place="shelf", air_temp_c=19.0, air_rh_pct=54.0))
    lab.close()


async def test_a_touch_is_corrected_and_deleted_on_the_page_of_its_run(lab_path: Path) -> None:
    bench(lab_path)
    async with opened(lab_path, SIZES[0], minutes(50)) as driver:
        await driver.press("enter")
        assert "> 09:40  0 h 40  felt stiff" in driver.text()  # the newest, in sight
        await driver.press("up")
        assert "> 09:20  0 h 20  felt fluid" in driver.text()
        await driver.press("down", "enter")
        assert "Correct touch of R1 at 09:40" in driver.text() and "[stiff]" in driver.text()
        assert "was it [/b]?" in driver.text()
        await driver.fill(at="09:35", penetration_mm="4")
        await driver.go_to("f-feel")
        await driver.press("left", "ctrl+s")
        assert "> 09:35  0 h 35  felt workable" in driver.text()
        assert "(was 09:40, stiff, penetration –)" in driver.said("#facts")
        await driver.press("d")
        assert "felt workable" not in driver.said("#facts") and "> 09:20" in driver.text()
        await driver.press("u")
        assert "  09:35  0 h 35  felt workable" in driver.said("#facts")
    with record(lab_path) as found:
        assert [(row.at, row.feel, row.penetration_mm) for row in found.rows(Check)] == [
            (minutes(20), "fluid", None),
            (minutes(35), "workable", 4.0),
        ]


async def test_two_touches_at_one_moment_and_one_before_the_pour_are_refused_clearly(lab_path: Path) -> None:
    bench(lab_path)
    async with opened(lab_path, SIZES[0], minutes(50)) as driver:
        await driver.press("enter", "enter")
        await driver.fill(at="09:20")
        await driver.press("ctrl+s")
        assert "two cannot stand at the same moment" in " ".join(driver.said("#form-note").split())
        await driver.fill(at="08:50")
        await driver.press("ctrl+s")
        assert "R1 was not poured yet at that time" in " ".join(driver.text().split())
    with record(lab_path) as found:
        assert {row.at for row in found.rows(Check)} == {minutes(20), minutes(40)}


async def test_what_is_typed_for_one_touch_is_not_offered_for_another(lab_path: Path) -> None:
    bench(lab_path)
    lab = open_lab(lab_path)
    add_check(lab, "R1", "stiff", at=minutes(40.5))
    lab.close()
    async with opened(lab_path, SIZES[0], minutes(50)) as driver:
        await driver.press("enter", "enter")
        await driver.fill(note="half-typed")
        await driver.press("escape", "up", "enter")
        assert "half-typed" not in driver.text() and "was it [/b]?" in driver.text()


async def test_a_weighing_is_corrected_and_deleted_on_the_page_of_its_slab(lab_path: Path) -> None:
    bench(lab_path)
    async with opened(lab_path, SIZES[0], minutes(50)) as driver:
        await driver.press("2", "enter")
        await to_weighing(driver)
        assert "weighed  9 200 g  [/b]" in _line(driver)
        await driver.press("enter")
        assert "Correct log line of P1 at 08:00" in driver.text()
        await driver.fill(mass_g="6,2 kg")
        await driver.press("ctrl+s")
        assert "weighed  6 200 g" in _line(driver) and "(was 9 200 g)" in driver.said("#card")
    async with opened(lab_path, SIZES[1], minutes(50)) as driver:
        await driver.press("2", "enter")
        await to_weighing(driver)
        await driver.press("d")
        assert "(was 9 200 g)" not in driver.said("#card")
        await driver.press("u")
        assert "(was 9 200 g)" in driver.said("#card")
        await driver.press("y")
        assert "has stopped losing weight" in driver.text()


async def to_weighing(driver: Driver) -> None:
    """Down to the newest weighing in the log."""
    for _ in range(40):
        if "weighed" in _line(driver):
            return
        await driver.press("down")
    raise AssertionError(driver.text())


def _line(driver: Driver) -> str:
    """The line with the cursor, which is in sight."""
    lines = driver.text().splitlines()
    return next((line for line in lines if line.lstrip().startswith("> ")), "")


async def test_a_covered_or_impossible_weighing_is_refused_in_a_correction_too(lab_path: Path) -> None:
    bench(lab_path)
    async with opened(lab_path, SIZES[1], minutes(50)) as driver:
        await driver.press("2", "enter")
        await to_weighing(driver)
        await driver.press("enter")
        await driver.fill(at="09:10")
        await driver.press("ctrl+s")
        assert "R1 lies on slab P1" in " ".join(driver.said("#form-note").split())
        await driver.fill(at="08:00", mass_g="92 kg")
        await driver.press("ctrl+s")
        assert "Correct log line" in driver.text()
    with record(lab_path) as found:
        assert {row.mass_g for row in found.rows(SlabEvent)} == {6000.0, 9200.0}


async def test_weights_and_log_of_a_batch_are_corrected_on_its_page(lab_path: Path) -> None:
    bench(lab_path)
    async with opened(lab_path, SIZES[0], minutes(50)) as driver:
        await driver.press("6", "enter")
        assert "> kaolin" in driver.text()
        await driver.press("down", "enter")
        await driver.fill(mass_g="500")
        await driver.press("ctrl+s")
        assert "(was 50 g)" in driver.said("#facts")
        await driver.press("down", "enter")
        assert "Correct batch event of W-01-1 at 08:30" in driver.text()
        await driver.fill(mass_g="120")
        await driver.press("ctrl+s")
        assert "water added" in driver.said("#facts") and "(was 100 g)" in driver.said("#facts")
        await driver.press("down", "enter")
        assert driver.app.screen.place == "run"  # type: ignore[attr-defined]
        await driver.press("escape", "d")
        assert "A run is not deleted here" in driver.text()
    with record(lab_path) as found:
        assert [row.mass_g for row in found.rows(BatchLine)] == [500.0, 500.0]
        assert [row.mass_g for row in found.rows(BatchEvent)] == [120.0]


async def test_the_air_has_a_page_of_the_book(lab_path: Path) -> None:
    bench(lab_path)
    async with opened(lab_path, SIZES[0], minutes(50)) as driver:
        await driver.press("6", *["right"] * 7)
        assert "shelf" in driver.text() and "19.0 °C" in driver.text()
        await driver.press("enter")
        await driver.fill(air_rh_pct="64", at="08:55")
        await driver.press("ctrl+s")
        assert "64 %" in driver.text()
        await driver.press("home", "d")
        assert "No air was read yet" in driver.text()
        await driver.press("u")
    with record(lab_path) as found:
        assert [(row.at, row.air_rh_pct) for row in found.rows(Air)] == [(minutes(-5), 64.0)]


async def test_readings_and_firings_are_corrected_on_the_page_of_their_piece(lab_path: Path) -> None:
    bars(lab_path)
    lab = open_lab(lab_path)
    add_firing(lab, Firing(firing="F1", fired_on=START.date()), ["3A"])
    for value in (98.0, 99.0):
        add_reading(lab, Measurement(piece="3A", at=minutes(value), what="dry_mm", value=value))
    lab.close()
    async with opened(lab_path, SIZES[0], minutes(200)) as driver:
        await driver.press("4", "end", "enter")
        assert "> F1: fired" in driver.text()
        await driver.press("enter")
        await driver.fill(fired_mm="90")
        await driver.press("ctrl+s")
        assert "> F1: fired 90" in driver.text() and "(was fired length –)" in driver.said("#facts")
        await driver.press("down", "down", "enter")
        assert "Correct reading of 3A at 10:39" in driver.text()
        await driver.fill(value="97.5")
        await driver.press("ctrl+s", "d")
        assert "98" in driver.said("#facts") and "97.5" not in driver.said("#facts")
        await driver.press("u")
        assert "97.5" in driver.said("#facts")
    with record(lab_path) as found:
        assert [row.value for row in found.rows(Measurement)] == [98.0, 97.5]
        assert [row.fired_mm for row in found.rows(Fired)] == [90.0]


async def test_no_line_is_opened_or_deleted_that_cannot_be_seen(lab_path: Path) -> None:
    bench(lab_path)
    lab = open_lab(lab_path)
    for count in range(60):
        log_slab(lab, SlabEvent(slab="P1", at=minutes(-300 - count), event="note", note=f"line {count}"))
    lab.close()
    async with opened(lab_path, SIZES[0], minutes(50)) as driver:
        await driver.press("2", "enter")
        for key in ["pagedown", "pagedown", *["down"] * 25, *["up"] * 40, "end", "up", "up"]:
            await driver.tap(key)
            lines = driver.app.screen.query_one(RowLines)
            assert (lines.row is None) == (_line(driver) == "")
        await driver.press("home")
        assert not _line(driver)
        before = driver.said("#card")
        await driver.press("d", "enter")
        assert driver.said("#card") == before and "Put the cursor on a line first" in driver.text()


async def test_a_long_line_hangs_below_its_last_column_and_stays_one_line_for_the_cursor(lab_path: Path) -> None:
    bench(lab_path)
    lab = open_lab(lab_path)
    note = "carried to the shelf by the window, where it stood on slats until the afternoon"
    log_slab(lab, SlabEvent(slab="P1", at=minutes(-30), event="note", note=note))
    lab.close()
    async with opened(lab_path, SIZES[0], minutes(50)) as driver:
        await driver.press("2", "enter", *["down"] * 6)
        shown = [line.removeprefix(" ") for line in driver.text().splitlines()]
        first = next(at for at, line in enumerate(shown) if "12 Mar 08:30  note  carried" in line)
        column, left = shown[first].index("carried"), note[len(shown[first][22:].rstrip()) :].split()
        assert left and shown[first + 1].split() == left
        assert len(shown[first + 1]) - len(shown[first + 1].lstrip()) == column == 22
        while "note  carried" not in _line(driver):
            await driver.press("up")
        assert driver.app.screen.query_one(RowLines).row == SlabEvent(
            slab="P1", at=minutes(-30), event="note", note=note
        )


async def test_a_page_left_as_its_lines_are_filled_stays_quiet(lab_path: Path) -> None:
    async with opened(lab_path) as screen:
        lines = RowLines(id="left")
        page = VerticalScroll(lines)
        await screen.app.screen.mount(page)
        lines.fill([RowLine("  one", "row")])
        page.remove()
        await screen.settle()
        assert lines.row is None and not screen.app.screen.query("#left")


def test_what_was_corrected_says_its_day_where_that_was_another() -> None:
    from claybench.terms import TABLE_OF
    from claybench.tui.forms.correcting import _value_before_text, row_name

    at = TABLE_OF[SlabEvent]["at"]
    assert _value_before_text(at, START, START + timedelta(minutes=40), UTC) == "09:00"
    assert _value_before_text(at, START, START + timedelta(days=1), UTC) == "12 Mar 09:00"
    event = SlabEvent(slab="P1", at=START, event="cleaned")
    assert row_name(event, START + timedelta(hours=1)).endswith("of P1 at 09:00")
    assert row_name(event, START + timedelta(days=3)).endswith("of P1 of 12 Mar 09:00")
