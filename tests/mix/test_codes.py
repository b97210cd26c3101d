"""Codes that can be scratched: short, never mistaken, never handed out twice."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

import pytest
from hypothesis import given, strategies as st

from claybench.errors import BadInput
from claybench.mix.scratched_codes import SYMBOLS, fold_look_alikes, is_legible, next_codes

# Pairs that pass for each other in scratched capitals, or when the piece lies upside down; common
# practice, no source.
CONFUSED = "0O 0D 0Q OQ 1I 1L IL 1T 1J 17 T7 2Z 5S 8B 3E 6G UV VY 69 MW A4 4H AH PF PR MN B3 LJ"


def test_no_two_symbols_pass_for_each_other() -> None:
    for pair in CONFUSED.split():
        assert not set(pair) <= set(SYMBOLS), pair
    assert len({fold_look_alikes(symbol) for symbol in SYMBOLS}) == len(SYMBOLS)


@given(st.text(max_size=12), st.integers(1, 60))
def test_codes_are_short_legible_distinct_and_the_same_each_time(hint: str, count: int) -> None:
    codes = next_codes(hint, [], count)
    assert codes == next_codes(hint, [], count)
    assert len(set(codes)) == count
    assert len({len(code) for code in codes}) == 1
    assert all(is_legible(code) and len(code) <= 5 for code in codes)


def test_no_code_reads_as_another_when_it_lies_upside_down() -> None:
    """7 turns into L, 3 into E, A into V, Y into a bare A, 9 into 6, P into d; C K N X read as themselves."""
    turned = str.maketrans("379ACKNPXY", "EL6VCKNDXA")
    every = set(next_codes("", [], 600))
    seen = {fold_look_alikes(code) for code in every}
    for code in every:
        other = fold_look_alikes(code.translate(turned)[::-1])
        assert other not in seen or other == fold_look_alikes(code), code


def test_of_two_codes_that_read_alike_turned_only_one_is_legible() -> None:
    assert is_legible("CX") != is_legible("XC")
    assert is_legible("9X") and is_legible("X9")


@pytest.mark.parametrize("code", ["", "A1", "a7", "O7", "333333", "7 7", "Z", "8B"])
def test_what_is_not_legible(code: str) -> None:
    assert not is_legible(code)


@given(st.lists(st.text("0123456789ABCXYZPN-", min_size=1, max_size=5), max_size=30), st.integers(1, 20))
def test_new_codes_are_never_mistaken_for_taken_ones(taken: list[str], count: int) -> None:
    for code in next_codes("A", taken, count):
        assert fold_look_alikes(code) not in {fold_look_alikes(old) for old in taken}


def test_a_broken_end_does_not_turn_one_code_into_another() -> None:
    first = next_codes("A", [], 90)
    more = next_codes("A", first, 60)
    assert not _prefixed(first, more) and not _prefixed(more, first)
    assert not set(first) & set(more)


def test_the_hint_gives_the_first_symbols_where_they_are_legible() -> None:
    assert all(code.startswith("7") for code in next_codes("W-17", [], 5))
    assert all(code.startswith("AC") for code in next_codes("Acme", [], 5))
    assert next_codes("", [], 1)[0][0] in SYMBOLS


def test_a_year_of_pieces_stays_within_five_symbols() -> None:
    taken: list[str] = []
    for _ in range(60):
        taken += next_codes("P", taken, 50)
    assert len({fold_look_alikes(code) for code in taken}) == 3000
    assert all(len(code) <= 5 for code in taken)


def test_asking_for_too_many_is_refused() -> None:
    with pytest.raises(BadInput, match="1 to 10000"):
        next_codes("A", [], 0)


def test_when_codes_run_out_it_says_so_instead_of_repeating_one() -> None:
    taken: list[str] = []
    with pytest.raises(BadInput, match="not 10000 codes of 5 characters left"):
        for _ in range(20):
            taken += next_codes("", taken, 10_000)
    assert len(set(taken)) == len(taken) >= 20_000


def _prefixed(some: Iterable[str], others: Iterable[str]) -> bool:
    starts = {other[:length] for other in others for length in (len(other), len(other) - 1)}
    return any(code in starts for code in some)


def test_folding_keeps_the_symbols_of_different_groups_apart() -> None:
    for one, other in combinations(SYMBOLS, 2):
        assert fold_look_alikes(one) != fold_look_alikes(other)
