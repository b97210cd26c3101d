"""A property of the lab's own, by keys only: declared, measured on twelve bars, compared, aimed at, printed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from statistics import fmean

import pytest

from claybench.ask.comparison import side_by_side
from claybench.ask.data_frames import pieces_frame
from claybench.ask.plan import plan_next_set
from claybench.ask.properties import lab_properties
from claybench.ask.reports import read_comparison_report
from claybench.exchange.folder_in import import_folder
from claybench.exchange.folder_out import export_folder
from claybench.insight.plan.design.plan_file import parse_plan
from claybench.paper.comparison_report import write_comparison_report
from claybench.record.opening import create_lab, open_lab
from claybench.terms import Batch, Body, Family, Firing, Measurement, Piece
from claybench.work.pieces import add_firing, form_pieces
from claybench.work.recipes import add_body, add_family, mix_batch
from tests.paper.reading import text_of
from tests.tui.driver import Driver, opened

pytestmark = pytest.mark.slow

AT = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)
BODIES = ("B-1", "B-2")
BARS = {f"K{number:02}": BODIES[number % 2] for number in range(12)}


def fired_bars(path: Path) -> None:
    """Twelve fired bars of two bodies, of two materials each."""
    with closing(open_lab(path)) as lab:
        add_family(lab, Family(family="buff"))
        for number, body in enumerate(BODIES):
            share = 40.0 + 20 * number
            add_body(lab, Body(body=body, family="buff"), [("clay", share), ("sand", 100 - share)])
            for batch in ("1", "2"):
                mix_batch(lab, Batch(batch=f"{body}-{batch}", body=body, mixed_at=AT), [])
        form_pieces(
            lab,
            [
                Piece(piece=code, batch=f"{body}-{1 + at // 6}", shape="bar", formed_at=AT)
                for at, (code, body) in enumerate(BARS.items())
            ],
        )
        add_firing(lab, Firing(firing="F1", fired_on=AT.date(), cone="6"), list(BARS))


async def declared(driver: Driver, **typed: str) -> None:
    """Declare a property on its page of the book."""
    await driver.press("6", *["right"] * 6)
    assert "[Properties]" in driver.said("#pages")
    await driver.press("n")
    await driver.fill(**typed)
    await driver.press("ctrl+s")


async def measured(driver: Driver, title: str, columns: Iterator[Iterator[str]]) -> None:
    """Enter what is read for a property, one kind of reading after another over all bars."""
    await driver.press("4", "home", "m", "ctrl+g")
    assert "fired modulus of" in driver.text() and "rupture mpa" not in driver.text(), (
        "properties are offered by their titles"
    )
    await driver.fill(property=title)
    await driver.press("ctrl+s")
    for column in columns:
        for value in column:
            await driver.write(value)
            await driver.press("enter")
        await driver.press("ctrl+n")


async def test_declared_measured_compared_planned_printed_and_exported(lab_path: Path, tmp_path: Path) -> None:
    fired_bars(lab_path)
    async with opened(lab_path) as driver:
        await declared(
            driver, property="crush_mpa", title="crushing strength", unit="MPa",
            inputs="crush_n N, side_mm mm", formula="crush_n / side_mm", digits="2", low="0", usual_high="80",
            better="more",
        )  # fmt: skip
        assert "The formula comes to" in driver.text(), "a formula of another kind than its unit is refused"
        await driver.fill(formula="crush_n / side_mm^2")
        await driver.press("ctrl+s")
        assert "crushing strength" in driver.text() and "MPa" in driver.text()
        loads = [f"{4000 + 100 * at} N" for at in range(12)]
        await measured(driver, "crushing strength", iter([iter(loads), iter(["20"] * 12)]))
        assert "4000" in driver.text().replace(" ", "")
        await driver.press("escape", "5", "a")
        await driver.write("crushing strength over 11.3 MPa")
        await driver.settle()
        assert "crushing strength over 11.3 MPa: 1 of 2 bodies" in driver.said("#understood")
        await driver.clear()
        await driver.press("escape", "home", "space", "down", "space", "c")
        assert "crushing strength" in driver.text()
        await driver.press("v")
        assert "crushing strength, MPa; less B-1" in driver.text()
        await driver.press("escape", "7", "n")
        await driver.write("Stronger")
        await driver.press("enter")
        await driver.write("buff")
        await driver.tap("ctrl+n")
        for material in ("clay", "sand"):
            await driver.write(material)
            await driver.tap("enter")
            await driver.write("30-70")
            await driver.press("enter")
        await driver.press("ctrl+n", "ctrl+n", "ctrl+n")
        await driver.go_to("f-crush_mpa")
        await driver.write("at least 11")
        driver.app.clear_notifications()  # the one of the declaration, which names the property's code, may still stand
        await driver.press("ctrl+s")
        assert "crushing strength" in driver.text() and "crush_mpa" not in driver.text()
    plan = next((lab_path.parent / "plans").glob("*.toml")).read_text(encoding="utf-8")
    with closing(open_lab(lab_path)) as lab:
        with lab.reading() as record:
            rows = record.rows(Measurement)
        assert {row.together for row in rows} == {"1"} and len(rows) == 24
        loads_of = {row.piece: row.value for row in rows if row.what == "crush_n" and row.value is not None}
        assert sorted(loads_of.values()) == [4000.0 + 100 * at for at in range(12)]
        results = side_by_side(lab, BODIES).results
        means = {each.body: each.properties["crush_mpa"] for each in results if each.firing == "F1"}
        for body in BODIES:
            own = [load / 20**2 for code, load in loads_of.items() if BARS[str(code)] == body]
            assert (means[body].n, means[body].batches) == (6, 2) and means[body].mean == pytest.approx(fmean(own))
        assert pieces_frame(lab)["crush_mpa"].notna().sum() == 12
        asked = parse_plan(plan, lab_properties(lab))
        assert asked.targets == {"crush_mpa": (11.0, float("inf"))}
        proposed = plan_next_set(lab, asked)
        assert proposed.bodies[0].predicted["crush_mpa"].median > 0
        said = " ".join([proposed.bodies[0].reason, *proposed.notes])
        assert (
            "crushing strength 1" in said
            and "Crushing strength: " in said
            and " MPa" in said
            and "crush_mpa" not in said
        )
        write_comparison_report(read_comparison_report(lab, BODIES), tmp_path / "report.pdf", figures=["crush_mpa"])
        assert "crushing strength, MPa" in text_of(tmp_path / "report.pdf")
        export_folder(lab, tmp_path / "out")
    with closing(create_lab(tmp_path / "again.claybench", name="again", zone="UTC")) as again:
        import_folder(again, tmp_path / "out")
        export_folder(again, tmp_path / "twice")
        found = side_by_side(again, BODIES).results
        assert [each.properties for each in found] == [each.properties for each in results]
    for name in ("properties.csv", "property_inputs.csv", "readings.csv"):
        assert (tmp_path / "out" / name).read_bytes() == (tmp_path / "twice" / name).read_bytes()
