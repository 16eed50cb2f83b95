"""Nothing that anybody wrote is lost: two tabs, an editor beside them, two studios, a cut cable.

The rule is our own promise: every change is in the file, or was refused in words that show both
values, and what stood in the file before can be gone back to.
"""

from __future__ import annotations

import itertools
import random
import threading
import time
import tomllib
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from http.client import HTTPException
from pathlib import Path
from typing import Any

import pytest

from tests.web.door import Studio
from tests.web.tabs import EDGES, PATTERN, PIECES, Tab, trug
from tiler.job.editing import edit, history, undo, version_of
from tiler.job.editinghistory import Before
from tiler.output.editing.changes import EdgeAllowance

#: Remarks that are written by hand meanwhile.
REMARKS = 5


@pytest.fixture
def folder(library: Path) -> Path:
    return trug(library)


def allowances(said: dict[str, Any]) -> dict[tuple[str, str], str]:
    """What each edge says, and, under no piece, the whole pattern."""
    found = {
        (piece["name"], edge): width
        for piece in said["piece"]
        for edge, width in piece["allowances"].items()
    }
    return found | {("", ""): said["allowance"]}


def chain(folder: Path) -> list[dict[str, Any]]:
    """All versions that can be undone, from the oldest on."""
    before = Before(folder)
    kept = [before.content(state.version) for state in before.line().states]
    assert None not in kept
    return [tomllib.loads(content.decode()) for content in kept if content is not None]


def steps(folder: Path) -> list[tuple[tuple[str, str], str]]:
    """What changed from each version to the next: one value, or nothing but remarks."""
    found = []
    for old, new in itertools.pairwise(chain(folder)):
        was, now = allowances(old), allowances(new)
        changed = [(cell, now[cell]) for cell in now if now[cell] != was.get(cell)]
        assert len(changed) <= 1, changed
        assert {**old, "allowance": "", "piece": []} == {**new, "allowance": "", "piece": []}
        found += changed
    return found


@contextmanager
def watched(folder: Path) -> Iterator[None]:
    """Read the file all the while; it is whole each time."""
    faults: list[str] = []
    over = threading.Event()

    def watch() -> None:
        while not over.wait(0.015):
            try:
                said = tomllib.loads((folder / "pattern.toml").read_text("utf-8"))
                assert len(allowances(said)) == 9
            except (OSError, ValueError, KeyError, AssertionError) as fault:
                faults.append(repr(fault))

    watching = threading.Thread(target=watch)
    watching.start()
    try:
        yield
    finally:
        over.set()
        watching.join()
    assert faults == []


class Sewist:
    """Somebody who changes things in one tab, and remembers what came of each.

    Args:
        tab: The tab.
        seed: Of what is changed.
    """

    def __init__(self, tab: Tab, seed: int) -> None:
        self.tab, self.random, self.seed = tab, random.Random(seed), seed
        self.done: list[tuple[tuple[str, str], str]] = []
        self.refused: list[tuple[tuple[str, str], str]] = []

    def work(self, number: int) -> None:
        """So many changes, of edges that others change too and of the whole pattern."""
        self.tab.look()
        for turn in range(number):
            # No two changes of anybody say the same, so each can be found again.
            width = f"{12 + self.seed}.{turn + 100} mm".rstrip("0")
            cell = ("", "")
            if turn % 8 != 7:
                cell = (self.random.choice(PIECES), self.random.choice(EDGES))
            status, page = self.tab.widen(*cell, width) if cell[0] else self.tab.everywhere(width)
            if status == 200:
                self.done.append((cell, width))
                continue
            assert status == 409, page
            assert width in page
            assert page.count("<dd>") == 2
            self.refused.append((cell, width))
            self.tab.look()


def by_hand(folder: Path, sewists: list[Sewist], often: int) -> None:
    """An editor that saves as most do, a new file in the old one's place, after so many changes."""
    target = folder / "pattern.toml"
    for turn in range(REMARKS):
        while sum(len(each.done) for each in sewists) < often * (turn + 1):
            time.sleep(0.002)
        while True:
            old = target.read_bytes()
            draft = folder / "pattern.toml~"
            draft.write_bytes(f"# Remark {turn}.\n".encode() + old)
            # An editor that sees that the file was changed asks before it saves.
            if target.read_bytes() == old:
                draft.replace(target)
                break


