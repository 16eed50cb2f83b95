"""The studio's pages behind their guard."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from tiler.pattern.errors import FileError
from tiler.web.asking import Asked
from tiler.web.guard import Guard
from tiler.web.templates import STATIC

if TYPE_CHECKING:
    from starlette.types import ASGIApp

    from tiler.web.state import State

#: Where the routes of each page are.
PAGES = (
    "shell",
    "shelf",
    "begin",
    "table",
    "tableforms",
    "printer",
    "scale",
    "mats",
    "cloth",
    "handover",
)


def build(state: State, port: int) -> ASGIApp:
    """The whole studio.

    Args:
        state: What the run holds.
        port: Where it listens; requests for any other place are refused.
    """
    routes: list[Route | Mount] = [Mount("/static", StaticFiles(directory=STATIC))]
    for page in PAGES:
        routes += import_module(f"tiler.web.{page}").routes
    app = Starlette(routes=routes, exception_handlers={404: _nothing_there})
    app.state.studio = state
    return Guard(app, state.token, port)


async def _nothing_there(request: Request, fault: Exception) -> Response:
    del fault
    error = FileError("there is no such page", remedy="Go back to the shelf.")
    return Asked(request, FormData(), "shell").refused_page(error)
