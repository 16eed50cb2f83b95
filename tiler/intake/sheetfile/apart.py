"""Reading a file from elsewhere in a process of its own, which may take no more than it is given.

A file made to do harm can keep a PDF library busy for ever or fill the memory.
"""

from __future__ import annotations

import contextlib
import pickle
import signal
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.intake.sheetfile.limits import MEMORY, NO_PUBLICATION, SECONDS, too_much
from tiler.pattern.errors import BlocksheetError, FileError

if TYPE_CHECKING:
    from tiler.intake.sheetfile.reading import Held

#: What is wrong, where, and what to do.
_Refusal = tuple[str, str, str]


def read_apart(path: Path, seconds: float = SECONDS) -> Held:
    """As `read_held`, within bounds of time and memory.

    Args:
        path: The file.
        seconds: The most that it may take.

    Raises:
        FileError: Whatever `read_held` refuses; or reading takes too long, or too much memory, or
            brings the reader down.
    """
    where = str(path)
    code = f"import sys; sys.path[:] = {sys.path!r}; import {__name__} as a; a.work()"
    with subprocess.Popen(
        [sys.executable, "-c", code],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    ) as reader:
        try:
            answer, _ = reader.communicate(pickle.dumps(path), timeout=seconds)
        except subprocess.TimeoutExpired:
            raise too_much(f"reading it takes more than {seconds:.0f} seconds", where) from None
        finally:
            reader.kill()
    if reader.returncode or not answer:
        raise too_much("reading it brings the reader down", where)
    found: Held | _Refusal = pickle.loads(answer)
    if isinstance(found, tuple):
        problem, place, remedy = found
        raise FileError(problem, where=place, remedy=remedy)
    return found


def work() -> None:
    """What the process does: read a path, read the file, and write down what is in it."""
    # An interrupt from the keyboard is for the process that asked for the work; it ends this one.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    path: Path = pickle.load(sys.stdin.buffer)
    _bound_memory()
    pickle.dump(_answer(path), sys.stdout.buffer)
    sys.stdout.buffer.flush()


def _answer(path: Path) -> Held | _Refusal:
    from tiler.intake.sheetfile.reading import read_held

    try:
        return read_held(path)
    except BlocksheetError as wrong:
        return wrong.problem, wrong.where, wrong.remedy
    except (MemoryError, RecursionError):
        return "reading it takes too much memory", str(path), NO_PUBLICATION


def _bound_memory() -> None:
    """Where the system can do so; elsewhere the bounds on each stream have to do."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        _, most = resource.getrlimit(resource.RLIMIT_AS)
        bound = MEMORY if most == resource.RLIM_INFINITY else min(MEMORY, most)
        resource.setrlimit(resource.RLIMIT_AS, (bound, most))
