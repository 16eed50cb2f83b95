"""The shelf: the patterns of the folder as cards."""

from starlette.routing import Route

from tiler.web.shelf import moving, pages

routes = [
    Route("/", pages.shelf),
    Route("/p/{key}", pages.pattern),
    Route("/p/{key}/picture", pages.picture),
    Route("/demo/{name}/picture", pages.demo_picture),
    Route("/p/{key}/copy", moving.copy, methods=["POST"]),
    Route("/p/{key}/rename", moving.rename, methods=["POST"]),
    Route("/p/{key}/put-away", moving.put_away, methods=["POST"]),
    Route("/take-back", moving.take_back, methods=["POST"]),
]
