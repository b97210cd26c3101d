"""Where keys lead when pages lie above a place, and what becomes of a page whose record is gone."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from textual.widgets import Input

from claybench.record.opening import open_lab
from claybench.terms import Batch, Body, Piece, Run, Slab, SlabEvent
from claybench.tui.bench.bench_place import BenchPlace
from claybench.tui.bench.run_page import RunPlace
from claybench.tui.book.book_place import BookPlace
from claybench.tui.mix.mix_place import MixPlace
from claybench.tui.place import Place
from claybench.tui.slabs.slab_page import SlabPlace
from claybench.work.pieces import form_pieces
from claybench.work.recipes import add_body, mix_batch
from claybench.work.runs import start_run
from claybench.work.slabs import enter_slab, log_slab
from tests.tui.driver import SIZES, Driver, opened

pytestmark = pytest.mark.slow

START = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
OPENS = {
    "body": ("5", "enter"),
    "batch": ("6", "enter"),
    "slab": ("2", "enter"),
    "run": ("enter",),
    "piece": ("4", "enter"),
}
"""The keys to the page of each kind, in the order in which one needs the other."""


def make(path: Path, last: str = "piece") -> None:
    """One record of each kind up to `last`, which is the newest act."""
    lab = open_lab(path)
    makes: dict[str, Callable[[], object]] = {
        "body": lambda: add_body(lab, Body(body="W-01", family="white"), [("kaolin", 60.0), ("quartz", 40.0)]),
        "batch": lambda: mix_batch(
            lab, Batch(batch="W-01-1", body="W-01", made="slip", mixed_at=START), [("kaolin", None, 500.0)]
        ),
        "slab": lambda: enter_slab(
            lab, Slab(slab="P1", length_mm=400.0, width_mm=300.0, thickness_mm=50.0), at=START, mass_g=6000.0
        ),
        "run": lambda: start_run(lab, Run(run="R1", batch="W-01-1", slab="P1", started_at=START, layer_mm=9.0)),
        "piece": lambda: form_pieces(lab, [Piece(piece="ABC", batch="W-01-1", formed_at=START)]),
    }
    for kind, add in makes.items():
        add()
        if kind == last:
            break
    lab.close()


def said(screen: Driver) -> list[str]:
    """What the notices say."""
    return [notice.message for notice in screen.app._notifications]


async def size_a_slab(screen: Driver) -> None:
    """Fill in the slab form of the Mix place."""
    await screen.press("3", "ctrl+b")
    await screen.fill(length_mm="500", width_mm="400", depth_mm="45")


@pytest.mark.parametrize("size", SIZES)
async def test_a_body_is_sized_after_the_slab_form_was_last_shown(lab_path: Path, size: tuple[int, int]) -> None:
    make(lab_path)
    async with opened(lab_path, size) as screen:
        await screen.press("3", "ctrl+b", "escape", "5", "b")
        assert screen.said("#mix-head").startswith("A batch of slip")
        assert screen.app.screen.query_one("#f-body", Input).value == "W-01"
        await screen.fill(dry_g="1 kg")
        assert "1 000 g" in screen.said("#figures")


@pytest.mark.parametrize("on", [("o",), ("escape", "escape"), ()])
async def test_a_body_is_sized_whatever_page_the_mixing_led_to(lab_path: Path, on: tuple[str, ...]) -> None:
    make(lab_path)
    async with opened(lab_path) as screen:
        await size_a_slab(screen)
        await screen.press("ctrl+n", "ctrl+s", *on, "5", "b")
        assert isinstance(screen.app.screen, MixPlace) and len(screen.app.screen_stack) == 1
        assert screen.said("#mix-head").startswith("A batch of slip")
        assert screen.app.focused is not None and screen.app.focused.id == "f-body"


async def test_a_slab_is_sized_whatever_page_the_mixing_led_to(lab_path: Path) -> None:
    make(lab_path)
    async with opened(lab_path) as screen:
        await size_a_slab(screen)
        await screen.press("ctrl+s", "ctrl+s")
        assert isinstance(screen.app.screen, SlabPlace)
        await screen.press("2", "n")
        assert screen.said("#mix-head").startswith("A slab")


async def test_a_line_of_the_book_is_shown_whatever_page_lies_above_the_book(lab_path: Path) -> None:
    make(lab_path)
    async with opened(lab_path) as screen:
        await screen.press("6", "enter", "1", "exclamation_mark")
        assert isinstance(screen.app.screen, BookPlace)
        assert "faulty" in screen.text().casefold()


@pytest.mark.parametrize("kind", OPENS)
async def test_the_page_of_what_is_taken_back_leaves_with_one_notice(lab_path: Path, kind: str) -> None:
    make(lab_path, kind)
    async with opened(lab_path, start=START + timedelta(minutes=5)) as screen:
        await screen.press(*OPENS[kind])
        assert isinstance(screen.app.screen, Place) and screen.app.screen.place == kind
        await screen.press("u")
        assert len(screen.app.screen_stack) == 1
        assert len([notice for notice in said(screen) if "There is no" in notice]) == 1, said(screen)


async def test_pages_over_one_another_leave_one_after_another_with_one_notice(lab_path: Path) -> None:
    make(lab_path, "slab")
    async with opened(lab_path) as screen:
        await screen.press("2", "enter", "r")
        assert len(screen.app.screen_stack) == 3
        await screen.press("u", "2")
        assert len(screen.app.screen_stack) == 1
        assert len([notice for notice in said(screen) if "There is no" in notice]) == 1, said(screen)


async def test_what_is_sized_is_recorded_straight_after_its_reasons_were_read(lab_path: Path) -> None:
    make(lab_path)
    async with opened(lab_path) as screen:
        await size_a_slab(screen)
        screen.send("ctrl+o", "escape", "ctrl+n")
        await screen.settle()
        assert not said(screen) and getattr(screen.app.screen, "is_form", False)
        await screen.press("escape")
        screen.send("ctrl+o", "escape", "ctrl+s")
        await screen.settle()
        assert not said(screen) and getattr(screen.app.screen, "is_form", False)


async def test_what_is_missing_is_named_where_there_is_nothing_to_record(lab_path: Path) -> None:
    make(lab_path)
    async with opened(lab_path) as screen:
        await screen.press("3", "ctrl+l")
        await screen.fill(body="")
        for key, what in (("ctrl+s", "record"), ("ctrl+n", "begin"), ("ctrl+o", "explain")):
            screen.app.clear_notifications()
            await screen.press(key)
            (notice,) = said(screen)
            assert what in notice and "The body is needed. Type its code." in notice


async def test_the_number_of_the_place_one_is_in_leads_to_its_front(lab_path: Path) -> None:
    make(lab_path)
    async with opened(lab_path, start=START + timedelta(minutes=5)) as screen:
        await screen.press("enter", "2", "1")
        assert [type(each) for each in screen.app.screen_stack] == [BenchPlace, RunPlace]  # as it was left
        await screen.press("1")
        assert [type(each) for each in screen.app.screen_stack] == [BenchPlace]


async def test_the_axis_of_a_flat_course_has_numbers_someone_would_read(lab_path: Path) -> None:
    make(lab_path, "slab")
    lab = open_lab(lab_path)
    dried = SlabEvent(slab="P1", at=START + timedelta(hours=1), event="weighed_dry", mass_g=6000.0)
    log_slab(lab, dried)
    lab.close()
    async with opened(lab_path, SIZES[1], START + timedelta(hours=2)) as screen:
        await screen.press("2", "enter")
        assert "-0" not in screen.text() and "0.000" not in screen.text()


async def test_the_number_of_a_place_shows_no_page_of_another_that_was_opened_from_it(lab_path: Path) -> None:
    make(lab_path, "slab")
    async with opened(lab_path) as driver:
        await driver.press("3")
        await driver.app.open_record("slabs", "P1")
        await driver.press("5", "3")
        assert isinstance(driver.app.screen, MixPlace)
