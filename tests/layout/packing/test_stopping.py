"""What is told on the way, and what an interrupt leaves behind."""

from __future__ import annotations

import pytest

from tests.layout.packing.sample_shapes import PITCH, WINDOW, least_distance, rectangle
from tiler.layout.packing import workers
from tiler.layout.packing.engine import pack
from tiler.layout.packing.hunt import Found, Task
from tiler.layout.packing.options import Packing

SHAPES = [rectangle(k, w, h) for k, (w, h) in enumerate([(300, 420), (90, 500), (170, 120)] * 2)]


@pytest.mark.parametrize("effort", ["quick", "normal"])
def test_an_interrupt_keeps_the_best(effort: str) -> None:
    def interrupt(pages: int, share: float) -> None:
        raise KeyboardInterrupt

    packed = pack(SHAPES, PITCH, WINDOW, Packing(effort), interrupt)
    assert packed.stopped
    assert len(packed.at) == len(SHAPES)
    assert least_distance(SHAPES, packed) >= 3.9


def test_an_interrupt_before_the_first_arrangement_goes_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def interrupted(task: Task, number: int, tell: object) -> Found:
        raise KeyboardInterrupt

    monkeypatch.setattr(workers, "hunt", interrupted)
    with pytest.raises(KeyboardInterrupt):
        pack(SHAPES, PITCH, WINDOW, Packing("quick"))


def test_progress_never_goes_back() -> None:
    told: list[tuple[int, float]] = []
    packed = pack(
        SHAPES, PITCH, WINDOW, Packing("quick"), lambda pages, share: told.append((pages, share))
    )
    assert not packed.stopped
    assert len(told) >= 2
    pages, shares = zip(*told, strict=True)
    assert list(pages) == sorted(pages, reverse=True)
    assert list(shares) == sorted(shares)
    assert 0 <= shares[0] <= shares[-1] <= 1
    assert packed.pages <= pages[-1]


def test_side_by_side_and_one_after_the_other_give_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from tiler.layout.packing import hunt

    task = Task(tuple(SHAPES), PITCH, (0.6, 0.6), Packing("quick"))
    monkeypatch.setitem(hunt.SEARCHES, "quick", 2)
    beside = workers.hunted(task, lambda found, share: None)
    monkeypatch.setattr(workers, "_started", lambda count: [])
    in_turn = workers.hunted(task, lambda found, share: None)
    assert beside.at == in_turn.at


def test_a_worker_that_dies_is_stood_in_for(monkeypatch: pytest.MonkeyPatch) -> None:
    from tiler.layout.packing import hunt

    task = Task(tuple(SHAPES), PITCH, (0.6, 0.6), Packing("quick"))
    monkeypatch.setitem(hunt.SEARCHES, "quick", 2)
    expected = workers.hunted(task, lambda found, share: None)
    started = workers._started

    def failing(count: int) -> list[object]:
        made = started(count)
        made[1].kill()
        return list(made)

    monkeypatch.setattr(workers, "_started", failing)
    assert workers.hunted(task, lambda found, share: None).at == expected.at


def test_options_that_do_not_exist_are_refused() -> None:
    with pytest.raises(ValueError, match="effort"):
        Packing("endless")
    with pytest.raises(ValueError, match="gap"):
        Packing(gap=-1)
