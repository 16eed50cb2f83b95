"""The command as a user runs it, without starting Python anew for each of a few hundred runs.

What is said, the exit code and the files are those of ``blocksheet``: `tiler.cli.main.run` is what
``python -m tiler`` calls. Whatever hangs on the process itself (pipes, signals, limits, a help that
starts at once, every command in a process of its own) is tested with real processes in
``test_streams.py``, ``test_commands.py`` and where `subprocess` is named.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO, TextIOWrapper
from pathlib import Path
from unittest.mock import patch

from tiler.cli.main import run

Command = Callable[..., str]
Ended = subprocess.CompletedProcess[str]


def blocksheet(
    *words: str | Path, cwd: Path | None = None, said: str = "", home: Path | None = None
) -> Ended:
    """Run the command to its end.

    Args:
        words: Its arguments.
        cwd: Where it is run.
        said: What is typed when it asks.
        home: Where what it keeps is kept, if that is not the surroundings' own place.

    Raises:
        Exception: Whatever the command did not catch, which would be a traceback on the screen.
    """
    arguments = ["blocksheet", *map(str, words)]
    given = TextIOWrapper(BytesIO(said.encode()), "utf-8")
    printed, told = (TextIOWrapper(BytesIO(), "utf-8") for _ in range(2))
    surroundings = {"BLOCKSHEET_HOME": str(home)} if home else {}
    with (
        patch.multiple(sys, argv=arguments, stdin=given, stdout=printed, stderr=told),
        patch.dict(os.environ, surroundings),
        _in_folder(cwd),
        _signals_given_back(),
    ):
        try:
            run()
        except SystemExit as leaving:
            code = leaving.code
    assert isinstance(code, int)
    ended = Ended(arguments, code, _text(printed), _text(told))
    assert "Traceback" not in ended.stderr
    return ended


def _text(stream: TextIOWrapper) -> str:
    stream.flush()
    assert isinstance(stream.buffer, BytesIO)
    return stream.buffer.getvalue().decode("utf-8")


@contextmanager
def _in_folder(folder: Path | None) -> Iterator[None]:
    before = Path.cwd()
    os.chdir(folder or before)
    try:
        yield
    finally:
        os.chdir(before)


@contextmanager
def _signals_given_back() -> Iterator[None]:
    numbers = (signal.SIGTERM, signal.SIGHUP, signal.SIGALRM)
    before = [signal.getsignal(number) for number in numbers]
    try:
        yield
    finally:
        for number, handler in zip(numbers, before, strict=True):
            signal.signal(number, handler)


def command(name: str, home: Path) -> Command:
    """One command of the tool; what it says comes back as one line.

    Args:
        name: Of the command.
        home: Where it is run, and where what it keeps is kept.
    """

    def called(*words: str, said: str = "", code: int = 0) -> str:
        done = blocksheet(name, *words, cwd=home, said=said, home=home / "own")
        assert done.returncode == code, done.stdout + done.stderr
        return " ".join((done.stdout + done.stderr).split())

    return called
