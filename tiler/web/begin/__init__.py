"""A new pattern: from drawings, photos, one of our demos, or a friend's file."""

from starlette.routing import Route

from tiler.web.begin import pages, photos, questions

routes = [
    Route("/begin", pages.begin, methods=["GET"]),
    Route("/begin", pages.given, methods=["POST"]),
    Route("/begin/demo", pages.demo, methods=["POST"]),
    Route("/begin/cards/{paper}.pdf", pages.cards),
    Route("/begin/{id}", questions.questions, methods=["GET"]),
    Route("/begin/{id}", questions.start, methods=["POST"]),
    Route("/begin/{id}/leave", questions.leave, methods=["POST"]),
    Route("/begin/{id}/read", photos.read, methods=["POST"]),
    Route("/begin/{id}/done", photos.done),
    Route("/begin/{id}/problem", photos.problem),
    Route("/begin/{id}/picture/{name}", pages.picture),
]
