"""The forms beside the table's picture: what is said of an edge, a piece, the whole pattern."""

from __future__ import annotations

from starlette.routing import Route

from tiler.web.tableforms.changing import edited, redone, undone
from tiler.web.tableforms.panel import panel
from tiler.web.tableforms.reckoning import reckoned

routes = [
    Route("/p/{key}/table/{piece}/panel", panel),
    Route("/p/{key}/table/{piece}/reckoned", reckoned),
    Route("/p/{key}/edit", edited, methods=["POST"]),
    Route("/p/{key}/undo", undone, methods=["POST"]),
    Route("/p/{key}/redo", redone, methods=["POST"]),
]
