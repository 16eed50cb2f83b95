"""The page ``cloth``: how the pieces lie on each cloth, and how much of it to buy."""

from __future__ import annotations

from starlette.routing import Route

from tiler.web.cloth.laying import compare, compared, laid, lay
from tiler.web.cloth.page import page
from tiler.web.cloth.saving import keep, save

routes = [
    Route("/p/{key}/cloth", page),
    Route("/p/{key}/cloth/lay", lay, methods=["POST"]),
    Route("/p/{key}/cloth/laid", laid),
    Route("/p/{key}/cloth/compare", compare, methods=["POST"]),
    Route("/p/{key}/cloth/compared", compared),
    Route("/p/{key}/cloth/save", save, methods=["POST"]),
    Route("/p/{key}/cloth/keep", keep, methods=["POST"]),
]
