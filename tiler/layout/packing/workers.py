"""Searches side by side, each in a process of its own."""

from __future__ import annotations

import contextlib
import os
import pickle
import queue
import signal
import subprocess
import sys
import threading
from typing import IO

from tiler.layout.packing.hunt import SEARCHES, Found, Task, Tell, hunt

#: Share of the work after which a worker reports, and seconds after which the maker hears of it.
_STEP = 0.004
_OFTEN = 0.2

_Message = tuple[int, Found | None, float, bool]


def hunted(task: Task, tell: Tell) -> Found:
    """The best of all searches of an effort.

    Each search has its own fixed seed, so that it makes no difference whether they run side by
    side or one after the other.

    Args:
        task: What is to be packed.
        tell: Called with better arrangements as they come, several times a second.
    """
    count = SEARCHES[task.packing.effort]
    if count > 1 and len(task.shapes) > 1:
        workers = _started(count)
        if workers:
            return _side_by_side(task, workers, tell)
    return _in_turn(task, count, tell)


def _in_turn(task: Task, count: int, tell: Tell) -> Found:
    results = []
    for number in range(count):

        def told(found: Found | None, share: float, number: int = number) -> None:
            tell(found, (number + share) / count)

        results.append(hunt(task, number, told))
    return min(results, key=lambda found: found.cost)


def _started(count: int) -> list[subprocess.Popen[bytes]]:
    """Worker processes that wait for their task; none where processes cannot be started."""
    code = f"import sys; sys.path[:] = {sys.path!r}; import {__name__} as w; w.work()"
    # One thread of sums for each process: there is one for each core.
    surroundings = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    workers: list[subprocess.Popen[bytes]] = []
    try:
        for _ in range(count):
            workers.append(
                subprocess.Popen(
                    [sys.executable, "-c", code],
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL,
                    env=surroundings,
                    start_new_session=True,
                )
            )
    except OSError:
        _end(workers)
        return []
    return workers


def _side_by_side(task: Task, workers: list[subprocess.Popen[bytes]], tell: Tell) -> Found:
    messages: queue.Queue[_Message | int] = queue.Queue()
    shares = [0.0] * len(workers)
    best: list[Found | None] = [None] * len(workers)
    done = [False] * len(workers)
    try:
        for number, worker in enumerate(workers):
            assert worker.stdin is not None
            assert worker.stdout is not None
            with contextlib.suppress(OSError):
                pickle.dump((task, number), worker.stdin)
                worker.stdin.close()
            threading.Thread(
                target=_listen, args=(number, worker.stdout, messages), daemon=True
            ).start()
        while not all(done):
            try:
                message = messages.get(timeout=_OFTEN)
            except queue.Empty:
                tell(None, sum(shares) / len(shares))
                continue
            if isinstance(message, int):
                if not done[message]:
                    # The worker has ended before its time: its search is done here instead.
                    best[message] = hunt(task, message, tell)
                    done[message] = True
                continue
            number, found, shares[number], done[number] = message
            if found is not None:
                best[number] = found
            tell(found, sum(shares) / len(shares))
    finally:
        _end(workers)
    return min((found for found in best if found is not None), key=lambda found: found.cost)


def _listen(number: int, stream: IO[bytes], messages: queue.Queue[_Message | int]) -> None:
    """Pass a worker's messages on, and its number when it falls silent."""
    # A worker that is stopped in the middle of a message leaves a piece of it.
    with contextlib.suppress(EOFError, OSError, ValueError, pickle.UnpicklingError):
        while True:
            messages.put((number, *pickle.load(stream)))
    messages.put(number)


def _end(workers: list[subprocess.Popen[bytes]]) -> None:
    for worker in workers:
        if worker.poll() is None:
            worker.kill()
    for worker in workers:
        worker.wait()
        for stream in (worker.stdin, worker.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):
                    stream.close()


def work() -> None:
    """What a worker process does: read a task, search, and write down what it finds."""
    # An interrupt from the keyboard is for the process that asked for the work; it ends this one.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    out = sys.stdout.buffer
    task, number = pickle.load(sys.stdin.buffer)
    heard = 0.0

    def tell(found: Found | None, share: float) -> None:
        nonlocal heard
        if found is not None or share - heard >= _STEP:
            heard = share
            pickle.dump((found, share, False), out)
            out.flush()

    # Whoever asked may be gone; then nobody is left to hear.
    with contextlib.suppress(BrokenPipeError):
        found = hunt(task, number, tell)
        pickle.dump((found, 1.0, True), out)
        out.flush()
