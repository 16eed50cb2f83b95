"""The command at a terminal of its own, as somebody sits there and types."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import subprocess
import sys
import termios
import time
from collections.abc import Iterable
from pathlib import Path

#: Seconds after which somebody presses Ctrl-C again. A first one that comes in the moment between a
#: question and the wait for its answer is seen by Python only when something else wakes it.
_AGAIN = 1.0


def _taken() -> None:
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


def at_terminal(
    words: Iterable[object], home: Path, answers: Iterable[tuple[str, str]]
) -> tuple[int, str]:
    """Run the command and answer its questions.

    Args:
        words: Of the command, after its name.
        home: Where it is run.
        answers: What to wait for on the screen, and what to type then: ``\\n`` is Enter, ``\\x03``
            is Ctrl-C.

    Returns:
        Its exit code, and all that stood on the screen, as one line.
    """
    master, slave = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-m", "tiler", *map(str, words)],
        stdin=slave,
        stdout=slave,
        stderr=slave,
        cwd=home,
        env={**os.environ, "BLOCKSHEET_HOME": str(home / "own"), "TERM": "dumb"},
        start_new_session=True,
        preexec_fn=_taken,
    ) as process:
        os.close(slave)
        screen, seen = "", 0
        waiting = list(answers)
        until = time.monotonic() + 60
        typed, typed_at = "", 0.0
        try:
            while time.monotonic() < until:
                if waiting and waiting[0][0] in screen[seen:]:
                    seen = screen.index(waiting[0][0], seen) + len(waiting[0][0])
                    typed, typed_at = waiting.pop(0)[1], time.monotonic()
                    os.write(master, typed.encode())
                elif typed == "\x03" and time.monotonic() > typed_at + _AGAIN:
                    typed_at = time.monotonic()
                    os.write(master, typed.encode())
                if not select.select([master], [], [], 0.2)[0]:
                    continue
                try:
                    more = os.read(master, 65536)
                except OSError:
                    # Linux says so when the last one at the other end has gone.
                    break
                if not more:
                    break
                screen += more.decode(errors="replace")
            else:
                raise AssertionError(f"it still waits, and the screen shows: {screen}")
            # It lets go of the terminal a moment before it ends.
            process.wait(30)
        finally:
            process.kill()
            os.close(master)
            process.wait()
    assert "Traceback" not in screen, screen
    assert not waiting, f"never asked: {waiting[0][0]!r}; the screen shows: {screen}"
    return process.returncode, " ".join(screen.split())
