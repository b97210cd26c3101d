"""An act's form and its command are one: the same fields, the same refusals in the same words, the same questions."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from claybench.acts.act import Act
from claybench.acts.field import ActField, text_as_typed
from claybench.acts.material_naming import makes_materials
from claybench.acts.registry import ACTS, load_act
from claybench.cli.record_acts import act_command, option_of
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.tui.forms.act_form import ask_act
from claybench.tui.forms.form import Form
from claybench.tui.forms.question_screen import QuestionScreen
from tests.acts.bench import NOW, PROPERTIES, SOUND, make_bench
from tests.cli.conftest import Command
from tests.sample import copy_lab
from tests.tui.driver import opened

pytestmark = pytest.mark.slow

ACT = {name: load_act(name) for name in ACTS}


def act_of(case: str) -> Act:
    """The act of a case, and of its kind where it is of several."""
    act = ACT[case.partition(" ")[0]]
    return act if act.chosen_by is None else act.chosen_by(SOUND[case], PROPERTIES)


@pytest.fixture(scope="module")
def bench_file(empty_lab_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bench, made once; tests get copies."""
    return make_bench(copy_lab(empty_lab_file, tmp_path_factory.mktemp("bench") / "bench.claybench"))


@pytest.fixture
def path(bench_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    def at_the_moment(where: str) -> Lab:
        lab = open_lab(where)
        lab.now = lambda: NOW
        return lab

    monkeypatch.setattr("claybench.record.opening.open_lab", at_the_moment)
    monkeypatch.chdir(tmp_path)
    return copy_lab(bench_file, tmp_path / "lab.claybench")


@pytest.fixture
def run(command: Command, path: Path) -> Callable[..., Any]:
    """The command of an act with what is typed, at the moment of the bench."""

    def done(case: str, typed: dict[str, str]) -> Any:
        act = ACT[case.partition(" ")[0]]
        words = [act.name, *(typed.get(name, "") for name in act.given if name != act.named_in)]
        words += [f"{name}={text}" for name, text in typed.items() if name not in act.names]
        others = [name for name in typed if name in act.names and name not in act.given]
        options = [(option_of(act.field(name)), typed[name]) for name in others]
        return command(*words, *(word for pair in options for word in pair), "--lab", path)

    return done


def test_every_act_is_tried_here() -> None:
    assert {case.partition(" ")[0] for case in SOUND} == ACT.keys()


@pytest.mark.parametrize("act", ACT.values(), ids=ACT.keys())
def test_a_command_has_an_option_for_every_field_and_no_other(act: Act) -> None:
    taken = set(inspect.signature(act_command(act.name)).parameters) - {"context", "anyway", "as_json"}
    assert ("is_" in taken) == makes_materials(act.fields)
    taken -= {"is_"}
    assert taken == set(act.names)
    if act.chosen_by is not None:  # its kinds have no field that the command has not
        kinds = [act_of(case) for case in SOUND if case.partition(" ")[0] == act.name]
        more = {name for kind in kinds for name in kind.names} - taken
        assert not more or act.named_in in taken  # these are typed there as NAME=VALUE
    assert len({option_of(ask) for ask in act.fields}) == len(act.fields)


async def form_of(driver: Any, act: Act, typed: dict[str, str]) -> Form:
    """The form of an act with what is typed in it."""
    given = {name: typed[name] for name in act.given if typed.get(name) and act.field(name).kind in ("code", "word")}
    form = await ask_act(driver.app, act, given)
    await driver.settle()
    form.put(**typed)
    await driver.settle()
    return form


@pytest.mark.parametrize("case", SOUND)
async def test_a_form_has_the_fields_of_its_act_and_saves_what_is_sound_unasked(path: Path, case: str) -> None:
    act = act_of(case)
    async with opened(path, start=NOW) as driver:
        form = await form_of(driver, act, SOUND[case])
        assert [entry.ask.name for entry in form.fields] == list(act.names)
        await driver.press("ctrl+s")
        assert driver.app.screen is not form and not isinstance(driver.app.screen, QuestionScreen), driver.text()


@pytest.mark.parametrize("case", SOUND)
def test_a_command_does_what_is_sound_unasked(run: Callable[..., Any], case: str) -> None:
    done = run(case, {name: text for name, text in SOUND[case].items() if text})
    assert done.code == 0, done.err


def _numbers(act: Act) -> Iterator[ActField]:
    yield from (ask for ask in act.fields if ask.kind in ("number", "whole"))


def impossible(ask: ActField) -> str:
    """A number that is too large to be; empty where there is none."""
    column = ask.column
    tops = [ask.high, *((column.high, column.possible[1]) if column is not None else ())]
    known = [top for top in tops if top is not None]
    return _typed(ask, 2 * min(known) + 1) if known else ""


def unusual(ask: ActField) -> str:
    """A number that can be and is hardly ever; empty where there is none."""
    if ask.column is None or ask.column.usual == (None, None):
        return ""
    low, high = ask.column.usual
    value = 1.05 * high + 1 if high is not None else (low or 0.0) / 1.05
    for found in (value, 1.001 * (high or 0), (low or 0.0) * 0.99):
        if ask.column.within(found) and not ask.column.is_usual(found):
            return _typed(ask, found)
    return ""


def _typed(ask: ActField, value: float) -> str:
    return str(round(value)) if ask.kind == "whole" else text_as_typed(float(value), ask.unit)


def _said(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize(
    "case", [case for case in SOUND if any(impossible(ask) or unusual(ask) for ask in _numbers(act_of(case)))]
)
async def test_the_impossible_is_refused_and_the_unusual_asked_about_by_both_in_the_same_words(
    path: Path, run: Callable[..., Any], case: str
) -> None:
    act, sound = act_of(case), SOUND[case]
    refused: dict[str, tuple[str, str]] = {}
    asked: dict[str, tuple[str, list[str]]] = {}
    async with opened(path, start=NOW) as driver:
        form = await form_of(driver, act, sound)
        for ask in _numbers(act):
            if text := impossible(ask):
                form.put(**{ask.name: text})
                await driver.press("ctrl+s")
                assert driver.app.screen is form
                refused[ask.name] = (text, form.understood()[ask.name].wrong)
                form.put(**{ask.name: sound.get(ask.name, "")})
        for ask in _numbers(act):
            if text := unusual(ask):
                form.put(**{ask.name: text})
                await driver.press("ctrl+s")
                screen = driver.app.screen
                assert isinstance(screen, QuestionScreen), (ask.name, text, driver.text())
                asked[ask.name] = (text, [each.text for each in screen.questions])
                await driver.press("escape")
                assert driver.app.screen is form and form.typed()[ask.name] == text
                form.put(**{ask.name: sound.get(ask.name, "")})
    for name, (text, wrong) in refused.items():
        assert wrong, (name, text)
        done = run(case, {**{n: t for n, t in sound.items() if t}, name: text})
        assert done.code == 2 and _said(wrong) in _said(done.err), (name, text, wrong, done.err)
    for name, (text, said) in asked.items():
        done = run(case, {**{n: t for n, t in sound.items() if t}, name: text})
        assert done.code == 7, (name, text, done.err)
        assert all(_said(each) in _said(done.err) for each in said), (name, said, done.err)
