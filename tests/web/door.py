"""Two ways into a studio for tests: straight to its pages, and the command over the network."""

from __future__ import annotations

import http.client
import os
import re
import signal
import subprocess
import sys
from pathlib import Path
from types import TracebackType

from starlette.testclient import TestClient

from tiler.web.app import build
from tiler.web.state import State

PORT = 8123
ORIGIN = f"http://127.0.0.1:{PORT}"
_ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/open\?token=[\w-]+")


def client_of(state: State) -> TestClient:
    """Sends what a page of the studio sends with every request."""
    client = TestClient(
        build(state, PORT),
        base_url=ORIGIN,
        headers={"x-studio-token": state.token, "x-studio-part": "1", "origin": ORIGIN},
    )
    client.cookies.set(f"studio_{PORT}", state.token)
    return client


class Studio:
    """``blocksheet studio FOLDER --no-browser``, until the block ends.

    Args:
        folder: The library.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.process: subprocess.Popen[str] | None = None
        self.address = ""

    def __enter__(self) -> Studio:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tiler", "studio", str(self.folder), "--no-browser"],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            env={**os.environ, "PYTHONUNBUFFERED": "1"},
        )
        assert self.process.stdout is not None
        told = ""
        for line in self.process.stdout:
            told += line
            if found := _ADDRESS.search(line):
                self.address = found[0]
                return self
        self.process.stdout.close()
        raise AssertionError(f"it has ended with {self.process.wait()}: {told}")

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        assert self.process is not None
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
        with self.process:
            self.process.wait(timeout=20)

    def ask(self, path: str, method: str = "GET", **headers: str) -> tuple[int, str]:
        """Status and text of one request, with the cookie of a browser that was let in."""
        asking = http.client.HTTPConnection(self.origin.removeprefix("http://"), timeout=20)
        cookie = f"studio_{self.origin.rsplit(':', 1)[1]}={self.token}"
        try:
            asking.request(method, path, headers={"Cookie": cookie, **headers})
            answer = asking.getresponse()
            return answer.status, answer.read().decode()
        finally:
            asking.close()

    @property
    def origin(self) -> str:
        """Where it listens."""
        return self.address.split("/open", 1)[0]

    @property
    def token(self) -> str:
        """This run's own."""
        return self.address.split("token=", 1)[1]
