"""The command as a user runs it, with a folder of the user's own for what it keeps."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

Command = Callable[..., str]


def command(name: str, home: Path) -> Command:
    """One command of the tool; what it says comes back as one line.

    Args:
        name: Of the command.
        home: Where it is run, and where what it keeps is kept.
    """

    def run(*words: str, said: str = "", code: int = 0) -> str:
        done = subprocess.run(
            [sys.executable, "-m", "tiler", name, *words],
            input=said,
            capture_output=True,
            text=True,
            timeout=120,
            cwd=home,
            env={**os.environ, "BLOCKSHEET_HOME": str(home / "own")},
        )
        assert done.returncode == code, done.stdout + done.stderr
        assert "Traceback" not in done.stderr
        return " ".join((done.stdout + done.stderr).split())

    return run
