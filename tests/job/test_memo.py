"""Results are kept by what went in, and for as long as they are asked for."""

from __future__ import annotations

from tiler.job.memo import RESULTS, ROUNDS, Memo


class Doubling:
    """A step that counts how often it is done."""

    def __init__(self) -> None:
        self.done = 0

    def __call__(self, number: int) -> int:
        self.done += 1
        return 2 * number


def test_a_step_is_done_once_for_equal_inputs() -> None:
    memo, step = Memo(), Doubling()
    assert [memo("Front", step, number) for number in (3, 4, 3, 4)] == [6, 8, 6, 8]
    assert step.done == 2


def test_what_is_made_for_one_thing_is_not_looked_for_under_another() -> None:
    memo, step = Memo(), Doubling()
    assert memo("Front", step, 3) == memo("Back", step, 3) == 6
    assert step.done == 2


def test_a_result_that_is_not_asked_for_is_dropped() -> None:
    memo, step = Memo(), Doubling()
    memo("Front", step, 3)
    for _ in range(ROUNDS):
        memo.next_round()
    assert len(memo) == 1
    memo("Front", step, 3)
    for _ in range(ROUNDS + 1):
        memo.next_round()
    assert (len(memo), step.done) == (0, 1)


def test_a_round_without_end_keeps_only_the_last_results() -> None:
    memo, step = Memo(), Doubling()
    for number in range(3 * RESULTS):
        memo("Front", step, number)
    assert len(memo) == RESULTS
    memo("Front", step, 3 * RESULTS - 1)
    assert step.done == 3 * RESULTS
