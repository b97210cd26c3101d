"""May this layer go on this slab? Days at the bench, as a potter and a fault-finder would tell them.

The stories, and what should be said to them, come from the rule as it was asked for and not from the code: *no* for a
slab that is broken, retired or full; *ask* for all else that speaks against the layer; *fine* otherwise, and then
nothing is asked at all. What has already happened is asked about, never refused.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Command, command  # noqa: F401
from tests.one_answer.bench_day import Bench, Day, ask_all
from tests.one_answer.days_of_batches import BATCHES
from tests.one_answer.days_of_damage import DAMAGE
from tests.one_answer.days_of_faces import FACES
from tests.one_answer.days_of_heat import HEAT
from tests.one_answer.days_of_life import LIFE
from tests.one_answer.days_of_room import ROOM
from tests.one_answer.days_of_water import WATER
from tests.one_answer.sound_days import SOUND

pytestmark = pytest.mark.slow

DAYS: tuple[Day, ...] = (*SOUND, *LIFE, *FACES, *DAMAGE, *HEAT, *WATER, *ROOM, *BATCHES)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Ask every day but those that wait below."""
    if "told" in metafunc.fixturenames:
        metafunc.parametrize("told", [each for each in DAYS if each.name not in PENDING], ids=lambda told: told.name)


def test_may_this_layer_go_on_this_slab(told: Day, command: Command, lab_path: Path) -> None:  # noqa: F811
    """Every place gives one answer, and not one question more than the day deserves."""
    ask_all(Bench(command, lab_path), told)


def test_each_day_is_told_once() -> None:
    """Names tell days apart, and whatever waits has been told."""
    names = [each.name for each in DAYS]
    assert len(names) == len(set(names))
    assert set(PENDING) <= set(names)


# Days that are told and not asked yet, each with what the notebook says today. Whoever mends one takes its line out.
PENDING: dict[str, str] = {}
