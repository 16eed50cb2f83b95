"""A request as the pages see it, and the ways to answer it."""

from __future__ import annotations

import functools
import traceback
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response, StreamingResponse

from tiler.pattern.errors import BlocksheetError, FileError, StoppedError
from tiler.web import words
from tiler.web.guard import TooLargeError
from tiler.web.lengths import as_written, in_language, told, typed_length, unit_told
from tiler.web.settings import COOKIE, Settings

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern
    from tiler.web.library import Library
    from tiler.web.state import State
    from tiler.web.works import Works

#: Most fields and files of one form.
_FIELDS, _FILES, _FIELD_BYTES = 400, 60, 1024 * 1024
#: Between parts that come one after the other, as `static/shell.js` knows it.
_THEN = "<!-- then -->"


class Asked:
    """One request: what was asked, by whom, and what the page needs to answer.

    Args:
        request: As Starlette gives it.
        form: What was sent; empty for a GET.
        page: Name of the page, whose words it speaks and whose templates it shows.
    """

    def __init__(self, request: Request, form: FormData, page: str) -> None:
        self.request, self.form, self.page = request, form, page
        self.state: State = request.app.state.studio
        self.settings = Settings.read(
            request.cookies.get(COOKIE, ""), request.headers.get("accept-language", "")
        )

    @property
    def library(self) -> Library:
        """The user's folder."""
        return self.state.library

    @property
    def works(self) -> Works:
        """The long work of this run."""
        return self.state.works

    @property
    def path(self) -> Mapping[str, str]:
        """The parts of the address, such as ``key``."""
        return self.request.path_params

    def t(self, key: str, /, **facts: object) -> str:
        """A text of the page in the user's language."""
        return words.say(self.settings.language, self.page, key, **facts)

    def tn(self, key: str, n: int, /, **facts: object) -> str:
        """A text for a number of things."""
        return words.counted(self.settings.language, self.page, key, n, **facts)

    def length(self, mm: float, places: int = 1) -> str:
        """A length as the user reads it."""
        return told(mm, self.settings.units, places, self.settings.language)

    def unit_name(self, unit: str = "") -> str:
        """A unit, else the user's own, as the user's language writes it."""
        return unit_told(unit or self.settings.units, self.settings.language)

    def decimal(self, written: str) -> str:
        """A number with the decimal sign of the user's language."""
        return in_language(written, self.settings.language)

    def query(self, name: str, default: str = "") -> str:
        """What stands behind the question mark."""
        return self.request.query_params.get(name, default)

    def field(self, name: str, default: str = "") -> str:
        """One field of the form, spaces at its ends taken away."""
        value = self.form.get(name, default)
        return value.strip() if isinstance(value, str) else default

    def fields(self, name: str) -> tuple[str, ...]:
        """All values of a field that may be there several times."""
        return tuple(v.strip() for v in self.form.getlist(name) if isinstance(v, str) and v.strip())

    def files(self, name: str) -> tuple[UploadFile, ...]:
        """The files of a field; an empty file field gives none."""
        found = (v for v in self.form.getlist(name) if isinstance(v, UploadFile))
        return tuple(file for file in found if file.filename)

    def written(self, name: str) -> str:
        """A length as it goes into the pattern file: ``12 mm``; empty when nothing was typed."""
        typed = self.field(name)
        return as_written(typed, self.settings.units) if typed else ""

    def typed(self, name: str, default: float | None = None) -> float:
        """Millimetres of a field.

        Raises:
            LengthError: It is no length; or empty, and there is no default.
        """
        typed = self.field(name)
        if not typed and default is not None:
            return default
        return typed_length(typed, self.settings.units)

    def show(self, template: str, status: int = 200, **facts: object) -> Response:
        """A page, or parts of one, from a template."""
        # Names of files may hold bytes that are no text in any language.
        return HTMLResponse(self.render(template, **facts).encode(errors="replace"), status)

    def in_turn(self, first: str, then: Callable[[], str]) -> Response:
        """Parts that are shown at once, and others that are made while they are on their way.

        Args:
            first: Parts.
            then: Makes the others; what goes wrong in it is told in place.
        """

        def sent() -> Iterator[str]:
            yield first + _THEN
            try:
                yield then()
            except BlocksheetError as error:
                yield self.render("trouble.html", error=error, at="")

        return StreamingResponse(sent(), media_type="text/html")

    def render(self, template: str, **facts: object) -> str:
        """The text of a template filled in."""
        from tiler.web.templates import environment

        found = environment().get_template(template)
        return found.render(
            asked=self,
            t=self.t,
            tn=self.tn,
            length=self.length,
            unit_name=self.unit_name,
            decimal=self.decimal,
            settings=self.settings,
            languages=words.LANGUAGES,
            token=self.state.token,
            alone=self.library.alone,
            **facts,
        )

    def go(self, address: str) -> Response:
        """Answer a form by going to another page."""
        return Response(status_code=204, headers={"x-studio-go": address})

    def pattern(self, key: str) -> Pattern:
        """The pattern of that name, read and drafted; what has not changed is at hand.

        Raises:
            BlocksheetError: There is none, or it does not hold together.
        """
        folder = self.library.folder(key)
        return self.state.drafts(folder).read(folder)

    def refusal(self, error: BlocksheetError, at: str = "") -> Response:
        """What was wrong and what to do, shown in place.

        Args:
            error: What was raised.
            at: Name of the field, or id of the part, that it is about.
        """
        return self.show("trouble.html", 422, error=error, at=at)

    def refused_page(self, error: BlocksheetError) -> Response:
        """The same as a page of its own."""
        status = 404 if isinstance(error, FileError) else 422
        return self.show("refused.html", status, error=error)


def url(*parts: str) -> str:
    """An address of the studio, every part quoted: ``url("p", key, "table")``."""
    return "/" + "/".join(quote(part, safe="", errors="replace") for part in parts)


Handler = Callable[[Asked], Response]


def answers(page: str) -> Callable[[Handler], Callable[[Request], Any]]:
    """Make an endpoint of a plain function, which runs beside the server's own thread.

    Args:
        page: Name of the page, for its words.
    """

    def wrap(handler: Handler) -> Callable[[Request], Any]:
        @functools.wraps(handler)
        async def endpoint(request: Request) -> Response:
            reading = request.method in ("GET", "HEAD")
            form = FormData()
            if not reading:
                try:
                    form = await request.form(
                        max_files=_FILES, max_fields=_FIELDS, max_part_size=_FIELD_BYTES
                    )
                except (TooLargeError, HTTPException):
                    asked = Asked(request, form, page)
                    return asked.show("trouble.html", 413, error=_too_much(), at="")
            asked = Asked(request, form, page)
            try:
                return await run_in_threadpool(_answered, handler, asked)
            finally:
                await form.close()

        return endpoint

    return wrap


def _too_much() -> FileError:
    return FileError(
        "more was sent at one go than can be taken", remedy="Give fewer or smaller files at a time."
    )


def _answered(handler: Handler, asked: Asked) -> Response:
    try:
        return handler(asked)
    except BlocksheetError as error:
        if "x-studio-part" in asked.request.headers:
            return asked.refusal(error)
        return asked.refused_page(error)
    except Exception as fault:
        traceback.print_exc()
        told = StoppedError(
            f"this did not work ({type(fault).__name__}: {fault})",
            remedy="Nothing was changed. Please report this: it is a fault of the tool.",
        )
        return asked.show("trouble.html", 500, error=told, at="")
