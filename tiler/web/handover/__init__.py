"""The page ``handover``: the notes, and the pattern as one file for a friend."""

from __future__ import annotations

from starlette.routing import Route

from tiler.web.handover.giving import give, given
from tiler.web.handover.other import export
from tiler.web.handover.page import page
from tiler.web.handover.reading import made_notes, make_notes, preview

routes = [
    Route("/p/{key}/handover", page),
    Route("/p/{key}/handover/give", give, methods=["POST"]),
    Route("/p/{key}/handover/given", given),
    Route("/p/{key}/handover/notes", preview),
    Route("/p/{key}/handover/notes", make_notes, methods=["POST"]),
    Route("/p/{key}/handover/notes-made", made_notes),
    Route("/p/{key}/handover/export", export, methods=["POST"]),
]
