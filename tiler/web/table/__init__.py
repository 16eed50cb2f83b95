"""The table: one piece at full width, its edges, lengths and what the bench check finds on it."""

from __future__ import annotations

from starlette.routing import Route

from tiler.web.table.page import findings, first, parts, piece, piece_parts

__all__ = ["parts", "routes"]

routes = [
    Route("/p/{key}/table", first),
    Route("/p/{key}/table/{piece}", piece),
    Route("/p/{key}/table/{piece}/parts", piece_parts),
    Route("/p/{key}/table/{piece}/findings", findings),
]
