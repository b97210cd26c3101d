"""Numbers are written one way: no module writes them by hand, nothing shown has an exponent or float noise."""

from __future__ import annotations

import ast
import csv
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import claybench
from claybench.__main__ import main
from claybench.exchange.folder_in import import_folder
from claybench.facts.formula import FORMULAS
from claybench.facts.reason import Reason
from claybench.paper.bench_sheet import write_bench_sheet
from claybench.paper.body_report import write_body_report
from claybench.paper.comparison_report import write_comparison_report
from claybench.paper.labels import write_labels
from claybench.paper.passport import write_slab_passport
from claybench.record.opening import create_lab, open_lab
from tests.sample import END, FOLDER
from tests.tui.driver import opened

pytestmark = pytest.mark.slow

ROOT = Path(claybench.__file__).parent

BY_HAND = {
    "terms/column.py": "lies below quantity; its numbers are limits written in the code",
    "record/schema.py": "a CHECK of the database, read by the database",
    "exchange/cells.py": "a cell of the lab folder: the shortest decimal, read back",
    "exchange/reading/cell_values.py": "rounds a number that was read, and shows none",
    "mix/recipe_line.py": "a recipe line, every digit of which is read back",
    "mix/pour_list.py": "a note of the log that is read back; people read the same list by `short`",
    "insight/pieces/outliers.py": "swaps the digits of a number to see what was meant, and shows none",
    "figure/render_triangle.py": "a grey of the picture",
    "acts/plasticity_points.py": "a note that is read back",
}
"""Modules outside quantity that turn a number into text themselves, each with its reason."""

_SPEC = re.compile(
    r"^(?!.*%[A-Za-z])(?:.?[<>^=])?[+\- ]?#?0?\d*(?:[,_](?:\.\d+|\.)?[fgen%]?|(?:\.(?:\d+|\?))?[efgnEFG%])$"
)
_LATER = re.compile(r"\{[\w.]*:[^{}]*[efgn%]\}")


def _spec(node: ast.FormattedValue) -> str:
    parts = node.format_spec.values if isinstance(node.format_spec, ast.JoinedStr) else []
    return "".join(part.value if isinstance(part, ast.Constant) else "?" for part in parts)


def _by_hand(tree: ast.AST) -> Iterator[str]:
    """Every place where a number is formatted by an f-string, `format` or a template."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FormattedValue) and _SPEC.match(_spec(node)):
            yield f"{node.lineno}: {_spec(node)}"
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "format":
            yield f"{node.lineno}: format()"
        elif isinstance(node, ast.Attribute) and node.attr in ("format", "__format__", "format_map"):
            held = node.value
            if isinstance(held, ast.Constant) and isinstance(held.value, str) and _LATER.search(held.value):
                yield f"{node.lineno}: {held.value}"


@pytest.mark.parametrize(
    ("code", "found"),
    [
        ('f"{x:.3g}"', True),
        ('f"{x:,.0f}"', True),
        ('f"{x:+.{digits}f}"', True),
        ('f"{x:g} g"', True),
        ('f"{x:>7.0f}"', True),
        ('f"{x:,}"', True),
        ('f"{x:.1%}"', True),
        ('"{:.12g}".format(x)', True),
        ('format(x, ".2f")', True),
        ('f"{name:<26.26}"', False),
        ('f"{at:%H:%M}"', False),
        ('f"{minutes:02d}"', False),
        ('f"{show(x)}"', False),
    ],
)
def test_a_number_written_by_hand_is_found(code: str, found: bool) -> None:
    assert bool(list(_by_hand(ast.parse(code)))) is found


def test_no_module_writes_numbers_by_hand() -> None:
    found = {}
    for path in sorted(ROOT.rglob("*.py")):
        name = path.relative_to(ROOT).as_posix()
        if not name.startswith("quantity/") and (places := list(_by_hand(ast.parse(path.read_text("utf-8"))))):
            found[name] = places
    assert not {name: places for name, places in found.items() if name not in BY_HAND}, "use claybench.quantity.shown"
    assert set(BY_HAND) == set(found), "a reason without a number"


FAULT = re.compile(
    r"(?<![\w.-])\d[\d.]*[eE][+-]?\d+(?![\w-])"  # an exponent
    r"|\d\.\d{6,}"  # float noise
    r"|(?<![\w/])1/(?:kg|lb)\b"  # money per mass
    r"|\*\*|\bdeg[CF]\b|(?<=\d )cm2\b|\bg/cm3\b"  # a unit as the code writes it
    r"|(?<![\w.:/-])-0(?:\.0+)?(?![\d.:-])"  # a sign before nothing
)


def faults(text: str) -> list[str]:
    """What is not written as numbers are, each with what stands around it."""
    return [text[max(hit.start() - 30, 0) : hit.end() + 20] for hit in FAULT.finditer(text)]


@pytest.mark.parametrize(
    "text",
    ["a slab of 1.46e+04 kg/m³", "costs 1.45 1/kg", "17.777778 °C", "0.00000005395 g", "3 mm/min**0.5", "-0.0 %"],
)
def test_a_fault_is_found(text: str) -> None:
    assert faults(text)


@pytest.mark.parametrize("text", ["P1E2-3", "R-01", "2026-03-12 14:05", "1/2 in", "10-12", "0.0 %", "1e2b is a code"])
def test_a_sound_text_is_not(text: str) -> None:
    assert not faults(text)


def _odd(column: str, text: str, row: int) -> str:
    """A value as an odd lab has it: typed in °F, weighed to the microgram, next to nothing."""
    try:
        value = float(text)
    except ValueError:
        return text
    if column.endswith("_c"):
        return f"{(round(value * 1.8 + 32) - 32) / 1.8:.10f}"
    if column == "deflocculant_g":
        return "0.00000005395"
    if column in ("mass_g", "dry_g", "poured_g", "plastic_g") and value:
        return f"{value * (1 + 1.2345e-7 * (row % 7)):.9f}"
    if column == "price_per_kg":
        return f"{value + 0.0012345:.7f}"
    return text


@pytest.fixture(scope="module")
def odd_lab_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample with values of every length."""
    folder = tmp_path_factory.mktemp("odd")
    (folder / "lab").mkdir()
    for path in FOLDER.glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            heads, *rows = list(csv.reader(file))
        with (folder / "lab" / path.name).open("w", encoding="utf-8", newline="") as file:
            out = csv.writer(file, lineterminator="\n")
            out.writerow(heads)
            for number, row in enumerate(rows):
                out.writerow([_odd(head, cell, number) for head, cell in zip(heads, row, strict=True)])
    lab = create_lab(folder / "odd.claybench", name="Odd", zone="UTC")
    import_folder(lab, folder / "lab")
    lab.close()
    return folder / "odd.claybench"


