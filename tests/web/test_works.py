"""Long work goes on in a process of its own: told of, stoppable, bounded."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tiler.pattern.errors import BlocksheetError, LengthError, StoppedError
from tiler.web import worker
from tiler.web.works import Work, Works

HERE = __name__
Tell = Callable[[str, int, int], None]


def count(progress: Tell, steps: int) -> int:
    for step in range(steps):
        progress("counting", step + 1, steps)
    print("a library that talks")
    return steps


def refuse(progress: Tell) -> None:
    raise LengthError("no such length", where="field", remedy="Write another.")


def break_down(progress: Tell) -> None:
    raise ZeroDivisionError("oops")


def vanish(progress: Tell) -> None:
    os._exit(3)


def search(progress: Tell, mark: str) -> str:
    """As our searches do: an interrupt ends it with the best so far."""
    best = 0
    try:
        while True:
            best += 1
            progress("searching, best so far", best, 10**9)
            Path(mark).touch()
            time.sleep(0.01)
    except KeyboardInterrupt:
        return "best so far"


def stubborn(progress: Tell, mark: str) -> None:
    while True:
        try:
            Path(mark).touch()
            time.sleep(10)
        except KeyboardInterrupt:
            continue


def eat(progress: Tell) -> int:
    return len(bytearray(8 * 2**30))


def unpicklable(progress: Tell) -> Any:
    return threading.Lock()


@pytest.fixture
def works() -> Iterator[Works]:
    made = Works()
    yield made
    made.end()


def begun(works: Works, name: str, **facts: object) -> Work:
    return works.begin("test", f"{HERE}:{name}", **facts)


def until(there: Callable[[], bool]) -> None:
    late = time.monotonic() + 20
    while not there():
        assert time.monotonic() < late
        time.sleep(0.02)


def test_it_ends_with_what_the_function_returns_and_has_told_how_far_it_was(works: Works) -> None:
    work = begun(works, "count", steps=300)
    work.wait(20)
    assert (work.going, work.value, work.error) == (False, 300, None)
    assert (work.stage, work.done, work.total, work.share) == ("counting", 300, 300, 1.0)


def test_a_refusal_comes_back_as_it_was_raised(works: Works) -> None:
    work = begun(works, "refuse")
    work.wait(20)
    assert isinstance(work.error, LengthError)
    assert (work.error.problem, work.error.where) == ("no such length", "field")
    assert work.error.remedy == "Write another."


@pytest.mark.parametrize("name", ["break_down", "vanish", "unpicklable"])
def test_a_fault_of_ours_is_told_and_harms_nothing_else(works: Works, name: str) -> None:
    work = begun(works, name)
    work.wait(20)
    assert work.value is None
    assert "report" in str(work.error)


def test_stopping_keeps_the_best_so_far(works: Works, tmp_path: Path) -> None:
    mark = tmp_path / "begun"
    work = begun(works, "search", mark=str(mark))
    until(mark.exists)
    work.stop()
    work.wait(20)
    assert work.value == "best so far"


def test_asked_again_it_ends_at_once(works: Works, tmp_path: Path) -> None:
    mark = tmp_path / "begun"
    work = begun(works, "stubborn", mark=str(mark))
    until(mark.exists)
    work.stop()
    work.stop()
    work.wait(20)
    assert not work.going
    assert isinstance(work.error, StoppedError)


def test_all_ends_with_the_studio(tmp_path: Path) -> None:
    works = Works()
    marks = [tmp_path / str(number) for number in range(2)]
    begun_works = [begun(works, "stubborn", mark=str(mark)) for mark in marks]
    until(lambda: all(mark.exists() for mark in marks))
    works.end()
    for work in begun_works:
        work.wait(20)
        assert not work.going


def test_only_so_much_goes_on_at_once(works: Works, tmp_path: Path) -> None:
    for number in range(3):
        begun(works, "stubborn", mark=str(tmp_path / str(number)))
    with pytest.raises(StoppedError, match="already"):
        begun(works, "count", steps=1)


def test_work_that_nobody_knows_is_refused(works: Works) -> None:
    with pytest.raises(StoppedError, match="no longer"):
        works.get("0000")


def test_what_is_done_apart_comes_back() -> None:
    assert worker.apart(f"{HERE}:count", {"steps": 3}) == 3


def test_what_is_done_apart_may_take_only_so_long(tmp_path: Path) -> None:
    before = time.monotonic()
    with pytest.raises(StoppedError, match="too long"):
        worker.apart(f"{HERE}:stubborn", {"mark": str(tmp_path / "begun")}, seconds=0.5)
    assert time.monotonic() - before < 10


def test_what_is_done_apart_may_take_only_so_much_memory() -> None:
    with pytest.raises(BlocksheetError, match="memory"):
        worker.apart(f"{HERE}:eat", {}, memory=2**30)
