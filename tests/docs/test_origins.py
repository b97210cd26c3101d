"""No number without an origin, and none called published without the place where it was read."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import Any

import pytest

import claybench
from claybench.facts.fact import Fact, Origin, is_located, published
from claybench.measure.properties.built_in import BUILT_IN
from tests.docs import origins

KNOWN = Fact("weighed", 1.0, "g", Origin.PUBLISHED, "A handbook, 3rd edition", locator="table 2")
BELIEVED = Fact("believed", 1.0, "g", Origin.FROM_MEMORY)


@pytest.mark.parametrize("origin", Origin)
def test_facts_by_origin(origin: Origin) -> None:
    """Each origin has its facts; what was read says where, what follows says from what."""
    own = {name: each for name, each in origins.facts().items() if each.origin is origin}
    assert own
    for name, each in own.items():
        if origin is Origin.PUBLISHED:
            assert each.source and is_located(each.locator), name
        elif origin is Origin.DERIVED:
            assert each.source and (each.rests_on or is_located(each.locator)), name
        else:
            assert not each.locator, f"{name}: a place in a document that was not read"


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"origin": Origin.PUBLISHED, "source": "A handbook"}, "needs the place"),
        ({"origin": Origin.PUBLISHED, "source": "A handbook", "locator": "in the middle"}, "needs the place"),
        ({"origin": Origin.PUBLISHED, "locator": "table 2"}, "needs its source"),
        (
            {"origin": Origin.PUBLISHED, "source": "a manufacturer's bulletin", "locator": "table 2"},
            "names no document",
        ),
        ({"origin": Origin.PUBLISHED, "source": "class notes", "locator": "page 2"}, "names no document"),
        ({"origin": Origin.DERIVED, "source": "twice that"}, "needs the place"),
        ({"origin": Origin.DERIVED, "source": "twice that", "rests_on": (KNOWN, BELIEVED)}, "rests on believed"),
    ],
)
def test_what_cannot_be_traced_does_not_build(given: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        Fact("weight", 1.0, "g", **given)


def test_a_source_that_was_read_says_where() -> None:
    with pytest.raises(ValueError, match="needs the place"):
        published("A handbook", "somewhere")
    with pytest.raises(ValueError, match="names no document"):
        published("makers' mixing tables", "table 1")


def test_what_follows_from_what_was_read_builds() -> None:
    twice = Fact("twice", 2.0, "g", Origin.DERIVED, "2 · weighed", rests_on=(KNOWN,))
    assert twice.cite() == "twice 2 g (derived: 2 · weighed)"
    assert KNOWN.cite() == "weighed 1 g (published: A handbook, 3rd edition, table 2)"


def test_facts_stand_in_their_room_alone() -> None:
    """So that the page lists all of them."""
    for path in Path(claybench.__path__[0]).rglob("*.py"):
        calls = [node for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)]
        if any(isinstance(call.func, ast.Name) and call.func.id == "Fact" for call in calls):
            assert path.parent.name == "facts", path


def test_standards_of_properties_are_located_or_from_memory() -> None:
    for name, each in BUILT_IN.items():
        assert not each.standard or "from memory" in each.standard or is_located(each.standard), name