@pytest.fixture(params=["sample", "odd"])
def any_lab_file(request: pytest.FixtureRequest) -> Path:
    """The sample lab, and an odd one."""
    found: Path = request.getfixturevalue(f"{request.param}_lab_file")
    return found


def test_every_why_text_writes_numbers_one_way() -> None:
    """Each formula's inputs and result, with a value next to nothing, one with noise and a large one."""
    for formula in FORMULAS:
        for value in (5.395e-8, 17.777777777777779, 0.1 + 0.2, 14613.27, 2e9, -0.0000001):
            inputs = tuple((name, value, param.unit) for name, param in formula.params.items())
            reason = Reason(formula.title, "", inputs, formula.facts, (), value, formula.unit)
            assert not faults("\n".join(reason.lines())), formula.title


WALK = (
    ("1", "down", "enter", "escape", "b", "escape", "h", "escape"),
    ("2", "enter", "y", "escape", "down", "down", "enter", "escape"),
    ("3", "ctrl+b", "ctrl+s", "y", "escape"),
    ("3", "ctrl+l", "ctrl+s", "y", "escape"),
    ("4", "enter", "y", "escape", "escape"),
    ("5", "enter", "escape", "c", "escape"),
    ("6", "right", "right", "right", "right", "right", "right", "right", "right"),
    ("6", "enter", "escape"),
    ("7", "enter", "escape"),
)
"""Keys from place to place; after each of them everything on the screen is read."""


async def test_every_screen_writes_numbers_one_way(any_lab_file: Path, tmp_path: Path) -> None:
    from tests.sample import copy_lab

    path = copy_lab(any_lab_file, tmp_path / "lab.claybench")
    seen: dict[str, list[str]] = {}
    async with opened(path, (140, 40), END) as driver:
        for keys in WALK:
            for count, key in enumerate(keys, start=1):
                await driver.press(key)
                if found := faults(driver.text()):
                    seen[" ".join(keys[:count])] = found
    assert not seen


def test_every_paper_writes_numbers_one_way(any_lab_file: Path, tmp_path: Path) -> None:
    from claybench.ask import reports
    from claybench.ask.batches import batch_page
    from claybench.ask.labels import read_labels
    from tests.paper.reading import text_of

    lab = open_lab(any_lab_file)
    try:
        write_bench_sheet(batch_page(lab, "B-01-1"), tmp_path / "sheet.pdf")
        write_labels(read_labels(lab, ["body/B-01", "batch/B-01-1", "P3"]), tmp_path / "labels.pdf")
        write_body_report(reports.read_body_report(lab, "B-01"), tmp_path / "body.pdf")
        write_comparison_report(reports.read_comparison_report(lab, ["R-01", "W-01"]), tmp_path / "side.pdf")
        for slab in ("P1", "P3", "P5"):
            write_slab_passport(reports.read_passport(lab, slab), tmp_path / f"{slab}.pdf")
    finally:
        lab.close()
    said = {path.name: faults(text_of(path)) for path in tmp_path.glob("*.pdf")}
    assert said and not {name: found for name, found in said.items() if found}


COMMANDS = (
    "slabs",
    "forecast --body B-01 --layer 10mm",
    "bodies",
    "compare R-01 W-01",
    "sets",
    "settings",
    "history",
    "plasticity",
    "whose-bar --length 90 --mass 70",
    "mix slab --length 600 --width 400 --depth 50",
    "mix slip --body B-01 --dry 3kg",
    "figure slab P1",
    "figure vitrification R-01 W-01",
    "figure forecasts",
)


@pytest.mark.parametrize("line", COMMANDS)
def test_every_command_writes_numbers_one_way(
    line: str, any_lab_file: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("CLAYBENCH_LAB", raising=False)
    code = main([*line.split(), "--lab", str(any_lab_file)])
    said = capsys.readouterr()
    assert code == 0, said.err
    assert said.out.strip()
    assert not faults(said.out + said.err)
