"""Two benches at one lab at the same time: nothing is lost, and each act is one step in the history."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from claybench.errors import ClaybenchError, Refused
from claybench.record.history import list_acts
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import Body, BodyLine, Family, Material, Slab


@pytest.fixture
def second(lab: Lab) -> Iterator[Lab]:
    """The same lab, opened at another bench."""
    where = lab.path or lab.engine.url.render_as_string(hide_password=False)
    opened = open_lab(where)
    opened.now, opened.bench = lab.now, "bench two"
    yield opened
    opened.close()


def at_once(*works: Callable[[], None]) -> list[Exception]:
    """Let several people work at the same moment; what stopped them."""
    stopped: list[Exception] = []
    begin = threading.Barrier(len(works))

    def run(work: Callable[[], None]) -> None:
        begin.wait()
        try:
            work()
        except ClaybenchError as error:
            stopped.append(error)

    people = [threading.Thread(target=run, args=(work,)) for work in works]
    for person in people:
        person.start()
    for person in people:
        person.join()
    return stopped


def enter(lab: Lab, prefix: str, count: int) -> Callable[[], None]:
    def work() -> None:
        for number in range(count):
            with lab.acting(f"{prefix}{number}") as act:
                act.add(Family(family=f"{prefix}{number}"))
                act.add(Body(body=f"{prefix}{number}", family=f"{prefix}{number}"))

    return work


def test_both_enter_at_once_and_everything_is_kept(lab: Lab, second: Lab) -> None:
    assert at_once(enter(lab, "one-", 15), enter(second, "two-", 15)) == []
    with lab.reading() as record:
        assert sorted(record.codes(Body)) == sorted(f"{who}-{at}" for who in ("one", "two") for at in range(15))
        history = list_acts(record)
        bodies = record.connection.exec_driver_sql("SELECT act_id, body FROM bodies ORDER BY act_id").all()
    assert {entry.bench for entry in history if entry.label.startswith("two")} == {"bench two"}
    labels = {entry.id: entry.label for entry in history}
    assert all(labels[act_id] == body for act_id, body in bodies)


def test_only_one_gets_a_code_that_both_want(lab: Lab, second: Lab) -> None:
    def want(each: Lab) -> Callable[[], None]:
        def work() -> None:
            with each.acting("Wanted") as act:
                act.add(Family(family="buff"))

        return work

    stopped = at_once(want(lab), want(second))
    assert [type(error) for error in stopped] == [Refused]
    with lab.reading() as record:
        assert record.codes(Family) == ["buff"]


def test_a_reader_sees_one_moment_while_another_bench_writes(lab: Lab, second: Lab) -> None:
    with lab.reading() as record:
        assert record.codes(Family) == []
        with second.acting("Meanwhile") as act:
            act.add(Family(family="buff"))
            act.add(Material(material="clay"))
        assert record.codes(Material) == []
        assert record.last_act() == 1
    with lab.reading() as record:
        assert (record.codes(Family), record.codes(Material)) == (["buff"], ["clay"])


def test_what_another_bench_changed_meanwhile_is_not_overwritten(lab: Lab, second: Lab) -> None:
    with lab.acting("Slab") as act:
        act.add(Slab(slab="P1", length_mm=400.0, thickness_mm=50.0))
    with lab.reading() as record:
        seen = record.one(Slab, "P1")
    with second.acting("Theirs") as act:
        act.change(Slab, "P1", {"dry_mass_g": 9000.0}, seen=seen)
    with pytest.raises(Refused, match="it is 9000"), lab.acting("Mine") as act:
        act.change(Slab, "P1", {"dry_mass_g": 9999.0}, seen=seen)


def test_both_change_one_row_at_once_and_each_step_is_in_its_history(lab: Lab, second: Lab) -> None:
    with lab.acting("Body") as act:
        act.add(Material(material="clay"))
        act.add(Body(body="B"))
        act.add(BodyLine(body="B", position=1, material="clay", parts=0.0))

    def count_up(each: Lab) -> Callable[[], None]:
        def work() -> None:
            for _ in range(10):
                with each.acting("One more") as act:
                    (line,) = act.rows(BodyLine, body="B")
                    act.change(BodyLine, ("B", 1), {"parts": line.parts + 1})

        return work

    assert at_once(count_up(lab), count_up(second)) == []
    with lab.reading() as record:
        (line,) = record.rows(BodyLine)
        steps: Any = record.connection.exec_driver_sql("SELECT count(*) FROM history").scalar()
    assert (line.parts, steps) == (20.0, 20)