def test_a_hundred_changes_in_two_tabs_and_an_editor_beside(served: Studio, folder: Path) -> None:
    """Each is in the history or was refused with both values; remarks stay; all can be undone."""
    sewists = [Sewist(Tab(served.origin, served.token), seed) for seed in (1, 2)]
    with watched(folder), ThreadPoolExecutor(3) as pool:
        tasks = [pool.submit(each.work, 50) for each in sewists]
        tasks.append(pool.submit(by_hand, folder, sewists, 9))
        for task in tasks:
            task.result()
    done = [change for each in sewists for change in each.done]
    refused = [change for each in sewists for change in each.refused]
    assert len(done) + len(refused) == 100
    assert len(done) > 50
    found = steps(folder)
    assert Counter(found) == Counter(done)
    text = (folder / "pattern.toml").read_text("utf-8")
    now = allowances(tomllib.loads(text))
    assert now == allowances(tomllib.loads(PATTERN)) | dict(found)
    for remark in [line.split("#")[1] for line in PATTERN.splitlines() if "#" in line]:
        assert f"#{remark}" in text
    assert all(f"# Remark {number}." in text for number in range(REMARKS))
    back = 0
    while history(folder).undo:
        undo(folder, version_of(folder))
        back += 1
    assert back >= len(done)
    assert (folder / "pattern.toml").read_text("utf-8") == PATTERN
    assert not list(folder.glob(".blocksheet-*"))


def test_two_studios_on_one_library(served: Studio, folder: Path) -> None:
    """Two processes heed each other as two tabs of one do; steps back, too."""
    with Studio(folder.parent) as other:
        first, second = (Tab(studio.origin, studio.token) for studio in (served, other))
        step_back(first, second, folder)
        with watched(folder), ThreadPoolExecutor(2) as pool:
            sewists = [Sewist(first, 3), Sewist(second, 4)]
            for task in [pool.submit(each.work, 8) for each in sewists]:
                task.result()
    done = [change for each in sewists for change in each.done]
    assert len(done) > 4
    assert Counter(steps(folder)[2:]) == Counter(done)


def step_back(first: Tab, second: Tab, folder: Path) -> None:
    """A step back takes away only what its tab has seen; else it is refused."""
    first.look()
    second.look()
    assert first.widen("Pot band", "A", "12 mm")[0] == 200
    assert second.step("undo")[0] == 409
    assert second.widen("Pot band", "A", "13 mm")[0] == 409
    assert second.widen("Pot band", "B", "13 mm")[0] == 200
    assert first.step("undo")[0] == 409
    assert second.step("undo")[0] == 200
    # What the first tab has seen is the file again.
    assert first.step("undo")[0] == 200
    assert (folder / "pattern.toml").read_text("utf-8") == PATTERN
    assert second.step("redo")[0] == 409
    assert first.step("redo")[0] == 200
    assert first.step("redo")[0] == 200
    assert first.step("redo")[0] == 422
    now = allowances(tomllib.loads((folder / "pattern.toml").read_text("utf-8")))
    assert (now["Pot band", "A"], now["Pot band", "B"]) == ("12 mm", "13 mm")


def test_a_studio_that_is_killed_in_the_middle_leaves_the_file_whole(folder: Path) -> None:
    """Old or new, never half; what was answered is in it; the next one goes on from there."""
    answered: list[int] = []
    with Studio(folder.parent) as running, watched(folder), ThreadPoolExecutor(1) as pool:
        tab = Tab(running.origin, running.token)
        tab.look()

        def widen() -> None:
            for number in range(100, 999):
                if tab.widen("Pot band", "A", f"20.{number} mm")[0] == 200:
                    answered.append(number)

        working = pool.submit(widen)
        while len(answered) < 4:
            time.sleep(0.003)
        assert running.process
        running.process.kill()
        assert isinstance(working.exception(), OSError | HTTPException)
    now = allowances(tomllib.loads((folder / "pattern.toml").read_text("utf-8")))
    assert now["Pot band", "A"] in {f"20.{answered[-1] + more} mm" for more in (0, 1)}
    edit(folder, EdgeAllowance("Pot band", "B", "17 mm"), version_of(folder))
    while history(folder).undo:
        undo(folder, version_of(folder))
    assert (folder / "pattern.toml").read_text("utf-8") == PATTERN
