"""What was worked out is used again for the same data, and for no other."""

from __future__ import annotations

from claybench.ask.kept_answer import KeptAnswer
from claybench.ask.lab_model import lab_model
from claybench.ask.slabs import SLAB_TABLES, verdicts_from
from claybench.ask.snapshot import take_snapshot
from claybench.record.lab import Lab
from claybench.terms import Family, Slab, SlabEvent
from claybench.work.recipes import add_family
from claybench.work.slabs import enter_slab, log_slab
from tests.conftest import Ticking


def test_an_answer_is_worked_out_once_for_data_that_say_the_same() -> None:
    kept, worked_out = KeptAnswer[int](), list[int]()

    def answer(data: list[int]) -> int:
        return kept.given(data, lambda: worked_out.append(sum(data)) or sum(data))  # type: ignore[func-returns-value]

    assert [answer([1, 2]), answer([1, 2]), answer([1, 3]), answer([1, 2])] == [3, 3, 4, 3]
    assert worked_out == [3, 4, 3]


def test_an_answer_that_could_not_be_worked_out_is_not_kept() -> None:
    kept = KeptAnswer[float]()
    for number, wanted in ((0, None), (2, 0.5), (0, None)):
        try:
            assert kept.given(number, lambda number=number: 1 / number) == wanted  # type: ignore[misc]
        except ZeroDivisionError:
            assert wanted is None


def test_questions_share_a_model_until_the_record_or_the_moment_changes(lab: Lab, ticking: Ticking) -> None:
    slab = Slab(slab="P1", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70, dry_mass_g=9000)
    enter_slab(lab, slab, at=ticking(), mass_g=11_000)
    snapshot, model = lab_model(lab)
    assert lab_model(lab)[1] is model
    verdicts = verdicts_from(take_snapshot(lab, *SLAB_TABLES), model)
    assert verdicts_from(take_snapshot(lab, *SLAB_TABLES), model) is verdicts
    add_family(lab, Family(family="white"))
    assert verdicts_from(take_snapshot(lab, *SLAB_TABLES), model) is not verdicts
    assert lab_model(lab)[1] is not model
    wet = lab_model(lab)[1].wetnesses["P1"].now
    before = snapshot.at
    ticking.forward(hours=30)
    assert lab_model(lab)[1].wetnesses["P1"].now < wet
    assert lab_model(lab, as_of=before)[1].wetnesses["P1"].now == wet
    log_slab(lab, SlabEvent(slab="P1", at=ticking(), event="weighed", mass_g=10_900.0))
    assert lab_model(lab)[1].wetnesses["P1"].now > wet * 0.9
