"""One piece of long work in a process of its own, within bounds of time and memory."""

from __future__ import annotations

import contextlib
import importlib
import os
import pickle
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from typing import Any, BinaryIO

from tiler.pattern.errors import BlocksheetError, StoppedError

#: Seconds between two reports.
_OFTEN = 0.1
#: What the process says: ("progress", stage, done, total), ("done", value),
#: ("refused", class, problem, where, remedy) or ("failed", words).
Told = tuple[Any, ...]

#: What `apart` waits for right now.
_APART: set[subprocess.Popen[bytes]] = set()


def started(
    function: str, facts: Mapping[str, object], memory: int | None = None
) -> subprocess.Popen[bytes]:
    """A process that calls ``function(progress, **facts)`` and tells how it goes.

    Args:
        function: Module and name, as in ``tiler.web.printer:publish_all``.
        facts: Its arguments, all of which can be pickled.
        memory: The most bytes that it may take, where the system can see to that.
    """
    code = f"import sys; sys.path[:] = {sys.path!r}; import {__name__} as w; w.work()"
    process = subprocess.Popen(
        [sys.executable, "-c", code],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    assert process.stdin is not None
    with contextlib.suppress(BrokenPipeError):
        pickle.dump((function, dict(facts), memory), process.stdin)
        process.stdin.flush()
    return process


def heard(process: subprocess.Popen[bytes]) -> Iterator[Told]:
    """What it tells, until it ends."""
    assert process.stdout is not None
    # Whoever ends it closes its pipe.
    with contextlib.suppress(EOFError, pickle.UnpicklingError, ValueError, OSError):
        while True:
            yield pickle.load(process.stdout)


def stop(process: subprocess.Popen[bytes]) -> None:
    """Ask it to end with the best so far, as Ctrl-C asks a command."""
    with contextlib.suppress(OSError):
        process.send_signal(signal.SIGINT)


def end(process: subprocess.Popen[bytes]) -> None:
    """End it and all that it has started."""
    with contextlib.suppress(OSError):
        if hasattr(os, "killpg"):
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
    process.wait()
    for pipe in (process.stdin, process.stdout):
        if pipe is not None:
            with contextlib.suppress(OSError):
                pipe.close()


def apart(
    function: str, facts: Mapping[str, object], seconds: float = 30.0, memory: int = 2**31
) -> Any:
    """Call a function in a process of its own and wait for what it returns.

    For what comes from elsewhere: a file made to do harm ends with the process that reads it.

    Args:
        function: As for `started`.
        facts: As for `started`.
        seconds: The most that it may take.
        memory: The most bytes that it may take.

    Raises:
        BlocksheetError: What the function raises; or it takes too long, or too much memory.
    """
    process = started(function, facts, memory)
    late = threading.Timer(seconds, end, [process])
    late.start()
    last: Told = ()
    _APART.add(process)
    try:
        for told in heard(process):
            last = told
    finally:
        late.cancel()
        end(process)
        _APART.discard(process)
    if last[:1] == ("done",):
        return last[1]
    raise refusal_in(last) or StoppedError(
        "reading this takes too long or too much memory",
        remedy="If it is a drawing, simplify it; if it is a photo, save it smaller.",
    )


def end_all() -> None:
    """End what `apart` waits for, since nobody does any more."""
    for process in tuple(_APART):
        end(process)


def refusal_in(told: Told) -> BlocksheetError | None:
    """The error that a process has told of; None when it is not one that was foreseen."""
    if told[:1] != ("refused",):
        return None
    _, name, problem, where, remedy = told
    kinds = {kind.__name__: kind for kind in _kinds(BlocksheetError)}
    return kinds.get(name, BlocksheetError)(problem, where=where, remedy=remedy)


def _kinds(kind: type[BlocksheetError]) -> Iterator[type[BlocksheetError]]:
    yield kind
    for below in kind.__subclasses__():
        yield from _kinds(below)


def work() -> None:
    """What the process does."""
    told = sys.stdout.buffer
    # What a library prints must not get between the words of the work.
    sys.stdout = sys.stderr
    # A shell that starts the studio in the background has it ignore Ctrl-C, and its children too.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    function, facts, memory = pickle.load(sys.stdin.buffer)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    bound(memory)
    try:
        module, _, name = function.partition(":")
        value = getattr(importlib.import_module(module), name)(_teller(told), **facts)
        # What cannot be pickled must not leave half a message behind.
        answer = pickle.dumps(("done", value))
    except BlocksheetError as wrong:
        kind = type(wrong).__name__
        answer = pickle.dumps(("refused", kind, wrong.problem, wrong.where, wrong.remedy))
    except KeyboardInterrupt:
        words = "stopped before there was anything to show"
        answer = pickle.dumps(("refused", "StoppedError", words, "", ""))
    except (MemoryError, RecursionError):
        words = "this takes too much memory"
        answer = pickle.dumps(("refused", "StoppedError", words, "", "Try something smaller."))
    except Exception as fault:
        answer = pickle.dumps(("failed", f"{type(fault).__name__}: {fault}"))
    told.write(answer)
    told.flush()


def _teller(told: BinaryIO) -> Callable[[str, int, int], None]:
    """Reports how far the work is, now and then."""
    last = 0.0

    def tell(stage: str, done: int, total: int) -> None:
        nonlocal last
        now = time.monotonic()
        if now - last >= _OFTEN or done >= total:
            last = now
            pickle.dump(("progress", stage, done, total), told)
            told.flush()

    return tell


def _end_with_parent() -> None:
    """The pipe that the request came through is closed when whoever asked is gone."""
    sys.stdin.buffer.read()
    if hasattr(os, "killpg"):
        os.killpg(os.getpgid(0), signal.SIGKILL)
    os._exit(1)


def bound(memory: int | None) -> None:
    """Let this process take no more, where the system can see to that.

    Args:
        memory: The most bytes; None for as much as there is.
    """
    if memory is None:
        return
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        _, most = resource.getrlimit(resource.RLIMIT_AS)
        bound = memory if most == resource.RLIM_INFINITY else min(memory, most)
        resource.setrlimit(resource.RLIMIT_AS, (bound, most))
