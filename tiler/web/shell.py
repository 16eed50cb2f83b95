"""What all pages share: settings, progress of long work, files that were made, and the way out."""

from __future__ import annotations

from starlette.responses import FileResponse, RedirectResponse, Response
from starlette.routing import Route

from tiler.pattern.errors import FileError
from tiler.web.asking import Asked, answers
from tiler.web.settings import COOKIE, Settings

#: Folders of a pattern from which files are handed over.
MADE = ("sheets",)
#: Ending -> type of what is handed out; anything else is bytes, which no browser runs or shows.
_TYPES = {
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".svg": "image/svg+xml",
    ".html": "text/html",
    ".md": "text/markdown",
    ".zip": "application/zip",
}
_SHOWN_INSIDE = (".png", ".svg", ".jpg", ".pdf")
#: What lies in the library may come from anybody: nothing in it runs, or reaches the studio.
_SHUT_IN = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; sandbox"


@answers("shell")
def settings(asked: Asked) -> Response:
    """Keep language, units and theme; the page is loaded again."""
    chosen = Settings.chosen({key: asked.field(key) for key in asked.form}, asked.settings)
    answer = Response(status_code=204, headers={"x-studio-reload": "1"})
    answer.set_cookie(COOKIE, chosen.words, max_age=400 * 86400, samesite="strict", path="/")
    return answer


@answers("shell")
def work(asked: Asked) -> Response:
    """How far long work is."""
    found = asked.works.get(asked.path["id"])
    return asked.show("work.html", work=found, done=asked.query("done"))


@answers("shell")
def stop_work(asked: Asked) -> Response:
    """End long work with the best so far."""
    found = asked.works.get(asked.path["id"])
    found.stop()
    return asked.show("work.html", work=found, done=asked.query("done"))


@answers("shell")
def made(asked: Asked) -> Response:
    """A file that was made for a pattern; `?show` shows it in the browser instead of saving it."""
    part = asked.path["part"]
    if part not in MADE:
        raise FileError(f"there are no files to hand over in {part!r}")
    path = asked.library.file(asked.path["key"], part, asked.path["name"])
    ending = path.suffix.lower()
    shown = "show" in asked.request.query_params and ending in _SHOWN_INSIDE
    return FileResponse(
        path,
        # Browsers show a PDF in a page of their own, which a sandbox would keep shut.
        headers={} if ending == ".pdf" else {"content-security-policy": _SHUT_IN},
        media_type=_TYPES.get(ending, "application/octet-stream"),
        filename=path.name,
        content_disposition_type="inline" if shown else "attachment",
    )


@answers("shell")
def leave(asked: Asked) -> Response:
    """Stop the studio."""
    answer = asked.show("left.html")
    asked.state.stop()
    return answer


@answers("shell")
def favicon(asked: Asked) -> Response:
    """Browsers ask for it by themselves."""
    del asked
    return RedirectResponse("/static/mark.svg", 301)


routes = [
    Route("/settings", settings, methods=["POST"]),
    Route("/work/{id}", work),
    Route("/work/{id}/stop", stop_work, methods=["POST"]),
    Route("/p/{key}/made/{part}/{name}", made),
    Route("/leave", leave, methods=["POST"]),
    Route("/favicon.ico", favicon),
]
