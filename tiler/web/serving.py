"""Starts the studio on this computer and opens the browser."""

from __future__ import annotations

import asyncio
import logging
import socket
import threading
import webbrowser
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import uvicorn
from starlette.requests import ClientDisconnect

from tiler.pattern.errors import FileError
from tiler.web import worker
from tiler.web.app import build
from tiler.web.state import State

HOST = "127.0.0.1"
#: Seconds that open requests get once the studio is to stop.
_PATIENCE = 2


def serve(root: Path, port: int, opened: Callable[[str], None], browser: bool = True) -> None:
    """Serve the studio until it is stopped.

    Args:
        root: The user's folder of patterns.
        port: Where to listen; 0 for any free one.
        opened: Told the address once the studio can be reached.
        browser: Whether to open a browser.

    Raises:
        FileError: The folder is none, or the port is taken.
    """
    if not root.is_dir():
        raise FileError("there is no such folder", where=str(root), remedy="Make it first.")
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as door:
        try:
            door.bind((HOST, port))
        except (OSError, OverflowError) as error:
            raise FileError(
                f"port {port} cannot be used",
                remedy="Another studio may be running; choose another port, or none at all.",
            ) from error
        state = State(root)
        port = door.getsockname()[1]
        settings = uvicorn.Config(
            build(state, port),
            log_level="error",
            access_log=False,
            lifespan="off",
            server_header=False,
            timeout_graceful_shutdown=_PATIENCE,
        )
        logging.getLogger("uvicorn.error").addFilter(_worth_telling)
        server = _Server(settings, lambda: _open(state, port, opened, browser))
        state.stop = server.leave
        try:
            # It raises Ctrl-C once more when all is answered; that is how a studio ends.
            with suppress(KeyboardInterrupt):
                server.run([door])
        finally:
            state.works.end()


def _open(state: State, port: int, opened: Callable[[str], None], browser: bool) -> None:
    address = f"http://{HOST}:{port}/open?token={state.token}"
    opened(address)
    if browser:
        # A browser in the terminal would keep the server waiting.
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()


class _Server(uvicorn.Server):
    """Tells when it can be reached."""

    def __init__(self, settings: uvicorn.Config, ready: Callable[[], None]) -> None:
        super().__init__(settings)
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Listen, then tell."""
        await super().startup(sockets)
        self._ready()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Give open requests their time; what they wait for ends with it."""
        late = threading.Timer(_PATIENCE, worker.end_all)
        late.start()
        try:
            await super().shutdown(sockets)
        finally:
            late.cancel()
            worker.end_all()

    def leave(self) -> None:
        """Stop once the requests that are open are answered."""
        self.should_exit = True


def _worth_telling(record: logging.LogRecord) -> bool:
    """Not that a browser went away in the middle, nor that the end of the studio cut it short."""
    fault = record.exc_info[1] if record.exc_info else None
    known = isinstance(fault, asyncio.CancelledError | ClientDisconnect)
    return not known and "graceful shutdown" not in str(record.msg)
